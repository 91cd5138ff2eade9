"""What was found on earlier states of the same vehicle, and how each finding was closed."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from advisor.facts.cases import BuildCases
from advisor.findings.report_model import Finding, Screening
from advisor.findings.risk import Level
from advisor.findings.wording import NOT_STATED, fact_text
from advisor.judgement import Judgement
from advisor.problems import Place, Problem, ProblemsFoundError
from advisor.rules.values import Verdict
from advisor.sheet.build import Build
from advisor.vocabulary import VOCABULARY


@dataclass(frozen=True, slots=True)
class Change:
    """A value that a check reads, as it was and as it is, in words."""

    meaning: str
    then: str
    now: str


@dataclass(frozen=True, slots=True)
class Closed:
    """A finding of an earlier sheet that is none any more.

    `how` says what became of the check; `changes` are the values it reads that differ.
    """

    file: str
    level: Level
    rule: str
    title: str
    part: str
    text: str
    how: str
    changes: tuple[Change, ...]


def closed(now: Screening, earlier: Sequence[Screening], system: str) -> tuple[Closed, ...]:
    """The findings of earlier sheets, the oldest sheet first, that the present one has no more.

    A finding of several sheets is told once, as the last of them had it. Raises ProblemsFoundError
    for a sheet that shares no part with the present one: it is another vehicle.
    """
    _same_vehicle(now.facts.build, [one.facts.build for one in earlier])
    judgements = {(one.rule.name, one.case): one for one in now.judgements}
    found: dict[tuple[str, str], Closed] = {}
    for screening in earlier:
        for one in screening.all_findings():
            key = (one.rule.name, one.about)
            present = judgements.get(key)
            if one.level is Level.NOTICE or _still_found(present):
                found.pop(key, None)
            else:
                found[key] = _closed(one, screening, present, now, system)
    return tuple(sorted(found.values(), key=lambda one: (-one.level, one.rule, one.part)))


def _same_vehicle(now: Build, earlier: Iterable[Build]) -> None:
    ids = {one.id for one in now.instances if one.place.line}
    problems = [
        Problem(
            one.file,
            Place(),
            "",
            f"no part of it is in {now.file}",
            "give an earlier sheet of the same vehicle, with the same ids of its parts",
        )
        for one in earlier
        if not ids & {each.id for each in one.instances if each.place.line}
    ]
    if problems:
        raise ProblemsFoundError(problems)


def _still_found(present: Judgement | None) -> bool:
    return present is not None and present.verdict is Verdict.VIOLATED


def _closed(
    one: Finding, then: Screening, present: Judgement | None, now: Screening, system: str
) -> Closed:
    changes = () if present is None else _changes(one.judgement, present, then, now, system)
    return Closed(
        then.facts.build.file,
        one.level,
        one.rule.name,
        one.rule.title,
        one.part,
        one.text,
        _how(present),
        changes,
    )


def _how(present: Judgement | None) -> str:
    """What became of a check that was violated."""
    if present is None:
        return "the part is not in the vehicle any more, or has another id"
    if present.verdict is Verdict.NOT_APPLICABLE:
        return "the check does not apply any more"
    if present.verdict is Verdict.UNDETERMINED:
        return "not decided now: it is not closed"
    if present.on_assumption:
        return "satisfied on an assumption only"
    return "satisfied"


def _changes(
    before: Judgement, present: Judgement, then: Screening, now: Screening, system: str
) -> tuple[Change, ...]:
    """The values that the condition reads and that are not the same in words."""
    was, is_ = BuildCases(then.facts), BuildCases(now.facts)
    found = []
    for name in present.rule.reads:
        if name.attribute.path not in VOCABULARY.attributes:
            continue  # a conclusion of another rule
        first = fact_text(was.fact(before.case, name), system)
        last = fact_text(is_.fact(present.case, name), system)
        if first != last:
            found.append(Change(name.attribute.meaning, first, last))
    return tuple(found)


def change_text(one: Change) -> str:
    """A change in words: what it was, and what it is."""
    if one.then == NOT_STATED:
        return f"{one.meaning}: {one.now}, not stated before"
    if one.now == NOT_STATED:
        return f"{one.meaning}: it was {one.then}"
    return f"{one.meaning}: {one.then}, now {one.now}"


def how_text(one: Closed) -> str:
    """How a finding was closed, with the values that changed."""
    changes = "; ".join(change_text(each) for each in one.changes)
    return f"{one.how}: {changes}" if changes else one.how


__all__ = ["Change", "Closed", "change_text", "closed", "how_text"]
