"""Who accepts which risk: read from the sheet, matched with the rules."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.acceptance import Acceptance, accepted_for
from advisor.engine import Judgement
from advisor.findings.risk import Level, level_of
from advisor.problems import Place, Problem, ProblemsFoundError, nearest, shown
from advisor.rules.rule import RuleBook
from advisor.sheet.build import Build

ACCEPTABLE = Level.SERIOUS
"""The worst risk that a name can accept; a worse one is mended. Common practice, no source: in
MIL-STD-882E a high risk is accepted by the highest authority alone, and there is none here."""


def acceptances(build: Build, book: RuleBook) -> tuple[Acceptance, ...]:
    """The accepted risks of a sheet, then those of a shop's own rules.

    Raises ProblemsFoundError for the names of rules that do not exist, and for high risks.
    """
    rules = {one.name: one for one in book.rules if one.hazard is not None}
    problems = []
    for number, (one, place) in enumerate(_stated(build), 1):
        path = f"accepted[{number}].rule"
        rule = rules.get(one.rule)
        if rule is None:
            advice = nearest(one.rule, rules) or "advisor rules list shows all names"
            problem = f"there is no rule {shown(one.rule)}"
            problems.append(Problem(build.file, place, path, problem, advice))
        elif level_of(rule) > ACCEPTABLE:
            problem = f"{one.rule} is a {level_of(rule).word} risk, which nobody can accept here"
            advice = "mend it; `advisor fix SHEET` lists what helps"
            problems.append(Problem(build.file, place, path, problem, advice))
    if problems:
        raise ProblemsFoundError(problems)
    return (*(one for one, _ in _stated(build)), *book.accepted)


def _stated(build: Build) -> list[tuple[Acceptance, Place]]:
    return [(one.acceptance, one.place) for one in build.accepted]


def accepted(judgement: Judgement, given: Iterable[Acceptance]) -> Acceptance | None:
    """The acceptance of a check, that of its own part before that of every part.

    None for a risk that is too high, whoever accepts it.
    """
    if level_of(judgement.rule) > ACCEPTABLE:
        return None
    fitting = accepted_for(given, judgement.rule.name, judgement.case)
    return max(fitting, key=lambda one: bool(one.about), default=None)


def useless(given: Iterable[Acceptance], judgements: Iterable[Judgement]) -> list[Acceptance]:
    """Acceptances that no check needs."""
    kept = list(judgements)
    return [one for one in given if not any(accepted(each, [one]) for each in kept)]


__all__ = ["ACCEPTABLE", "accepted", "acceptances", "useless"]
