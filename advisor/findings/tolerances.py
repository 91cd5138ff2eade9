"""Checks whose verdict is not the same over the whole tolerance that the sheet states."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from advisor.engine import Judge, Judgement
from advisor.facts import Facts
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Key
from advisor.findings.risk import Level, level_of
from advisor.rules.values import Verdict
from advisor.sheet.build import Build, Written


@dataclass(frozen=True, slots=True)
class Marginal:
    """A check that comes out differently at one end of a written tolerance.

    `key` and `written` are the value with the tolerance, `at` its end (SI), `corner` the verdict
    there.
    """

    judgement: Judgement
    level: Level
    key: Key
    subject: str
    written: Written
    at: float
    corner: Verdict


def marginal(facts: Facts, nominal: Iterable[Judgement], judge: Judge) -> list[Marginal]:
    """Checks that change at an end of a tolerance, one for each check and value.

    Each end is judged by the Python evaluator; an end that changes something is judged again by
    both.
    """
    ends = list(_ends(facts.build))
    if not ends:
        return []
    before = {(one.rule.name, one.case): one for one in nominal if one.rule.hazard is not None}
    quick = Judge(judge.book, use_engine=False)
    found: dict[tuple[str, str, Key], Marginal] = {}
    for key, written, end in ends:
        trial = facts.with_values("an end of its tolerance", {key: end})
        if not _changed(quick.judge(BuildCases(trial)), before):
            continue
        for one in _changed(judge.judge(BuildCases(trial)), before):
            was = before[one.rule.name, one.case]
            place = (one.rule.name, one.case, key)
            if place not in found or one.verdict is Verdict.VIOLATED:
                found[place] = Marginal(
                    was,
                    level_of(one.rule),
                    key,
                    facts.subject_of(key[0]),
                    written,
                    end,
                    one.verdict,
                )
    return sorted(found.values(), key=lambda one: (-one.level, one.judgement.rule.name, one.key))


def _ends(build: Build) -> Iterator[tuple[Key, Written, float]]:
    """Every value with a tolerance that counts, with each of its ends."""
    for instance in build.instances:
        readings = {name: found[-1] for name, found in instance.readings.items() if found}
        for name, written in {**instance.values, **instance.settings, **readings}.items():
            for end in (written.low, written.high):
                if end is not None and end != written.value:
                    yield (instance.id, name), written, end


def _changed(
    judgements: Iterable[Judgement], before: dict[tuple[str, str], Judgement]
) -> list[Judgement]:
    return [
        one
        for one in judgements
        if one.rule.hazard is not None
        and one.verdict is not before[one.rule.name, one.case].verdict
    ]
