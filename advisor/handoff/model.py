"""What a review before handoff comes to, as data for every form of the record."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from advisor.acceptance import Acceptance
from advisor.commissioning.guide import Guide
from advisor.findings.report_model import Screening
from advisor.findings.risk import Level
from advisor.sheet.build import Build


class Outcome(StrEnum):
    """The three ends of a review."""

    READY = "ready"
    CONDITIONS = "ready with conditions"
    NOT_READY = "not ready"


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something that keeps the vehicle from being handed over.

    `kind`: `risk`, `undecided`, `assumed`, `reading` or `step`. `number` is that of the finding, 0
    where there is none. `ask` says what would settle it.
    """

    kind: str
    level: Level
    rule: str
    part: str
    text: str
    ask: str
    number: int = 0


@dataclass(frozen=True, slots=True)
class Condition:
    """Something to be known or done though the vehicle may be handed over.

    `kind`: `accepted`, `risk`, `undecided`, `assumed`, `reading` or `step`.
    """

    kind: str
    level: Level
    rule: str
    part: str
    text: str
    acceptance: Acceptance | None = None
    number: int = 0


@dataclass(frozen=True, slots=True)
class Review:
    """A whole review; `screening` is that of the stage `handoff`."""

    build: Build
    screening: Screening
    guide: Guide
    outcome: Outcome
    obstacles: tuple[Obstacle, ...]
    conditions: tuple[Condition, ...]
    acceptances: tuple[Acceptance, ...]
    program_version: str


__all__ = ["Acceptance", "Condition", "Obstacle", "Outcome", "Review"]
