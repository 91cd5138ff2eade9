"""Texts of a step filled with the values of one build: to do, to expect, to find out."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Protocol

from advisor.commissioning.guide import Expectation
from advisor.commissioning.standing import Band
from advisor.commissioning.written import Expected, WrittenStep
from advisor.facts import Facts
from advisor.facts.origins import Assumed, Computed, Fact, Unknown
from advisor.findings.wording import advice_text, part_text, value_text
from advisor.rules.logic import truth
from advisor.rules.texts import Template
from advisor.rules.tree import Condition, names_in
from advisor.rules.values import Known, Missing, Value, without_assumptions
from advisor.rules.words import describe
from advisor.units import shown_unit
from advisor.vocabulary import ASK_WORDS, TRAITS, VOCABULARY, Attribute, Kind, Name

_PLACES = {
    "near": "its side towards the battery",
    "far": "its side away from the battery",
    "plus": "the most positive terminal of the battery",
    "minus": "the most negative terminal of the battery",
}


class Points(Protocol):
    """What the plan of the cables tells about places of the circuit."""

    def distance(self, part: str) -> float:
        """How far a part is from the battery."""

    def point(self, part: str, which: str) -> str:
        """A terminal of a part or of the battery, or an empty text."""


class Filler:
    """Fills texts with the values of one build, in the units of the reader.

    `read_by` are names of the steps by the fact that their reading gives.
    """

    def __init__(self, facts: Facts, system: str, points: Points | None) -> None:
        self.facts = facts
        self.system = system
        self.points = points
        self.read_by: dict[str, str] = {}

    # -- values ------------------------------------------------------------------------------------

    def row(self, condition: Condition, case: str) -> dict[str, Value]:
        """The values that a condition reads."""
        return {one.written: self._value(case, one) for one in names_in(condition)}

    def may_apply(self, condition: Condition | None, case: str) -> bool:
        """False only where it is certain, without assumptions, that a condition does not hold."""
        if condition is None:
            return True
        return truth(condition, without_assumptions(self.row(condition, case))) is not False

    def _value(self, case: str, name: Name) -> Value:
        fact = self._fact(case, name)
        if isinstance(fact, Unknown):
            return Missing(fact.facts, fact.reason)
        if isinstance(fact.value, float) and not math.isfinite(fact.value):
            return Missing(fact.settles, "not a finite number")
        return Known(fact.value, fact.assumed, fact.settles)

    def _fact(self, case: str, name: Name) -> Fact | Unknown:
        if name.reach == "self":
            return self.facts.fact(case, name.attribute.name)
        return self.facts.named(case, name.reach, name.attribute.name)

    # -- texts -------------------------------------------------------------------------------------

    def do(self, step: WrittenStep, case: str) -> str:
        """What to do; before it what is to be settled first, and after it what to look up."""
        parts = [self.fill(step.do, case)]
        if step.reading is not None and step.reading.attribute.kind is Kind.FLAG:
            parts.append(f"Yes means: {step.reading.attribute.meaning}.")
        if (
            step.applies is not None
            and truth(step.applies, self.row(step.applies, case)) is not True
        ):
            only = describe(step.applies, self.system)
            parts.insert(0, f"Only if {only}; the sheet does not settle it.")
        asked = {self.look_up(fact) for fact in self._unknown(step.names, case) if fact.facts}
        parts += [f"Find out first: {'; '.join(sorted(asked))}."] if asked else []
        return " ".join(parts)

    def _unknown(self, names: Iterable[Name], case: str) -> list[Unknown]:
        facts = [self._fact(case, one) for one in names]
        return [one for one in facts if isinstance(one, Unknown)]

    def look_up(self, fact: Unknown) -> str:
        """What a person can find out instead of an unknown value, and where."""
        words: list[str] = []
        kinds: list[str] = []
        for key in sorted(fact.facts):
            if key in self.read_by:
                words.append(f"the reading of {self.read_by[key]}")
                continue
            part, _, name = key.rpartition(".")
            subject = self.facts.subject_of(part)
            attribute = VOCABULARY.attribute(subject, name)
            if name == "present" or attribute is None:
                members = TRAITS.get(subject, (subject,))
                kinds += [VOCABULARY.subjects[one].meaning for one in members]
                continue
            owner = part_text(self.facts, part)
            words.append(f"{attribute.meaning} of {owner} ({ASK_WORDS[attribute.ask]})")
        if kinds:
            words.append(f"to be known which of these there are: {', '.join(kinds)}")
        return ", and ".join(words)

    def fill(self, text: Template, case: str) -> str:
        """A text with its names, parts and places of the circuit."""

        def part(reach: str) -> str:
            if reach in _PLACES:
                found = self.points.point(case, reach) if self.points is not None else ""
                return found or _PLACES[reach]
            owner = case if reach == "self" else self.facts.related(case, reach)
            return part_text(self.facts, owner or reach)

        def value(name: Name) -> str:
            fact = self._fact(case, name)
            said = advice_text(fact, self.system)
            return f"{said} (assumed)" if isinstance(fact, Fact) and fact.assumed else said

        return text.fill(value, part)

    def expectation(
        self, expected: Expected | None, band: Band | None, attribute: Attribute | None, case: str
    ) -> Expectation | None:
        """What a reading should be, how that was computed, and what it still needs."""
        if expected is None or band is None or attribute is None:
            return None
        text = self._band_text(band, attribute)
        unknown = [one for one in band.facts if isinstance(one, Unknown)]
        if unknown:
            asked = "; ".join(sorted({self.look_up(one) for one in unknown if one.facts}))
            asked = f"not known yet; it needs {asked}" if asked else "not known yet"
            text = f"{text}; the other end is {asked}" if text else asked
        because = " ".join([self.fill(expected.because, case), *_formulas(band)])
        assumed = self._assumed(band)
        if assumed:
            because = f"{because} Rests on an assumption: {assumed}."
        return Expectation(text or "nothing to compare with", because, band.facts)

    def _band_text(self, band: Band, attribute: Attribute) -> str:
        if band.word is not None:
            return value_text(attribute, band.word, self.system)
        low, high = (
            None if one is None else value_text(attribute, one, self.system)
            for one in (band.low, band.high)
        )
        if low is not None and high is not None:
            return low if low == high else f"{low} to {high}"
        if low is not None:
            return f"at least {low}"
        return f"at most {high}" if high is not None else ""

    def _assumed(self, band: Band) -> str:
        """The reasons of the assumptions under a band, or what would settle them."""
        reasons: dict[str, None] = {}
        for one in band.facts:
            if isinstance(one, Fact) and one.assumed:
                if isinstance(one.origin, Assumed):
                    reasons[one.origin.reason] = None
                else:
                    keys = ", ".join(sorted(one.settles)) or "a value under it"
                    reasons[f"{keys} not stated"] = None
        return "; ".join(reasons)


def _formulas(band: Band) -> list[str]:
    """How the ends were computed, each once, with the source where it names one."""
    found: dict[str, None] = {}
    for one in band.facts:
        if isinstance(one, Fact) and isinstance(one.origin, Computed):
            source = f" ({one.origin.source})" if one.origin.source else ""
            found[f"{one.origin.formula}{source}"] = None
    return [f"Computed: {'; '.join(found)}."] if found else []


def unit_text(attribute: Attribute | None, system: str) -> str:
    """In which unit, or by which words, a reading is asked for."""
    if attribute is None:
        return ""
    if attribute.kind is Kind.FLAG:
        return "yes or no"
    if attribute.kind is Kind.CHOICE:
        return " or ".join(attribute.choices)
    return shown_unit(attribute.unit, system) if attribute.unit else ""


__all__ = ["Filler", "Points", "unit_text"]
