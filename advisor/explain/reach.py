"""What lies under a check: the values at the bottom, and the parts they are about."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.engine import Judgement
from advisor.facts import Facts
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Fact, Key, Unknown
from advisor.findings.causes import Causes
from advisor.rules.rule import Rule, RuleBook
from advisor.vocabulary import VOCABULARY


class Reach:
    """Walks from checks down to values, each value once."""

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self._cases = BuildCases(facts)
        self._parts: dict[Key, frozenset[str]] = {}
        self._leaves: dict[Key, frozenset[Key]] = {}

    def read(self, judgement: Judgement) -> list[Fact | Unknown]:
        """The facts that a rule reads on its case; conclusions of other rules are none."""
        return [
            self._cases.fact(judgement.case, name)
            for name in judgement.rule.reads
            if name.attribute.path in VOCABULARY.attributes
            and name.written not in judgement.rule.concluded
        ]

    def with_causes(self, judgement: Judgement, causes: Causes) -> list[Judgement]:
        """The check and all whose conclusions it reads, at any depth."""
        return [judgement, *causes.all_behind(judgement)]

    def parts(self, judgements: Iterable[Judgement]) -> frozenset[str]:
        """Ids of the parts that anything under some checks is about, and of their cases."""
        found: set[str] = set()
        for one in judgements:
            found.add(one.case)
            for fact in self.read(one):
                if isinstance(fact, Fact):
                    found |= self._parts_under(fact.key, ())
                else:
                    found |= {key.rpartition(".")[0] for key in fact.facts}
        return frozenset(found)

    def leaves(self, judgements: Iterable[Judgement]) -> tuple[Key, ...]:
        """The values at the bottom of some checks: what rests on nothing else."""
        found: dict[Key, None] = {}
        for one in judgements:
            for fact in self.read(one):
                if isinstance(fact, Fact):
                    found |= dict.fromkeys(sorted(self._leaves_under(fact.key, ())))
        return tuple(found)

    def traced(self, judgements: Iterable[Judgement]) -> frozenset[Key]:
        """The values under some checks that the plan or the trips give."""
        given = self.facts.traced()
        found: set[Key] = set()
        seen: set[Key] = set()
        stack = [
            fact.key for one in judgements for fact in self.read(one) if isinstance(fact, Fact)
        ]
        while stack:
            key = stack.pop()
            if key in seen:
                continue
            seen.add(key)
            if key in given:
                found.add(key)
            stack += self._inputs(key)
        return frozenset(found)

    def rests_on(self, key: Key, leaf: Key) -> bool:
        """True when a value at the bottom lies under another value."""
        return leaf in self._leaves_under(key, ())

    def _parts_under(self, key: Key, above: tuple[Key, ...]) -> frozenset[str]:
        known = self._parts.get(key)
        if known is None:
            found = {key[0]}
            for one in self._inputs(key):
                if one not in above:
                    found |= self._parts_under(one, (*above, key))
            known = self._parts[key] = frozenset(found)
        return known

    def _leaves_under(self, key: Key, above: tuple[Key, ...]) -> frozenset[Key]:
        known = self._leaves.get(key)
        if known is None:
            inputs = [one for one in self._inputs(key) if one not in above]
            found = {key} if not inputs else set()
            for one in inputs:
                found |= self._leaves_under(one, (*above, key))
            known = self._leaves[key] = frozenset(found)
        return known

    def _inputs(self, key: Key) -> tuple[Key, ...]:
        fact = self.facts.fact(*key)
        return tuple(getattr(fact.origin, "inputs", ())) if isinstance(fact, Fact) else ()


def needed_rules(book: RuleBook, rule: Rule) -> tuple[Rule, ...]:
    """A rule and those whose conclusions it reads, at any depth, in the order of the book."""
    wanted, waiting = {rule.name}, [rule]
    while waiting:
        one = waiting.pop()
        names = {name.attribute.name for name in one.reads if name.written in one.concluded}
        for other in book.rules:
            concludes = other.concludes.partition(".")[2]
            if concludes and concludes in names and other.name not in wanted:
                wanted.add(other.name)
                waiting.append(other)
    return tuple(one for one in book.rules if one.name in wanted)


__all__ = ["Reach", "needed_rules"]
