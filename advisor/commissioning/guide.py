"""The guide for one build as data: phases, steps, expected readings, what was read."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from advisor.facts.origins import Fact, Key, Unknown
from advisor.sheet.build import Reading, Tick


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
    """How a reading stands against what is expected, and whether a step without one was done.

    A step that nobody said anything of is OPEN; NOT_DONE is one that somebody said was not done.
    """

    PLAUSIBLE = "plausible"
    OFF = "off"
    DANGEROUS = "dangerous"
    OPEN = "not taken"
    NO_EXPECTATION = "nothing to compare with"
    DONE = "done"
    NOT_DONE = "not done"


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

    `key` is where the sheet keeps its reading, None for a step without one. `said` is what somebody
    said of the step, the last one counts; a step with a reading is done by its reading alone.
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
    said: tuple[Tick, ...] = ()

    @property
    def open(self) -> bool:
        """True when it is still to be done: no reading, or nobody said that it was done."""
        return self.standing in (Standing.OPEN, Standing.NOT_DONE)

    @property
    def done(self) -> bool:
        """True when it was done and its reading, if it has one, is neither off nor dangerous."""
        return self.standing in (Standing.DONE, Standing.PLAUSIBLE, Standing.NO_EXPECTATION)

    @property
    def only_ticked(self) -> bool:
        """True for a step whose reading is missing though somebody said that it was done."""
        ticked = bool(self.said) and self.said[-1].done
        return ticked and self.key is not None and not self.readings


@dataclass(frozen=True, slots=True)
class UnknownStep:
    """Something said of a step that the guide of this vehicle does not have, and what may help."""

    tick: Tick
    problem: str
    advice: str

    @property
    def text(self) -> str:
        """What stands in the sheet, where, and what to do about it."""
        state = "done" if self.tick.done else "not done"
        return (
            f"Line {self.tick.place.line} of the sheet says of a step that it was {state}, but "
            f"{self.problem}: {self.advice}."
        )


@dataclass(frozen=True, slots=True)
class Guide:
    """All steps of a build in order.

    `warning` says what comes first: serious risks of the build itself, and kinds of part that the
    sheet does not mention, whose steps are missing. `unknown` is what the sheet says of steps that
    are not here: renamed since, or of another vehicle.
    """

    title: str
    steps: tuple[Step, ...]
    cautions: tuple[str, ...]
    warning: str = ""
    unknown: tuple[UnknownStep, ...] = ()

    def of(self, phase: Phase) -> tuple[Step, ...]:
        """The steps of one phase."""
        return tuple(one for one in self.steps if one.phase is phase)


__all__ = ["Expectation", "Guide", "Phase", "Standing", "Step", "UnknownStep", "Wrong"]
