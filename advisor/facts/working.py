"""A derivation worked for one instance: its inputs gathered, its formula or its table applied."""

from __future__ import annotations

import math
from typing import Any, Protocol

from advisor.facts.derivation import Derivation, Need, Worded
from advisor.facts.origins import (
    Assumed,
    Computed,
    Fact,
    Key,
    LookedUp,
    Measured,
    Origin,
    Unknown,
    Value,
    question_key,
)
from advisor.tables.reader import table
from advisor.vocabulary import Attribute


class Asked(Protocol):
    """What gives the inputs."""

    def instances(self, subject: str) -> tuple[str, ...]:
        """Ids of all instances of a subject."""

    def mentioned(self, subject: str) -> bool:
        """True when the sheet lists such a part or says there is none."""

    def named(self, identity: str, subject: str, attribute: str) -> Fact | Unknown:
        """The value of `subject.attribute` as seen from an instance."""

    def fact(self, identity: str, name: str) -> Fact | Unknown:
        """The value of an attribute of an instance."""


def worked(
    facts: Asked, derivation: Derivation, identity: str, attribute: Attribute
) -> Fact | Unknown:
    """The value that a derivation gives, or what is missing for it."""
    values: list[Any] = []
    inputs: list[Key] = []
    missing: set[str] = set()
    assumed = derivation.kind == "assumed"
    settles: set[str] = set()
    reason = ""
    blocked = False
    left_out: list[frozenset[str]] = []
    for one in derivation.needs:
        gathered = _gathered(facts, identity, one, left_out)
        if isinstance(gathered, Unknown):
            missing |= gathered.facts
            reason = reason or gathered.reason
            blocked = True
            continue
        found, read = gathered
        values.append(found)
        for fact in read:
            inputs.append(fact.key)
            assumed = assumed or fact.assumed
            settles |= fact.settles
    if blocked:
        return Unknown(frozenset(missing), reason)
    if derivation.table is not None:
        return _looked_up(derivation, identity, attribute, str(values[0]), inputs, assumed)
    result = derivation.formula(*values)
    words = result.words if isinstance(result, Worded) else derivation.words
    value = result.value if isinstance(result, Worded) else result
    if value is None or (isinstance(value, float) and not math.isfinite(value)):
        settling = min((one for one in left_out if one), key=len, default=frozenset())
        return Unknown(settling, "these values do not decide it")
    if not isinstance(value, str | bool):
        value = float(value)
    keys = tuple(inputs)
    origin: Origin = (
        Assumed(words, keys, derivation.source)
        if derivation.kind == "assumed"
        else Computed(words, keys, derivation.source)
    )
    return Fact(identity, attribute, value, origin, assumed, frozenset(settles))


def _looked_up(
    derivation: Derivation,
    identity: str,
    attribute: Attribute,
    row: str,
    inputs: list[Key],
    assumed: bool,
) -> Fact | Unknown:
    assert derivation.table is not None
    name, column = derivation.table
    entry = table(name).value(row, column)
    if entry is None:
        return Unknown(frozenset(), f"table {name} has no {column} for {row}")
    origin = LookedUp(entry.table, row, column, entry.source, entry.confidence)
    return Fact(identity, attribute, entry.value, origin, assumed)


def _gathered(
    facts: Asked, identity: str, one: Need, left_out: list[frozenset[str]]
) -> tuple[Any, list[Fact]] | Unknown:
    """The value or values of a need; what an optional one lacks goes to `left_out`."""
    if not one.each:
        fact = facts.named(identity, one.subject, one.attribute)
        if isinstance(fact, Unknown):
            if not one.optional:
                return fact
            if not one.time:
                left_out.append(fact.facts)
            return None, []
        if one.time:  # the value itself is no input
            return fact.origin.time if isinstance(fact.origin, Measured) else "", []
        return fact.value, [fact]
    if not facts.mentioned(one.subject):
        key = question_key(one.subject, "present")
        if one.optional:
            left_out.append(frozenset({key}))
            return None, []
        return Unknown(frozenset({key}), f"no {one.subject} is mentioned")
    values: list[Value | None] = []
    found: list[Fact] = []
    missing: set[str] = set()
    for other in facts.instances(one.subject):
        fact = facts.fact(other, one.attribute)
        if isinstance(fact, Fact):
            values.append(fact.value)
            found.append(fact)
        elif one.optional:
            left_out.append(fact.facts)
            values.append(None)
        else:
            missing |= fact.facts
    if missing or len(values) < len(facts.instances(one.subject)):
        return Unknown(frozenset(missing), "not stated for every one")
    return values, found


__all__ = ["Asked", "worked"]
