"""A value that the plan gives, with what it rests on; or what is missing for it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from advisor.facts import Facts
from advisor.facts.origins import Fact, Key, Value

_NOTHING: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class Found:
    """A value (SI) with the facts it was computed from; `assumed` if one of them is."""

    value: float
    inputs: tuple[Key, ...] = ()
    assumed: bool = False
    settles: frozenset[str] = frozenset()
    missing: frozenset[str] | None = None

    @property
    def known(self) -> bool:
        """False when a fact is missing; `value` is then a stand-in and must not be shown."""
        return self.missing is None


def read(facts: Facts, identity: str, name: str, instead: float = 0.0) -> Found:
    """A fact as a number; unknown ones keep what is missing and give `instead`."""
    fact = facts.fact(identity, name)
    return of_fact(fact, instead) if isinstance(fact, Fact) else Found(instead, missing=fact.facts)


def of_fact(fact: Fact, instead: float = 0.0) -> Found:
    """A known fact as a number."""
    value = fact.value
    number = float(value) if isinstance(value, float | int) else instead
    return Found(number, (fact.key,), fact.assumed, fact.settles)


def chosen(facts: Facts, identity: str, name: str) -> Value | None:
    """The value of a fact, or None."""
    fact = facts.fact(identity, name)
    return fact.value if isinstance(fact, Fact) else None


def combined(value: float, parts: Iterable[Found]) -> Found:
    """A value computed from some others: it rests on all they rest on."""
    inputs: dict[Key, None] = {}
    assumed = False
    settles = _NOTHING
    missing: frozenset[str] | None = None
    for one in parts:
        for key in one.inputs:
            inputs[key] = None
        assumed = assumed or one.assumed
        if one.settles:
            settles |= one.settles
        if one.missing is not None:
            missing = one.missing if missing is None else missing | one.missing
    return Found(value, tuple(inputs), assumed, settles, missing)
