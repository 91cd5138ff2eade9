"""Which of several values counts: the best origin, or the more dangerous where they disagree."""

from __future__ import annotations

import math
from dataclasses import replace

from advisor.facts.origins import Computed, Disagreement, Fact, LookedUp, WrittenIn
from advisor.vocabulary import Attribute, Kind


def chosen(candidates: list[Fact]) -> tuple[Fact, Disagreement | None]:
    """The value that counts of some for one attribute, the best origin first, with its rivals.

    Where two are further apart than the attribute's tolerance, that is told beside it.
    """
    best, *others = candidates
    attribute = best.attribute
    found = best
    apart = False
    for other in others:
        settled = isinstance(best.origin, WrittenIn) and best.origin.programmed
        if settled and not isinstance(other.origin, Computed | LookedUp):
            continue
        if _apart(best, other):
            if attribute.worse and _worse(attribute, found, other):
                found = other
            apart = True
    if not others:
        return best, None
    rivals = tuple(one for one in candidates if one is not found)
    found = replace(found, rivals=rivals)
    if not apart:
        return found, None
    return found, Disagreement(found, max(rivals, key=lambda one: _gap(found, one)))


def _apart(one: Fact, other: Fact) -> bool:
    if one.attribute.kind in (Kind.QUANTITY, Kind.COUNT):
        return _gap(one, other) > one.attribute.tolerance
    return one.value != other.value


def _gap(one: Fact, other: Fact) -> float:
    if not isinstance(one.value, float | int) or not isinstance(other.value, float | int):
        return 0.0 if one.value == other.value else math.inf
    largest = max(abs(one.value), abs(other.value), one.attribute.scale)
    if one.attribute.dimension.absolute:
        largest = one.attribute.scale / one.attribute.tolerance * 0.2
    return abs(one.value - other.value) / largest


def _worse(attribute: Attribute, found: Fact, other: Fact) -> bool:
    if isinstance(found.value, str) or isinstance(other.value, str):
        return False
    if attribute.worse == "high":
        return other.value > found.value
    return other.value < found.value


__all__ = ["chosen"]
