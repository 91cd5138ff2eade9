"""Two books of rules compared: what came, went, changed, and what that does to verdicts."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass

from advisor.engine import Judge
from advisor.facts import Facts
from advisor.facts.cases import BuildCases
from advisor.rules.rule import Rule, RuleBook
from advisor.rules.values import Verdict

NO_RULE = "no such rule"
Tell = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class VersionChange:
    """A ruleset before and after; an empty version where it is not there.

    `forgotten` when its rules differ and its version does not.
    """

    name: str
    before: str
    after: str
    forgotten: bool


@dataclass(frozen=True, slots=True)
class VerdictChange:
    """One check of one sheet that comes out otherwise; `no such rule` where there is none."""

    sheet: str
    rule: str
    about: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Changes:
    """Everything that differs between two books."""

    came: tuple[Rule, ...]
    went: tuple[Rule, ...]
    meaning: tuple[Rule, ...]
    wording: tuple[Rule, ...]
    rulesets: tuple[VersionChange, ...]
    verdicts: tuple[VerdictChange, ...]
    sheets: int


def compare_books(
    old: RuleBook,
    new: RuleBook,
    sheets: Sequence[tuple[str, Facts]] = (),
    tell: Tell = lambda done, total: None,
) -> Changes:
    """What differs, rule by rule, and the verdicts on some sheets by both books.

    A rule that came or went counts among the verdicts only where it is violated.
    """
    before = {rule.name: rule for rule in old.rules}
    after = {rule.name: rule for rule in new.rules}
    both = [name for name in after if name in before]
    meaning = [name for name in both if before[name].meaning != after[name].meaning]
    wording = [
        name
        for name in both
        if before[name].meaning == after[name].meaning
        and before[name].wording != after[name].wording
    ]
    return Changes(
        tuple(rule for name, rule in after.items() if name not in before),
        tuple(rule for name, rule in before.items() if name not in after),
        tuple(after[name] for name in meaning),
        tuple(after[name] for name in wording),
        tuple(_rulesets(old, new)),
        tuple(_verdicts(old, new, sheets, tell)),
        len(sheets),
    )


def _rulesets(old: RuleBook, new: RuleBook) -> Iterable[VersionChange]:
    before = {one.name: one for one in old.rulesets}
    after = {one.name: one for one in new.rulesets}
    for name in sorted(before.keys() | after.keys()):
        was, now = before.get(name), after.get(name)
        if was is None or now is None:
            yield VersionChange(name, was.version if was else "", now.version if now else "", False)
            continue
        same = _prints(was.rules) == _prints(now.rules)
        if was.version != now.version or not same:
            forgotten = not same and was.version == now.version
            yield VersionChange(name, was.version, now.version, forgotten)


def _prints(rules: Iterable[Rule]) -> set[tuple[str, str, str]]:
    return {(one.name, one.meaning, one.wording) for one in rules}


def _verdicts(
    old: RuleBook, new: RuleBook, sheets: Sequence[tuple[str, Facts]], tell: Tell
) -> Iterable[VerdictChange]:
    if old.fingerprint == new.fingerprint:
        return
    judges = Judge(old), Judge(new)
    for number, (sheet, facts) in enumerate(sheets):
        tell(number, len(sheets))
        before, after = (_judged(judge, facts) for judge in judges)
        for key in sorted(before.keys() | after.keys()):
            was, now = before.get(key, NO_RULE), after.get(key, NO_RULE)
            if was != now and _tells((was, now)):
                yield VerdictChange(sheet, *key, was, now)


def _tells(verdicts: tuple[str, str]) -> bool:
    """A rule that is only in one book tells something where it finds something."""
    found = [one for one in verdicts if one != NO_RULE]
    return len(found) == 2 or found[0].startswith(Verdict.VIOLATED)


def _judged(judge: Judge, facts: Facts) -> Mapping[tuple[str, str], str]:
    """The verdicts of the checks of one sheet, by rule and part."""
    return {
        (one.rule.name, one.case): f"{one.verdict}{' on an assumption' * one.on_assumption}"
        for one in judge.judge(BuildCases(facts))
    }
