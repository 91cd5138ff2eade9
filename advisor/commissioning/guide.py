"""The guide for one build as data: phases, steps, expected readings, what was read."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from advisor.facts.origins import Fact, Key, Unknown
from advisor.sheet.build import Reading


class Phase(StrEnum):
    """Parts of the work, in their order."""

    BEFORE = "before any connection"
    BATTERY = "battery in"
    CONTROLLER = "before the controller"
    POWER = "first power"
    CONTACTOR = "precharge and contactor"
    ACCESSORIES = "accessories"
    CHARGING = "charging"
    WHEELS = "wheels off the ground"
    DRIVE = "first drive"
    BRAKES = "hill and brakes"
    AFTER = "after the drive"


class Standing(StrEnum):
    """How a reading stands against what is expected."""

    PLAUSIBLE = "plausible"
    OFF = "off"
    DANGEROUS = "dangerous"
    OPEN = "not taken"
    NO_EXPECTATION = "nothing to compare with"


@dataclass(frozen=True, slots=True)
class Expectation:
    """What a reading should be: a band, or a word; `facts` are what it was computed from.

    `text` is in the user's units, `because` says where it comes from.
    """

    text: str
    because: str
    facts: tuple[Fact | Unknown, ...]


@dataclass(frozen=True, slots=True)
class Wrong:
    """A wrong reading and what it can mean."""

    reading: str
    means: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step for one part. `name` is unique in a guide: `pack-voltage`, or with `@part`.

    `key` is where the sheet keeps its reading, None for a step without one.
    """

    name: str
    phase: Phase
    title: str
    do: str
    part: str
    part_text: str
    instrument: str
    range: str
    key: Key | None
    unit: str
    expectation: Expectation | None
    stop_at: str
    wrong: tuple[Wrong, ...]
    cautions: tuple[str, ...]
    source: str
    readings: tuple[Reading, ...]
    standing: Standing
    findings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Guide:
    """All steps of a build in order.

    `warning` says what comes first: serious risks of the build itself, and kinds of part that the
    sheet does not mention, whose steps are missing.
    """

    title: str
    steps: tuple[Step, ...]
    cautions: tuple[str, ...]
    warning: str = ""

    def of(self, phase: Phase) -> tuple[Step, ...]:
        """The steps of one phase."""
        return tuple(one for one in self.steps if one.phase is phase)


__all__ = ["Expectation", "Guide", "Phase", "Standing", "Step", "Wrong"]
