"""Fixes picked by name, as texts to be put into a sheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.facts.origins import Key
from advisor.fixing.trials import Trial
from advisor.problems import Place, Problem, ProblemsFoundError, nearest, shown


def chosen_fixes(file: str, found: Sequence[Trial], names: Iterable[str]) -> dict[Key, str]:
    """The texts by part and attribute of some fixes.

    A fix is named as it is listed, `rule@part.number`, or by its rule where that offers one only.
    Raises ProblemsFoundError with every unknown or ambiguous name, and for two that clash.
    """
    problems: list[Problem] = []
    changes: dict[Key, str] = {}
    by_name = {one.offer.name: one for one in found}
    for name in names:
        listed = [by_name[name]] if name in by_name else _of_rule(found, name)
        if len(listed) == 1:
            for key, (text, _) in listed[0].variant.items():
                if changes.setdefault(key, text) != text:
                    where = f"{key[0]}.{key[1]}"
                    problem = f"{where} would be {changes[key]} and {text} at once"
                    problems.append(Problem(file, Place(), name, problem, "apply one of the two"))
        elif listed:
            choices = ", ".join(one.offer.name for one in listed)
            problems.append(
                Problem(file, Place(), "", f"{shown(name)} offers several fixes", choices)
            )
        else:
            known = [*by_name, *(one.offer.judgement.rule.name for one in found)]
            advice = nearest(name, known) or "advisor fix SHEET lists them"
            problems.append(Problem(file, Place(), "", f"there is no fix {shown(name)}", advice))
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


__all__ = ["chosen_fixes"]
