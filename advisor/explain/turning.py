"""Answers and words under a check that flip its verdict when one of them is another.

What can only be yes or no, one of some words, or a whole number cannot move a little. Each such
value at the bottom of a check is put in as each other one; a whole number as the next ones.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from advisor.engine import Judgement
from advisor.facts.origins import Assumed, Fact, Key, Value
from advisor.rules.values import Verdict
from advisor.sheet.values import ANSWERS
from advisor.vocabulary import Kind


@dataclass(frozen=True, slots=True)
class Turn:
    """A value, what else it could be, and the verdict then."""

    fact: Fact
    to: Value
    becomes: Verdict


def turns(fact: Fact, before: Verdict, at: Callable[[Key, Value], Judgement]) -> list[Turn]:
    """The other values of one fact with which a check comes out otherwise than `before`.

    That a check does not apply without its part goes without saying.
    """
    found = []
    for value in _others(fact):
        verdict = at(fact.key, value).verdict
        if verdict is not before and (
            fact.attribute.name != "present" or verdict is Verdict.VIOLATED
        ):
            found.append(Turn(fact, value, verdict))
    return found


def can_turn(fact: Fact) -> bool:
    """An answer, a word or a whole number of the sheet, or a part that is there."""
    wanted = fact.attribute.given or isinstance(fact.origin, Assumed)
    return any(True for _ in _others(fact)) and (wanted or fact.attribute.name == "present")


def _others(fact: Fact) -> Iterator[Value]:
    attribute, value = fact.attribute, fact.value
    if attribute.kind is Kind.FLAG:
        yield not value
    elif attribute.kind is Kind.CHOICE:
        yield from (one for one in attribute.choices if one not in (value, *ANSWERS))
    elif attribute.kind is Kind.COUNT and isinstance(value, float):
        low, high = attribute.at_least, attribute.at_most
        for other in (value - 1, value + 1):
            if other >= (1 if low is None else low) and (high is None or other <= high):
                yield other


__all__ = ["Turn", "can_turn", "turns"]
