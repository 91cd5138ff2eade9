"""Only those rules judged again that a change can touch; the others stay as they came out.

A rule is touched when judging it asked for one of the changed values, whether it was known or not,
or when it reads what a touched rule concludes.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from advisor.engine import Judge, Judgement
from advisor.facts import Facts
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Key
from advisor.fixing.checks import Check, by_check
from advisor.rules.rule import Rule, RuleBook
from advisor.vocabulary import VOCABULARY


class Narrow:
    """The judgements of a build, and which of its rules ask for which values."""

    def __init__(self, facts: Facts, book: RuleBook) -> None:
        self.book = book
        judged = Judge(book, use_engine=False).judge(BuildCases(facts))
        self.before: Mapping[Check, Judgement] = by_check(judged)
        self._asked: dict[str, set[Key]] = {}
        for one in judged:
            asked: set[Key] = set()
            cases = BuildCases(facts.noting(asked))
            for name in one.rule.reads:
                if name.attribute.path in VOCABULARY.attributes:
                    cases.fact(one.case, name)
            self._asked.setdefault(one.rule.name, set()).update(asked)
        self._judges: dict[frozenset[str], Judge] = {}

    def after(
        self, facts: Facts, *, keys: Iterable[Key] = (), parts: Iterable[str] = ()
    ) -> dict[Check, Judgement]:
        """Every check with a hazard, when some values or whole parts are others in `facts`."""
        found = self._judge(frozenset(keys), frozenset(parts)).judge(BuildCases(facts))
        return {**self.before, **by_check(found)}

    def _judge(self, keys: frozenset[Key], parts: frozenset[str]) -> Judge:
        touched = {
            name
            for name, asked in self._asked.items()
            if asked & keys or (parts and any(key[0] in parts for key in asked))
        }
        names = frozenset(self._with_readers(touched))
        if names not in self._judges:
            rules = tuple(one for one in self.book.rules if one.name in names)
            self._judges[names] = Judge(replace(self.book, rules=rules), use_engine=False)
        return self._judges[names]

    def _with_readers(self, touched: set[str]) -> set[str]:
        """Some rules, all that read what they conclude, and all that conclude the same."""
        names = set(touched)
        while True:
            drawn = {_drawn(one) for one in self.book.rules if one.name in names} - {""}
            readers = {one.name for one in self.book.rules if drawn & _read(one)}
            # a conclusion is met by all rules that draw it, so those are needed too
            needed = {name for one in self.book.rules if one.name in names for name in _read(one)}
            alike = {one.name for one in self.book.rules if _drawn(one) in drawn | needed}
            more = names | readers | alike
            if more == names:
                return names
            names = more


def _drawn(rule: Rule) -> str:
    """What a rule concludes, without its part; empty where it concludes nothing."""
    return rule.concludes.partition(".")[2]


def _read(rule: Rule) -> set[str]:
    """The conclusions that a rule reads."""
    return {name.attribute.name for name in rule.reads if name.written in rule.concluded}


__all__ = ["Narrow"]
