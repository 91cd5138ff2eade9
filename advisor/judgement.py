"""What a rule says of a case, and what the rules conclude for one another."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Protocol

from advisor.rules.logic import margin, missing_facts, reasons
from advisor.rules.rule import Rule
from advisor.rules.values import NONE, Known, Missing, Row, Value, Verdict
from advisor.vocabulary import Name

Proposition = tuple[str, str]
"""(part, name of what is concluded about it)."""


class CaseSource(Protocol):
    """What the judge needs of a build."""

    def cases(self, subject: str) -> Sequence[str]:
        """Ids of the cases of a subject."""

    def related(self, case: str, subject: str) -> str | None:
        """The one part of another subject that belongs to a case."""

    def value(self, case: str, name: Name) -> Known | Missing:
        """The value of an attribute as seen from a case."""


@dataclass(frozen=True, slots=True)
class Judgement:
    """One rule on one case.

    `on_assumption`: undetermined without assumed values, decided with them; such a check is not
    cleared. `margin` is how far the value is from its limit, relative to it, negative when
    violated; None without a number. `missing` is the smallest set of facts that can decide it (or
    replace the assumption), `reasons` why it is undetermined.
    """

    rule: Rule
    case: str
    subject: str
    verdict: Verdict
    on_assumption: bool = False
    margin: float | None = None
    missing: frozenset[str] = NONE
    reasons: tuple[str, ...] = ()


class EngineError(Exception):
    """The program contradicts itself; nothing it says about this build can be trusted."""


def judgement(
    rule: Rule, case: str, subject: str, rows: tuple[Row, Row], verdicts: tuple[Verdict, Verdict]
) -> Judgement:
    """What a rule says of a case, from its rows and verdicts without and with assumed values.

    Assumed values only add information, so they never change what is decided without them.
    """
    (without, values), (strict, lenient) = rows, verdicts
    if strict is not Verdict.UNDETERMINED:
        far = _margin(rule, without, strict)
        return Judgement(rule, case, subject, strict, margin=far)
    if lenient is not Verdict.UNDETERMINED:
        settles = missing_facts(rule.applies, rule.when, without)
        far = _margin(rule, values, lenient)
        return Judgement(rule, case, subject, lenient, True, far, settles)
    missing = missing_facts(rule.applies, rule.when, values)
    why = reasons(rule.applies, rule.when, values)
    return Judgement(rule, case, subject, lenient, missing=missing, reasons=why)


def _margin(rule: Rule, row: Row, decided: Verdict) -> float | None:
    if decided is Verdict.NOT_APPLICABLE:
        return None
    far = margin(rule.when, row)
    return None if far is None or math.isinf(far) else 0.0 - far


@dataclass(frozen=True, slots=True)
class _Concluded:
    """What one judgement concludes: without assumptions, with them, and what would settle it."""

    strict: bool | None
    lenient: bool | None
    missing: frozenset[str]


class Conclusions:
    """The propositions settled so far, by the part they are about and their name.

    Violated concludes true; satisfied and not applicable conclude false. Several rules or cases on
    one proposition meet by three-valued `or`; none at all concludes nothing, which is false.
    """

    def __init__(self, source: CaseSource, like: Conclusions | None = None) -> None:
        self._source = source
        self._found: dict[Proposition, Mapping[tuple[str, str], _Concluded]] = {}
        if like is not None:
            self._found.update(like._found)

    def add(self, one: Judgement) -> Proposition | None:
        """Note what a judgement concludes; gives the proposition if that is news."""
        rule = one.rule
        part = one.case
        if rule.concludes_on != "self":
            related = self._source.related(one.case, rule.concludes_on)
            if related is None:
                raise EngineError(f"rule {rule.name}: there is no {rule.concludes_on}")
            part = related
        says = {Verdict.VIOLATED: True, Verdict.UNDETERMINED: None}.get(one.verdict, False)
        about = (part, rule.concludes.partition(".")[2])
        so_far = self._found.get(about, {})
        found = _Concluded(None if one.on_assumption else says, says, one.missing)
        if so_far.get((rule.name, one.case)) == found:
            return None
        self._found[about] = {**so_far, (rule.name, one.case): found}
        return about

    def about(self, case: str, name: Name) -> Proposition | None:
        """The proposition that a name means as seen from a case; None without a part."""
        part: str | None = case
        if name.reach != "self":
            part = self._source.related(case, name.reach)
        return None if part is None else (part, name.attribute.name)

    def drawn_by(self, about: Proposition) -> Iterable[tuple[str, str]]:
        """The checks, as rule and case, that say something of a proposition."""
        return self._found.get(about, {}).keys()

    def value(self, case: str, name: Name) -> Value:
        """The value of a proposition as seen from a case."""
        about = self.about(case, name)
        if about is None:
            return self._no_part(case, name)
        found = self._found.get(about, {}).values()
        strict = [one.strict for one in found]
        if True in strict:
            return Known(True)
        if None not in strict:
            return Known(False)
        open_ones = [one for one in found if one.strict is None]
        holds = [one for one in open_ones if one.lenient]
        if holds:
            return Known(True, True, _fewest(holds))
        unknown = [one for one in open_ones if one.lenient is None]
        if unknown:
            return Missing(_fewest(unknown), "another check is undetermined")
        return Known(False, True, NONE.union(*(one.missing for one in open_ones)))

    def _no_part(self, case: str, name: Name) -> Missing:
        present = Name(f"{name.reach}.present", replace(name.attribute, name="present"), name.reach)
        fitted = self._source.value(case, present)
        if isinstance(fitted, Missing):
            return fitted
        return Missing(NONE, f"no single {name.reach} belongs to it")


def _fewest(found: Iterable[_Concluded]) -> frozenset[str]:
    return min(
        (one.missing for one in found), key=lambda facts: (not facts, len(facts), sorted(facts))
    )


__all__ = ["CaseSource", "Conclusions", "EngineError", "Judgement", "Proposition", "judgement"]
