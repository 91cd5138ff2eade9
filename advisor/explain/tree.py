"""The tree under a value: what it was worked out from, down to lines of the sheet and tables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from advisor.facts import Facts
from advisor.facts.origins import (
    Assumed,
    Computed,
    Fact,
    Key,
    LookedUp,
    Measured,
    Unknown,
    WrittenIn,
    question_key,
)
from advisor.findings.wording import fact_text
from advisor.vocabulary import VOCABULARY


@dataclass(frozen=True, slots=True)
class Node:
    """One value: its name, what it means, its text, how it became known, and what it rests on.

    `how` is one of written, programmed, measured, table, computed, assumed, trial, unknown; `words`
    the formula, the reason, the place or what is missing. `again` marks a value whose tree was
    shown before.
    """

    name: str
    meaning: str
    text: str
    how: str
    words: str
    source: str
    assumed: bool
    inputs: tuple[Node, ...] = ()
    again: bool = False

    def walk(self) -> Iterator[Node]:
        """This value and all under it."""
        yield self
        for one in self.inputs:
            yield from one.walk()


def tree_of(facts: Facts, key: Key, system: str, seen: set[Key] | None = None) -> Node:
    """The tree under one value. `seen` are the values shown so far; they are not opened again."""
    seen = set() if seen is None else seen
    return _node(facts, key, facts.fact(*key), system, seen)


def tree_of_fact(
    facts: Facts, fact: Fact | Unknown, name: str, meaning: str, system: str, seen: set[Key]
) -> Node:
    """The tree under a fact that a rule read under some name."""
    if isinstance(fact, Unknown):
        return _unknown(fact, name, meaning)
    return _node(facts, fact.key, fact, system, seen)


def _unknown(fact: Unknown, name: str, meaning: str) -> Node:
    missing = ", ".join(sorted(fact.facts))
    if len(fact.facts) == 1 and name.rpartition(".")[2] == missing.rpartition(".")[2]:
        return Node(missing, meaning, "not known", "unknown", "nobody stated it", "", False)
    words = f"it would need {missing}" if missing else fact.reason
    return Node(name, meaning, "not known", "unknown", words, "", False)


def _node(facts: Facts, key: Key, fact: Fact | Unknown, system: str, seen: set[Key]) -> Node:
    name = question_key(*key)
    attribute = VOCABULARY.attributes.get(f"{facts.subject_of(key[0])}.{key[1]}")
    meaning = attribute.meaning if attribute else ""
    if isinstance(fact, Unknown):
        return _unknown(fact, name, meaning)
    how, words, source, inputs = _origin(fact)
    again = key in seen and bool(inputs)
    seen.add(key)
    children = () if again else tuple(
        _node(facts, one, facts.fact(*one), system, seen) for one in dict.fromkeys(inputs)
    )  # fmt: skip
    words += _hidden_assumption(facts, fact, how, words, inputs)
    text = fact_text(fact, system)
    return Node(name, meaning, text, how, words, source, fact.assumed, children, again)


def _hidden_assumption(
    facts: Facts, fact: Fact, how: str, words: str, inputs: tuple[Key, ...]
) -> str:
    """What a value assumes by itself, where nothing under it says so."""
    if not fact.assumed or how != "computed" or "ASSUMED" in words:
        return ""
    below = (facts.fact(*one) for one in inputs)
    if any(isinstance(one, Fact) and one.assumed for one in below):
        return ""
    missing = ", ".join(sorted(fact.settles))
    return f"; ASSUMED in it: nobody stated {missing}" if missing else "; partly ASSUMED"


def _origin(fact: Fact) -> tuple[str, str, str, tuple[Key, ...]]:
    """How a fact became known, in words, with its source and its inputs."""
    origin = fact.origin
    match origin:
        case WrittenIn():
            how = "programmed" if origin.programmed else "written"
            return how, f"{origin.text}, line {origin.place.line} of {origin.file}", "", ()
        case Measured():
            by = ", ".join(one for one in (origin.instrument, origin.time, origin.who) if one)
            words = f"{origin.text}, line {origin.place.line} of {origin.file}"
            return "measured", f"{words} ({by})" if by else words, "", ()
        case LookedUp():
            words = f"table {origin.table}, row {origin.row}, column {origin.column}"
            return "table", words, f"{origin.source} ({origin.confidence})", ()
        case Computed():
            return "computed", origin.formula, origin.source, origin.inputs
        case Assumed():
            return "assumed", origin.reason, origin.source, origin.inputs
    return "trial", getattr(origin, "reason", ""), "", ()
