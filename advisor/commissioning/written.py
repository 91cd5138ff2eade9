"""Steps of the work as they are written in the rulesets: checked, not yet filled for a build."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.commissioning.guide import Phase
from advisor.problems import Place
from advisor.rules.texts import Template
from advisor.rules.tree import Condition, Figure
from advisor.vocabulary import Name


@dataclass(frozen=True, slots=True)
class Expected:
    """What a reading should be: a band (one end may be open), or a word, or yes and no."""

    low: Figure | None
    high: Figure | None
    word: str | bool | None
    because: Template


@dataclass(frozen=True, slots=True)
class WrittenWrong:
    """A wrong reading and what it can mean."""

    reading: Template
    means: Template


@dataclass(frozen=True, slots=True)
class WrittenStep:
    """One step; a guide has it once for each part of `about`.

    `reading` is the name that keeps what was read, None for a step without one. A step `outward`
    stands in its phase in the order of the cables, from the battery on.
    """

    name: str
    phase: Phase
    about: tuple[str, ...]
    applies: Condition | None
    title: Template
    do: Template
    instrument: str
    range: Template
    reading: Name | None
    expected: Expected | None
    stop_at: Template
    wrong: tuple[WrittenWrong, ...]
    cautions: tuple[str, ...]
    source: str
    outward: bool
    file: str
    place: Place

    @property
    def names(self) -> tuple[Name, ...]:
        """The names whose values its texts show, but for those of the expectation."""
        texts = [self.title, self.do, self.range, self.stop_at]
        texts += [text for one in self.wrong for text in (one.reading, one.means)]
        return tuple(name for text in texts for name in text.names)


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: short for beside a step, and in full for the head of the guide.

    One with `applies`, a condition about the vehicle, is left out where that is certainly false.
    """

    name: str
    short: str
    text: str
    applies: Condition | None = None


@dataclass(frozen=True, slots=True)
class StepBook:
    """All steps in the order of the work, and all cautions by name."""

    steps: tuple[WrittenStep, ...]
    cautions: Mapping[str, Caution]
    fingerprint: str


__all__ = ["Caution", "Expected", "StepBook", "WrittenStep", "WrittenWrong"]
