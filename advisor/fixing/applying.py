"""Fixes picked by name, as texts to be put into a sheet."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from advisor.engine import Judgement
from advisor.facts.origins import Key, Value
from advisor.findings.judged import Check
from advisor.fixing.offers import Variant
from advisor.fixing.refusing import Refused
from advisor.fixing.trials import Trial
from advisor.problems import Place, Problem, ProblemsFoundError, nearest, shown
from advisor.rules.values import Verdict


def chosen_fixes(
    file: str,
    found: Sequence[Trial],
    refused: Sequence[Refused],
    before: Mapping[Check, Judgement],
    names: Iterable[str],
) -> Variant:
    """What some fixes write, together.

    A fix is named as it is listed, `rule@part.number`, or by its rule where that offers one only.
    `before` are the checks of the build as it is. Raises ProblemsFoundError with every name that
    is unknown, ambiguous, refused or no longer needed, and for two that clash.
    """
    problems: list[Problem] = []
    changes: dict[Key, tuple[str, Value]] = {}
    by_name = {one.offer.name: one for one in found}
    for name in names:
        listed = [by_name[name]] if name in by_name else _of_rule(found, name)
        if len(listed) == 1:
            for key, new in listed[0].variant.items():
                if changes.setdefault(key, new) != new:
                    where = f"{key[0]}.{key[1]}"
                    problem = f"{where} would be {changes[key][0]} and {new[0]} at once"
                    problems.append(Problem(file, Place(), name, problem, "apply one of the two"))
        elif listed:
            choices = f"name one of: {', '.join(one.offer.name for one in listed)}"
            problems.append(
                Problem(file, Place(), "", f"{shown(name)} offers several fixes", choices)
            )
        else:
            problem, advice = _why_not(name, found, refused, before)
            problems.append(Problem(file, Place(), "", problem, advice))
    if problems:
        raise ProblemsFoundError(problems)
    return changes


def _of_rule(found: Sequence[Trial], name: str) -> list[Trial]:
    """The fixes of a rule, or of a rule and part."""
    return [
        one
        for one in found
        if name in (one.offer.judgement.rule.name, one.offer.name.rpartition(".")[0])
    ]


def _why_not(
    name: str,
    found: Sequence[Trial],
    refused: Sequence[Refused],
    before: Mapping[Check, Judgement],
) -> tuple[str, str]:
    """Why a name is no fix of this build, and what to do instead."""
    for no in refused:
        own = no.offer.name
        if name in (own, own.rpartition(".")[0], own.partition("@")[0]):
            return f"{own} would make the sheet invalid: {no.reason}", "take another way"
    rule, at, part = name.partition("@")
    cases = {case: one for (of, case), one in before.items() if of == rule}
    if at and part not in cases:
        part = part.rpartition(".")[0]
    listed = [one for case, one in cases.items() if not at or case == part]
    if not listed:
        known = [
            *(one.offer.name for one in found),
            *(one.offer.judgement.rule.name for one in found),
        ]
        return f"there is no fix {shown(name)}", (
            nearest(name, known) or "advisor fix SHEET lists them"
        )
    where = f"{rule} on {part}" if at else rule
    wrong = [one for one in listed if one.verdict is Verdict.VIOLATED]
    wrong_cases = {one.case for one in wrong}
    if not wrong:
        if any(one.verdict is Verdict.UNDETERMINED for one in listed):
            advice = f"advisor explain SHEET {rule} says what would decide it"
            return f"{where} cannot be decided yet, so nothing is there to fix", advice
        return f"{where} is not violated; it needs no fix", "leave it out"
    same = [
        one.offer.name
        for one in found
        if one.offer.judgement.rule.name == rule and one.offer.judgement.case in wrong_cases
    ]
    if same:
        return f"there is no fix {shown(name)}", f"write {' or '.join(same[:6])}"
    advice = f"advisor explain SHEET {rule} --about {wrong[0].case} says what to do"
    return f"{where} offers no change of the sheet", advice


__all__ = ["chosen_fixes"]
