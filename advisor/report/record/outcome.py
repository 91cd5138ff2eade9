"""The end of a review in words: the big line, what it means, and lists of what is open."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from advisor.handoff.model import Condition, Obstacle, Outcome, Review

STANDING = {
    Outcome.READY: "ready",
    Outcome.CONDITIONS: "conditions",
    Outcome.NOT_READY: "not-ready",
}
LINE = {
    Outcome.READY: "READY",
    Outcome.CONDITIONS: "READY WITH CONDITIONS",
    Outcome.NOT_READY: "NOT READY",
}
MEANING = {
    Outcome.READY: "On paper nothing that was checked stands in the way of handing the vehicle "
    "over. A qualified person must still inspect and test the vehicle itself.",
    Outcome.CONDITIONS: "On paper nothing serious stands in the way that nobody answers for. What "
    "is listed must be known, watched or done. A qualified person must still inspect and test the "
    "vehicle itself.",
    Outcome.NOT_READY: "The vehicle must not be handed over, driven or charged until everything in "
    "the way is mended, found out, or answered for by name.",
}
KINDS = {
    "risk": "found wrong",
    "undecided": "not known",
    "assumed": "only assumed",
    "accepted": "accepted by name",
    "reading": "reading",
    "step": "test not done",
}
_MOST = 3


def owner_list(review: Review) -> list[str]:
    """What an owner must know of the obstacles and conditions: numbers, and the worst in words."""
    listed: tuple[Obstacle | Condition, ...]
    if review.outcome is Outcome.NOT_READY:
        counted, listed = _counted(review.obstacles, "in the way"), review.obstacles
    else:
        counted, listed = _counted(review.conditions, "to know"), review.conditions
    wrong = [one for one in listed if one.kind in ("risk", "accepted")]
    lines = [counted, *(_said(one) for one in _worst(wrong))]
    return [*lines, "The technician's part lists everything, and what to do about it."]


def _worst(listed: Iterable[Obstacle | Condition]) -> list[Obstacle | Condition]:
    """Some of the worst, one of each rule, what somebody accepted first."""
    kept: dict[str, Obstacle | Condition] = {}
    for one in sorted(listed, key=lambda one: (one.kind != "accepted", -one.level)):
        kept.setdefault(one.rule, one)
    return list(kept.values())[:_MOST]


def _said(one: Obstacle | Condition) -> str:
    text = one.text.split(". ")[0].rstrip(".") + "."
    if isinstance(one, Condition) and one.acceptance is not None:
        given = one.acceptance
        return f"{text} Accepted by {given.who} on {given.date}: {given.reason}"
    return text


def _counted(listed: tuple[Obstacle | Condition, ...], words: str) -> str:
    number = Counter(KINDS.get(one.kind, one.kind) for one in listed)
    detail = ", ".join(f"{many} {kind}" for kind, many in number.items())
    things = "thing" if len(listed) == 1 else "things"
    return f"{len(listed)} {things} {words}: {detail}."


__all__ = ["KINDS", "LINE", "MEANING", "STANDING", "owner_list"]
