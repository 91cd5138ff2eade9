"""How a reading stands: against its expectation, and by the rules that judge readings."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from advisor.commissioning.guide import Standing
from advisor.commissioning.written import Expected
from advisor.facts import Facts
from advisor.facts.origins import Computed, Fact, Key, Measured, Unknown
from advisor.findings.report_model import Finding, Screening
from advisor.findings.risk import Level
from advisor.rules.logic import figure, settled
from advisor.rules.rule import Rule
from advisor.rules.tree import Figure, names_in
from advisor.rules.values import Known, Missing
from advisor.sheet.build import Reading, Tick

READING_RULESETS = "handoff-"
"""How the names of the rulesets begin that judge what was measured."""


@dataclass(frozen=True, slots=True)
class Band:
    """An expectation with its numbers; an end that is wanted and not known is in `unknown`."""

    low: float | None
    high: float | None
    word: str | bool | None
    facts: tuple[Fact | Unknown, ...]
    unknown: bool

    def holds(self, value: float | str | bool) -> bool | None:
        """True or false where a value can be compared, None where it cannot.

        One known end can refuse a value, but only both can take it.
        """
        if self.word is not None:
            return value == self.word
        if isinstance(value, str | bool):
            return None
        for end, sign in ((self.low, 1.0), (self.high, -1.0)):
            if end is not None:
                read, limit = settled(value, end)
                if (read - limit) * sign < 0:
                    return False
        return None if self.unknown or (self.low is None and self.high is None) else True


def band_of(expected: Expected, facts: Facts, case: str) -> Band:
    """The numbers of an expectation for one part."""
    unknown = False
    found: dict[Key, Fact | Unknown] = {}
    ends: list[float | None] = []
    for one in (expected.low, expected.high):
        value = None if one is None else _value(one, facts, case, found)
        unknown = unknown or (one is not None and value is None)
        ends.append(value)
    return Band(ends[0], ends[1], expected.word, tuple(found.values()), unknown)


def _value(tree: Figure, facts: Facts, case: str, found: dict[Key, Fact | Unknown]) -> float | None:
    row: dict[str, Known | Missing] = {}
    for name in names_in(tree):
        reach = facts.subject_of(case) if name.reach == "self" else name.reach
        fact = facts.named(case, reach, name.attribute.name)
        key = fact.key if isinstance(fact, Fact) else (case, name.written)
        found[key] = fact
        row[name.written] = (
            Missing(fact.facts, fact.reason)
            if isinstance(fact, Unknown)
            else Known(fact.value, fact.assumed, fact.settles)
        )
    return figure(tree, row)


def standing(
    key: Key,
    readings: tuple[Reading, ...],
    band: Band | None,
    screening: Screening,
    outside: Collection[Key] = (),
) -> tuple[Standing, tuple[Finding, ...]]:
    """How the last reading of a step stands, and the findings that speak of it.

    A notice says nothing against a reading. Where a check reads several, and one of those is in
    `outside`, that is outside its own band, it speaks of that one and not of those beside it.
    """
    if not readings:
        return Standing.OPEN, ()
    against = tuple(
        one
        for one in _everything(screening)
        if one.level is not Level.NOTICE and _blames(one, key, outside, screening.facts)
    )
    holds = band.holds(readings[-1].value) if band is not None else None
    if any(one.level >= Level.SERIOUS for one in against):
        return Standing.DANGEROUS, against
    if against or holds is False:
        return Standing.OFF, against
    compared = holds or any(
        not one.judgement.on_assumption
        and _judges(one.judgement.rule, one.names, key, screening.facts)
        for one in screening.passed
    )
    return (Standing.PLAUSIBLE if compared else Standing.NO_EXPECTATION), against


def said_standing(said: tuple[Tick, ...], has_reading: bool) -> Standing:
    """How a step stands that has no reading, by the last thing said of it.

    A tick is no reading: a step that asks for one stays open, whoever says that it was done.
    """
    if not said:
        return Standing.OPEN
    if said[-1].done:
        return Standing.OPEN if has_reading else Standing.DONE
    return Standing.NOT_DONE


def _everything(screening: Screening) -> list[Finding]:
    """All findings, also the milder ones that a graver one makes redundant."""
    found: list[Finding] = []
    for one in screening.all_findings():
        found += [one, *one.milder]
    return found


def _blames(one: Finding, key: Key, outside: Collection[Key], facts: Facts) -> bool:
    """True when a finding reads what was measured, and no other reading is the reason for it."""
    if not _judges(one.rule, one.names, key, facts):
        return False
    return key in outside or not any(
        _judges(one.rule, one.names, other, facts) for other in outside
    )


def _judges(rule: Rule, names: Mapping[str, Fact | Unknown], key: Key, facts: Facts) -> bool:
    """True when a rule reads what was measured.

    Rules that judge readings may also read it under a value computed from readings; an expectation
    that was computed from it does not count, for then another reading is judged by this one.
    """
    read = [names[one.written] for one in rule.reads if one.written in names]
    known = [one for one in read if isinstance(one, Fact)]
    if any(one.key == key for one in known):
        return True
    if not rule.ruleset.startswith(READING_RULESETS):
        return False
    return _under([one for one in known if "_expected" not in one.attribute.name], key, facts)


def _under(read: Iterable[Fact], key: Key, facts: Facts) -> bool:
    """True when a value is computed from what was measured."""
    stack = [one.key for one in read]
    seen: set[Key] = set()
    while stack:
        one = stack.pop()
        if one == key:
            return True
        if one in seen:
            continue
        seen.add(one)
        fact = facts.fact(*one)
        if isinstance(fact, Fact) and isinstance(fact.origin, Computed):
            stack += fact.origin.inputs
    return False


def rests_on(read: Iterable[Fact], keys: Collection[Key], facts: Facts) -> bool:
    """True when one of the values was read on the vehicle at these places, or is computed from it.

    A value that is stated or computed beside a reading, and counts before it, rests on no reading.
    """
    stack = list(read)
    seen: set[Key] = set()
    while stack:
        one = stack.pop()
        if one.key in seen:
            continue
        seen.add(one.key)
        if isinstance(one.origin, Measured):
            if one.key in keys:
                return True
        elif isinstance(one.origin, Computed):
            inputs = (facts.fact(*key) for key in one.origin.inputs)
            stack += [fact for fact in inputs if isinstance(fact, Fact)]
    return False


__all__ = ["READING_RULESETS", "Band", "band_of", "rests_on", "said_standing", "standing"]
