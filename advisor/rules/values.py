"""What a name of a rule can be for one case: a known value, or missing because of some facts."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

NONE: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Known:
    """A value: SI float, word of a choice, or truth.

    `assumed` is true when an assumption stands anywhere underneath; `settles` then holds the keys
    of the facts that a person could supply to replace it.
    """

    value: float | str | bool
    assumed: bool = False
    settles: frozenset[str] = NONE


@dataclass(frozen=True, slots=True)
class Missing:
    """No value. `facts` is the smallest set of keys `part-id.attribute` that would give one."""

    facts: frozenset[str] = NONE
    reason: str = ""


class Verdict(StrEnum):
    """What a check says about a case. Undetermined never means safe."""

    VIOLATED = "violated"
    SATISFIED = "satisfied"
    UNDETERMINED = "undetermined"
    NOT_APPLICABLE = "not-applicable"


Value = Known | Missing
Row = Mapping[str, Value]
"""The values of one case by written name; a name that is not in it is missing."""


def without_assumptions(row: Row) -> dict[str, Value]:
    """The same row with every assumed value taken out."""
    return {
        name: Missing(value.settles, "assumed")
        if isinstance(value, Known) and value.assumed
        else value
        for name, value in row.items()
    }
