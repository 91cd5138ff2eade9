"""The guide of one build: which steps, for which parts, in which order, filled with its values."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Protocol

from advisor.commissioning.guide import Expectation, Guide, Standing, Step, Wrong
from advisor.commissioning.standing import Band, band_of, standing
from advisor.commissioning.written import Expected, StepBook, WrittenStep
from advisor.facts import Facts
from advisor.facts.origins import Assumed, Computed, Fact, Key, Unknown, question_key
from advisor.findings.report_model import Finding, Screening
from advisor.findings.wording import advice_text, part_text, value_text
from advisor.rules.logic import truth
from advisor.rules.texts import Template
from advisor.rules.tree import names_in
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


def build_guide(
    screening: Screening, book: StepBook, system: str = "si", points: Points | None = None
) -> Guide:
    """All steps of a screened build. `points` are those of its plan, where it has one."""
    builder = _Builder(screening, system, points)
    steps = builder.steps(book.steps)
    names = _names(steps)
    for (step, case), name in zip(steps, names, strict=True):
        key = builder.key(step, case)
        if key is not None:
            builder.read_by[question_key(*key)] = name
    used = {word for step, _ in steps for word in step.cautions}
    build = screening.facts.build
    return Guide(
        build.title or build.file,
        tuple(
            builder.step(step, case, name, book)
            for (step, case), name in zip(steps, names, strict=True)
        ),
        tuple(one.text for one in book.cautions.values() if one.name in used),
    )


Placed = tuple[WrittenStep, str]


def _names(steps: list[Placed]) -> list[str]:
    """The names in a guide: with the part where a step is there for several."""
    number: dict[str, int] = {}
    for step, _ in steps:
        number[step.name] = number.get(step.name, 0) + 1
    return [step.name if number[step.name] == 1 else f"{step.name}@{case}" for step, case in steps]


class _Builder:
    """Fills steps with the values of one build."""

    def __init__(self, screening: Screening, system: str, points: Points | None) -> None:
        self.screening = screening
        self.facts: Facts = screening.facts
        self.system = system
        self.points = points
        self.read_by: dict[str, str] = {}
        """Names of the steps by the fact that their reading gives."""

    # -- which, and in which order -----------------------------------------------------------------

    def steps(self, written: Iterable[WrittenStep]) -> list[Placed]:
        """The steps that apply, with their parts; neighbours that go outward sorted by distance."""
        found: list[Placed] = []
        outward: list[Placed] = []
        before: WrittenStep | None = None
        for one in written:
            goes_on = before is not None and before.outward and before.phase is one.phase
            if not (one.outward and goes_on):
                found += self._by_distance(outward)
                outward = []
            cases = [case for case in self._cases(one) if self._may_apply(one, case)]
            (outward if one.outward else found).extend((one, case) for case in cases)
            before = one
        return [*found, *self._by_distance(outward)]

    def _by_distance(self, steps: list[Placed]) -> list[Placed]:
        """Part after part, from the battery on; without a plan as the sheet lists them."""
        listed = {case: number for number, (_, case) in reversed(list(enumerate(steps)))}

        def place(one: Placed) -> tuple[float, int]:
            far = 0.0 if self.points is None else min(self.points.distance(one[1]), 1e9)
            return far, listed[one[1]]

        return sorted(steps, key=place)

    def _cases(self, step: WrittenStep) -> list[str]:
        return [case for subject in step.about for case in self.facts.instances(subject)]

    def _may_apply(self, step: WrittenStep, case: str) -> bool:
        """False only where it is certain, without assumptions, that a step does not apply."""
        if step.applies is None:
            return True
        return truth(step.applies, without_assumptions(self._row(step, case))) is not False

    def _row(self, step: WrittenStep, case: str) -> dict[str, Value]:
        assert step.applies is not None
        return {one.written: self._value(case, one) for one in names_in(step.applies)}

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

    # -- one step ----------------------------------------------------------------------------------

    def step(self, step: WrittenStep, case: str, name: str, book: StepBook) -> Step:
        """A step for one part."""
        key = self.key(step, case)
        attribute = step.reading.attribute if step.reading else None
        instance = self.facts.instance(key[0]) if key else None
        readings = instance.readings.get(key[1], ()) if key and instance else ()
        band = band_of(step.expected, self.facts, case) if step.expected else None
        stands = Standing.OPEN
        found: tuple[Finding, ...] = ()
        if key is not None:
            stands, found = standing(key, readings, band, self.screening)
        return Step(
            name=name,
            phase=step.phase,
            title=self._fill(step.title, case),
            do=self._do(step, case),
            part=case,
            part_text=part_text(self.facts, case),
            instrument=step.instrument,
            range=self._fill(step.range, case),
            key=key,
            unit=_unit(attribute, self.system),
            expectation=self._expectation(step.expected, band, attribute, case),
            stop_at=self._fill(step.stop_at, case),
            wrong=tuple(
                Wrong(self._fill(one.reading, case), self._fill(one.means, case))
                for one in step.wrong
            ),
            cautions=tuple(book.cautions[word].short for word in step.cautions),
            source=step.source,
            readings=readings,
            standing=stands,
            findings=tuple(one.text for one in found),
        )

    def key(self, step: WrittenStep, case: str) -> Key | None:
        """Where the sheet keeps the reading of a step."""
        if step.reading is None:
            return None
        reach = step.reading.reach
        owner = case if reach == "self" else self.facts.related(case, reach)
        return (owner, step.reading.attribute.name) if owner else None

    def _do(self, step: WrittenStep, case: str) -> str:
        """What to do; before it what is to be settled first, and after it what to look up."""
        parts = [self._fill(step.do, case)]
        if step.reading is not None and step.reading.attribute.kind is Kind.FLAG:
            parts.append(f"Yes means: {step.reading.attribute.meaning}.")
        if step.applies is not None and truth(step.applies, self._row(step, case)) is not True:
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
        words = []
        for key in sorted(fact.facts):
            if key in self.read_by:
                words.append(f"the reading of {self.read_by[key]}")
                continue
            part, _, name = key.rpartition(".")
            subject = self.facts.subject_of(part)
            attribute = VOCABULARY.attribute(subject, name)
            if name == "present" or attribute is None:
                members = TRAITS.get(subject, (subject,))
                kinds = " or ".join(VOCABULARY.subjects[one].meaning for one in members)
                words.append(f"whether there is a {kinds}")
                continue
            owner = part_text(self.facts, part)
            words.append(f"{attribute.meaning} of {owner} ({ASK_WORDS[attribute.ask]})")
        return " and ".join(words)

    # -- texts -------------------------------------------------------------------------------------

    def _fill(self, text: Template, case: str) -> str:
        def part(reach: str) -> str:
            if reach in _PLACES:
                found = self.points.point(case, reach) if self.points is not None else ""
                return found or _PLACES[reach]
            owner = case if reach == "self" else self.facts.related(case, reach)
            return part_text(self.facts, owner or reach)

        return text.fill(lambda name: advice_text(self._fact(case, name), self.system), part)

    def _expectation(
        self, expected: Expected | None, band: Band | None, attribute: Attribute | None, case: str
    ) -> Expectation | None:
        if expected is None or band is None or attribute is None:
            return None
        text = self._band_text(band, attribute)
        unknown = [one for one in band.facts if isinstance(one, Unknown)]
        if unknown:
            asked = "; ".join(sorted({self.look_up(one) for one in unknown if one.facts}))
            asked = f"not known yet; it needs {asked}" if asked else "not known yet"
            text = f"{text}; the other end is {asked}" if text else asked
        because = " ".join([self._fill(expected.because, case), *_formulas(band)])
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
                    keys = ", ".join(sorted(one.settles)) or "the values under it"
                    reasons[f"find out {keys}"] = None
        return "; ".join(reasons)


def _formulas(band: Band) -> list[str]:
    """How the ends were computed, each once, with the source where it names one."""
    found: dict[str, None] = {}
    for one in band.facts:
        if isinstance(one, Fact) and isinstance(one.origin, Computed):
            source = f" ({one.origin.source})" if one.origin.source else ""
            found[f"{one.origin.formula}{source}"] = None
    return [f"Computed: {'; '.join(found)}."] if found else []


def _unit(attribute: Attribute | None, system: str) -> str:
    if attribute is None:
        return ""
    if attribute.kind is Kind.FLAG:
        return "yes or no"
    if attribute.kind is Kind.CHOICE:
        return " or ".join(attribute.choices)
    return shown_unit(attribute.unit, system) if attribute.unit else ""


__all__ = ["Points", "build_guide"]
