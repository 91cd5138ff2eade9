"""The fixes that the violated checks of a build offer, as values for the sheet."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal

from advisor.engine import Judgement
from advisor.facts import Facts
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Fact, Key, Value
from advisor.findings.wording import advice_text, part_text
from advisor.rules.rule import Change
from advisor.rules.texts import Template
from advisor.rules.values import Verdict
from advisor.units import unit
from advisor.vocabulary import Attribute, Name

Variant = Mapping[Key, tuple[str, Value]]
"""What a fix writes: the text for the sheet and the value (SI) by part and attribute."""


@dataclass(frozen=True, slots=True)
class Offer:
    """One fix of one violated check.

    `variants` are ways to write its numbers: to the nearest of three figures, rounded up, rounded
    down, and with six figures.
    """

    judgement: Judgement
    number: int
    text: str
    variants: tuple[Variant, ...]

    @property
    def name(self) -> str:
        """`rule@part.number`, as the commands take it."""
        return f"{self.judgement.rule.name}@{self.judgement.case}.{self.number}"

    @property
    def keys(self) -> frozenset[Key]:
        """The values it changes."""
        return frozenset(self.variants[0])


def offers(facts: Facts, judgements: Iterable[Judgement], system: str = "si") -> list[Offer]:
    """Every fix with changes of the violated checks, in their order; advice alone is left out.

    A fix whose part is not listed, or whose value is not known, cannot be tried and is left out.
    """
    cases = BuildCases(facts)
    found = []
    for one in judgements:
        if one.verdict is not Verdict.VIOLATED or one.rule.hazard is None:
            continue
        for number, fix in enumerate(one.rule.fixes, 1):
            if not fix.changes:
                continue
            written = [_written(cases, one.case, change) for change in fix.changes]
            if all(written):
                variants = _variants([item for item in written if item is not None])
                text = _filled(cases, one.case, fix.do, system)
                found.append(Offer(one, number, text, variants))
    return found


def _filled(cases: BuildCases, case: str, text: Template, system: str) -> str:
    """The advice with its numbers in."""
    facts = cases.facts

    def part(reach: str) -> str:
        identity = case if reach == "self" else facts.related(case, reach)
        return part_text(facts, identity or reach)

    return text.fill(lambda name: advice_text(cases.fact(case, name), system), part)


def _written(cases: BuildCases, case: str, change: Change) -> tuple[Key, Attribute, Value] | None:
    """The value that a change puts in, and where; None where either is not known."""
    name = change.name
    part = case if name.reach == "self" else cases.facts.related(case, name.reach)
    if part is None or cases.facts.instance(part) is None:
        return None
    value: Value
    if isinstance(change.value, Name):
        fact = cases.fact(case, change.value)
        if not isinstance(fact, Fact):
            return None
        value = fact.value
    else:
        value = change.value
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return (part, name.attribute.name), name.attribute, value


def _variants(items: list[tuple[Key, Attribute, Value]]) -> tuple[Variant, ...]:
    found: list[Variant] = []
    for how in (_nearest, math.ceil, math.floor, None):
        variant = {key: _text(attribute, value, how) for key, attribute, value in items}
        if variant not in found:
            found.append(variant)
    return tuple(found)


def _nearest(number: float) -> int:
    return round(number)


def _text(
    attribute: Attribute, value: Value, how: Callable[[float], int] | None
) -> tuple[str, Value]:
    """A value as a person writes it, and what that is in SI."""
    if isinstance(value, bool):
        return ("yes" if value else "no"), value
    if not isinstance(value, float):
        return str(value), value
    used = unit(attribute.unit)
    number = (value - used.offset) / used.factor
    if how is not None and number:
        step = 10.0 ** (math.floor(math.log10(abs(number))) - 2)
        number = how(round(number / step, 6)) * step  # 58.4 stays 58.4 whichever way it is rounded
    words = format(Decimal(f"{number:.6g}"), "f")  # a sheet takes no exponent
    text = f"{words} {used.spelling}".strip()
    return text, float(words) * used.factor + used.offset


__all__ = ["Offer", "Variant", "offers"]
