"""A build judged by the Python evaluator, and judged again where a change of it can be seen.

A check is judged again when one of the values that it reads is another one, or a conclusion is;
all others stay as they came out.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from advisor.engine import Judge
from advisor.facts import Facts
from advisor.facts.cases import BuildCases, value_of
from advisor.facts.origins import Key
from advisor.judgement import Conclusions, Judgement, Proposition, judgement
from advisor.rules.logic import verdict
from advisor.rules.rule import Rule, RuleBook
from advisor.rules.values import Known, Verdict, without_assumptions

Check = tuple[str, str]
"""A rule and the part it is judged on."""


class Judged:
    """Every check of a build. `changed` are those judged since the build it was made from."""

    def __init__(
        self,
        judge: Judge,
        facts: Facts,
        checks: Mapping[Check, Judgement],
        conclusions: Conclusions,
        readers: _Readers,
        changed: Mapping[Check, Judgement],
    ) -> None:
        self.judge = judge
        self.facts = facts
        self.checks = checks
        self.changed = changed
        self._conclusions = conclusions
        self._readers = readers

    def after(self, facts: Facts) -> Judged:
        """The build with changes; `facts` must have been made from the facts of this one."""
        others = facts.changed()
        if others is None:
            return _afresh(self.judge, facts)
        cases = BuildCases(facts)
        conclusions = Conclusions(cases, self._conclusions)
        waiting: dict[int, dict[Check, Judgement]] = {}

        def touched(checks: Iterable[Check]) -> None:
            for check in checks:
                one = self.checks[check]
                waiting.setdefault(one.rule.layer, {})[check] = one

        for key in others & self._readers.values.keys():
            if value_of(facts.fact(*key)) != value_of(self.facts.fact(*key)):
                touched(self._readers.values[key])
        changed: dict[Check, Judgement] = {}
        while waiting:
            for check, one in waiting.pop(min(waiting)).items():
                again = _again(one, cases, conclusions)
                changed[check] = again
                if one.rule.concludes and (about := conclusions.add(again)) is not None:
                    touched(self._readers.conclusions.get(about, ()))
        checks = {**self.checks, **changed}
        return Judged(self.judge, facts, checks, conclusions, self._readers, changed)

    def read_under(self, check: Check) -> set[Key]:
        """The values that a check reads, and those of every check whose conclusion it reads."""
        found: set[Key] = set()
        seen, waiting = {check}, [check]
        while waiting:
            keys, concluded = self._readers.read[waiting.pop()]
            found.update(keys)
            for about in concluded:
                more = [one for one in self._conclusions.drawn_by(about) if one not in seen]
                seen.update(more)
                waiting += more
        return found


class _Readers:
    """Which checks read which values, and which conclusions."""

    def __init__(self, judgements: Mapping[Check, Judgement], cases: BuildCases) -> None:
        conclusions = Conclusions(cases)
        self.read: dict[Check, tuple[list[Key], list[Proposition]]] = {}
        self.values: dict[Key, list[Check]] = {}
        self.conclusions: dict[Proposition, list[Check]] = {}
        for check, one in judgements.items():
            keys: dict[Key, None] = {}
            concluded: dict[Proposition, None] = {}
            for name in one.rule.reads:
                if name.written in one.rule.concluded:
                    about = conclusions.about(one.case, name)
                    if about is not None:
                        concluded[about] = None
                elif (key := cases.key(one.case, name)) is not None:
                    keys[key] = None
            for key in keys:
                self.values.setdefault(key, []).append(check)
            for about in concluded:
                self.conclusions.setdefault(about, []).append(check)
            self.read[check] = list(keys), list(concluded)


def judged(facts: Facts, book: RuleBook, rules: tuple[Rule, ...] | None = None) -> Judged:
    """Every check of a build, or those of some rules and of all that they rest on."""
    small = book if rules is None else replace(book, rules=rules)
    return _afresh(Judge(small, use_engine=False), facts)


def _afresh(judge: Judge, facts: Facts) -> Judged:
    cases = BuildCases(facts)
    found = {(one.rule.name, one.case): one for one in judge.judge(cases)}
    conclusions = Conclusions(cases)
    for one in sorted(found.values(), key=lambda one: one.rule.layer):
        if one.rule.concludes:
            conclusions.add(one)
    return Judged(judge, facts, found, conclusions, _Readers(found, cases), found)


def _again(one: Judgement, cases: BuildCases, conclusions: Conclusions) -> Judgement:
    rule = one.rule
    row = {
        name.written: (conclusions if name.written in rule.concluded else cases).value(
            one.case, name
        )
        for name in rule.reads
    }
    without = without_assumptions(row)
    strict = lenient = verdict(rule.applies, rule.when, without)
    if strict is Verdict.UNDETERMINED and any(
        isinstance(value, Known) and value.assumed for value in row.values()
    ):
        lenient = verdict(rule.applies, rule.when, row)
    return judgement(rule, one.case, one.subject, (without, row), (strict, lenient))


__all__ = ["Check", "Judged", "judged"]
