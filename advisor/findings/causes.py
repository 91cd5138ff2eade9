"""Which violated check stands behind another: it reads what the other concludes about its part."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from advisor.engine import Judgement
from advisor.rules.rule import Rule
from advisor.rules.values import Verdict

Related = Callable[[str, str], str | None]
"""The one part of a subject that belongs to a case, or None."""


class Causes:
    """The violated checks of one build by what they conclude and about which part."""

    def __init__(self, judgements: Iterable[Judgement], related: Related) -> None:
        self._related = related
        self._concluded: dict[tuple[str | None, str], list[Judgement]] = {}
        for one in judgements:
            if one.verdict is Verdict.VIOLATED and one.rule.concludes:
                part = self._part(one.case, one.rule.concludes_on)
                name = one.rule.concludes.partition(".")[2]
                self._concluded.setdefault((part, name), []).append(one)

    def of(self, judgement: Judgement) -> list[Judgement]:
        """The checks whose conclusions this one reads; one that is certain has certain causes."""
        found: list[Judgement] = []
        for reach, name in _reads(judgement.rule):
            for one in self._concluded.get((self._part(judgement.case, reach), name), ()):
                if judgement.on_assumption or not one.on_assumption:
                    found.append(one)
        return found

    def behind(self, judgement: Judgement) -> list[Judgement]:
        """The nearest causes that are hazards; rules that only conclude are looked through."""
        found: dict[int, Judgement] = {}
        stack = self.of(judgement)
        while stack:
            one = stack.pop()
            if one.rule.hazard is not None:
                found[id(one)] = one
            else:
                stack += self.of(one)
        return list(found.values())

    def all_behind(self, judgement: Judgement) -> list[Judgement]:
        """Every cause behind a check, at any depth, each once."""
        found: dict[int, Judgement] = {}
        stack = self.of(judgement)
        while stack:
            one = stack.pop()
            if id(one) not in found:
                found[id(one)] = one
                stack += self.of(one)
        return list(found.values())

    def _part(self, case: str, reach: str) -> str | None:
        return case if reach == "self" else self._related(case, reach)


def _reads(rule: Rule) -> set[tuple[str, str]]:
    """Where a rule reaches for conclusions, and their names."""
    return {
        (name.reach, name.attribute.name) for name in rule.reads if name.written in rule.concluded
    }
