"""Who accepts which risk: read from the sheet, matched with the rules."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.engine import Judgement
from advisor.findings.risk import Level, level_of
from advisor.handoff.model import Acceptance
from advisor.problems import Problem, ProblemsFoundError, nearest, shown
from advisor.rules.rule import RuleBook
from advisor.sheet.build import Build

ACCEPTABLE = Level.SERIOUS
"""The worst risk that a name can accept; a worse one is mended. Common practice, no source: in
MIL-STD-882E a high risk is accepted by the highest authority alone, and there is none here."""


def acceptances(build: Build, book: RuleBook) -> tuple[Acceptance, ...]:
    """The accepted risks of a sheet.

    Raises ProblemsFoundError for the names of rules that do not exist, and for high risks.
    """
    rules = {one.name: one for one in book.rules if one.hazard is not None}
    problems = []
    for number, one in enumerate(build.accepted, 1):
        path = f"accepted[{number}].rule"
        rule = rules.get(one.rule)
        if rule is None:
            advice = nearest(one.rule, rules) or "advisor rules list shows all names"
            problem = f"there is no rule {shown(one.rule)}"
            problems.append(Problem(build.file, one.place, path, problem, advice))
        elif level_of(rule) > ACCEPTABLE:
            problem = f"{one.rule} is a {level_of(rule).word} risk, which nobody can accept here"
            advice = "mend it; `advisor fix SHEET` lists what helps"
            problems.append(Problem(build.file, one.place, path, problem, advice))
    if problems:
        raise ProblemsFoundError(problems)
    return tuple(
        Acceptance(one.rule, one.about, one.who, one.date, one.reason) for one in build.accepted
    )


def accepted(judgement: Judgement, given: Iterable[Acceptance]) -> Acceptance | None:
    """The acceptance of a check, that of its own part before that of every part."""
    fitting = [one for one in given if one.rule == judgement.rule.name]
    own = [one for one in fitting if one.about == judgement.case]
    return next(iter(own or [one for one in fitting if not one.about]), None)


def useless(given: Iterable[Acceptance], judgements: Iterable[Judgement]) -> list[Acceptance]:
    """Acceptances that no check needs."""
    kept = list(judgements)
    return [one for one in given if not any(accepted(each, [one]) for each in kept)]


__all__ = ["ACCEPTABLE", "accepted", "acceptances", "useless"]
