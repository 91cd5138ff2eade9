"""What a review before handoff comes to, as data for every form of the record."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import TypeVar

from advisor.acceptance import Acceptance
from advisor.commissioning.guide import Guide
from advisor.findings.report_model import Screening
from advisor.findings.risk import Level
from advisor.handoff.closing import Closed
from advisor.sheet.build import Build


class Outcome(StrEnum):
    """The three ends of a review."""

    READY = "ready"
    CONDITIONS = "ready with conditions"
    NOT_READY = "not ready"


@dataclass(frozen=True, slots=True)
class Obstacle:
    """Something that keeps the vehicle from being handed over.

    `kind`: `risk`, `undecided` or `assumed`. `number` is that of the finding, 0
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

    `kind`: `accepted`, `risk`, `undecided` or `step`. `ask` says what would settle it.
    """

    kind: str
    level: Level
    rule: str
    part: str
    text: str
    ask: str
    acceptance: Acceptance | None = None
    number: int = 0


@dataclass(frozen=True, slots=True)
class Review:
    """A whole review; `screening` is that of the stage `handoff`.

    `earlier` are earlier sheets of the vehicle, the oldest first, and `closed` their findings that
    are none any more.
    """

    build: Build
    screening: Screening
    guide: Guide
    outcome: Outcome
    obstacles: tuple[Obstacle, ...]
    conditions: tuple[Condition, ...]
    acceptances: tuple[Acceptance, ...]
    program_version: str
    earlier: tuple[Build, ...] = ()
    closed: tuple[Closed, ...] = ()


_UNDECIDED = "Not decided: "
_TOLD = 3

_Item = TypeVar("_Item", bound=Obstacle | Condition)


def gathered(items: Iterable[_Item]) -> list[tuple[_Item, tuple[str, ...]]]:
    """The same thing said of several parts once, with all parts; findings stay apart.

    Undecided checks that wait for the same answer are one thing to find out.
    """
    found: dict[tuple[object, ...], list[_Item]] = {}
    for one in items:
        said: tuple[object, ...] = (
            () if one.kind == "undecided" else (one.rule, one.text, one.number)
        )
        key: tuple[object, ...] = (one.kind, one.ask, *said)
        found.setdefault(key, []).append(one)
    return [
        (_as_one(some), tuple(dict.fromkeys(one.part for one in some))) for some in found.values()
    ]


def _as_one(items: list[_Item]) -> _Item:
    """Several checks that wait for one answer, under the gravest of them."""
    titles = list(dict.fromkeys(one.text.removeprefix(_UNDECIDED).rstrip(".") for one in items))
    if len(titles) == 1:
        return items[0]
    some = "; ".join(titles[:_TOLD])
    if len(titles) > _TOLD:
        some = f"{len(items)} checks that wait for the same answer, among them: {some}"
    return replace(
        items[0],
        level=max(one.level for one in items),
        rule=_listed(one.rule for one in items),
        text=f"{_UNDECIDED}{some}.",
    )


def _listed(rules: Iterable[str]) -> str:
    """Names of rules; of many only some."""
    names = list(dict.fromkeys(rules))
    if len(names) <= 2 * _TOLD:
        return ", ".join(names)
    return f"{', '.join(names[:_TOLD])} and {len(names) - _TOLD} more"


__all__ = ["Condition", "Obstacle", "Outcome", "Review", "gathered"]
