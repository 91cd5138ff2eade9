"""The guide of one build: which steps, for which parts, in which order, filled with its values."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from advisor.commissioning.filling import Filler, Points, unit_text
from advisor.commissioning.guide import Guide, Phase, Standing, Step, UnknownStep, Wrong
from advisor.commissioning.naming import Named, find, names_of
from advisor.commissioning.standing import (
    READING_RULESETS,
    band_of,
    rests_on,
    said_standing,
    standing,
)
from advisor.commissioning.written import Caution, StepBook, WrittenStep
from advisor.facts import Facts
from advisor.facts.origins import Fact, Key, question_key
from advisor.findings.report_model import Finding, Screening
from advisor.findings.risk import Level
from advisor.findings.wording import part_text
from advisor.sheet.build import Build, Reading, Tick
from advisor.vocabulary import VOCABULARY


def build_guide(
    screening: Screening, book: StepBook, system: str = "si", points: Points | None = None
) -> Guide:
    """All steps of a screened build. `points` are those of its plan, where it has one."""
    builder = _Builder(screening, system, points)
    steps = builder.steps(book.steps)
    names = names_of([(step.name, case) for step, case in steps])
    builder.note_readings(steps)
    for (step, case), name in zip(steps, names, strict=True):
        key = builder.key(step, case)
        if key is not None:
            builder.filler.read_by[question_key(*key)] = name
    cautions = {
        name: one
        for name, one in book.cautions.items()
        if builder.filler.may_apply(one.applies, "vehicle")
    }
    used = {word for step, _ in steps for word in step.cautions}
    build = screening.facts.build
    named = [(name, case) for name, (_, case) in zip(names, steps, strict=True)]
    said, unknown = _said(build, named)
    return Guide(
        build.title or build.file,
        tuple(
            builder.step(step, case, name, cautions, said.get(name, ()))
            for (step, case), name in zip(steps, names, strict=True)
        ),
        tuple(one.text for one in cautions.values() if one.name in used),
        _warning(screening, book, _powered(builder, steps)),
        unknown,
    )


def _warning(screening: Screening, book: StepBook, powered: frozenset[Key]) -> str:
    """What is to be settled before anything is connected.

    Serious risks of the build itself that nobody accepts; then those that readings show, for what
    was read under power is no reason not to connect; and kinds of part that the sheet does not
    mention, for then their steps are missing. `powered` are the readings taken under power.
    """
    build: list[Level] = []
    read: list[Level] = []
    for one in screening.all_findings():
        if one.level >= Level.SERIOUS and not (one.accepted and one.level is Level.SERIOUS):
            facts = [fact for fact in one.names.values() if isinstance(fact, Fact)]
            by_reading = one.rule.ruleset.startswith(READING_RULESETS)
            by_reading = by_reading or rests_on(facts, powered, screening.facts)
            (read if by_reading else build).append(one.level)
    said = []
    if build:
        settled = "it is" if len(build) == 1 else "they are"
        said.append(
            f"STOP: the screening of this sheet finds {_counted(build)}. Connect "
            f"nothing before {settled} settled; advisor screen shows more."
        )
    if read:
        settled = "it is" if len(read) == 1 else "they are"
        said.append(
            f"STOP: the readings show {_counted(read)}. Open the disconnect; connect, drive and "
            f"charge nothing before {settled} settled; the steps marked as dangerous say where."
        )
    # A trip is no part: a sheet without trips lacks no step that the vehicle needs.
    kinds = {subject: None for step in book.steps for subject in step.about}
    missing = [
        VOCABULARY.subjects[one].meaning
        for one in kinds
        if VOCABULARY.subjects[one].many and one != "trip" and not screening.facts.mentioned(one)
    ]
    if missing:
        said.append(
            f"The sheet does not say whether there is any of these: {', '.join(missing)}. Their "
            "steps are missing here. List what there is, or write none."
        )
    return " ".join(said)


def _powered(builder: _Builder, steps: Iterable[Placed]) -> frozenset[Key]:
    """Where the readings are kept that are taken once the battery is connected."""
    order = list(Phase)
    first = order.index(Phase.POWER)
    found = (builder.key(one, case) for one, case in steps if order.index(one.phase) >= first)
    return frozenset(one for one in found if one is not None)


def _counted(levels: Sequence[Level]) -> str:
    """How many risks of which level: `1 high and 2 serious risks`."""
    each = [(levels.count(one), one.word) for one in (Level.HIGH, Level.SERIOUS)]
    words = " and ".join(f"{number} {word}" for number, word in each if number)
    return f"{words} {'risk' if len(levels) == 1 else 'risks'}"


Placed = tuple[WrittenStep, str]


def _said(
    build: Build, named: Sequence[Named]
) -> tuple[dict[str, tuple[Tick, ...]], tuple[UnknownStep, ...]]:
    """What the sheet says of the steps of a guide, by their names, and of steps it does not have.

    `named` are the steps of the guide with their parts.
    """
    found: dict[str, tuple[Tick, ...]] = {}
    unknown = []
    for tick in build.steps:
        name = find(tick.step, named)
        if isinstance(name, str):
            found[name] = (*found.get(name, ()), tick)
        else:
            unknown.append(UnknownStep(tick, *name))
    return found, tuple(unknown)


class _Builder:
    """Fills steps with the values of one build."""

    def __init__(self, screening: Screening, system: str, points: Points | None) -> None:
        self.screening = screening
        self.facts: Facts = screening.facts
        self.points = points
        self.filler = Filler(screening.facts, system, points)
        self.outside: set[Key] = set()

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
            cases = [case for case in self._cases(one) if self.filler.may_apply(one.applies, case)]
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

    def note_readings(self, steps: Iterable[Placed]) -> None:
        """Find the readings outside their own bands, before any one is judged beside others."""
        for step, case in steps:
            key = self.key(step, case)
            readings = self._readings(key)
            if key is None or not readings or step.expected is None:
                continue
            if band_of(step.expected, self.facts, case).holds(readings[-1].value) is False:
                self.outside.add(key)

    def _readings(self, key: Key | None) -> tuple[Reading, ...]:
        instance = self.facts.instance(key[0]) if key else None
        return instance.readings.get(key[1], ()) if key and instance else ()

    # -- one step ----------------------------------------------------------------------------------

    def step(
        self,
        step: WrittenStep,
        case: str,
        name: str,
        cautions: Mapping[str, Caution],
        said: tuple[Tick, ...] = (),
    ) -> Step:
        """A step for one part; `said` is what somebody said of it."""
        fill = self.filler.fill
        key = self.key(step, case)
        attribute = step.reading.attribute if step.reading else None
        readings = self._readings(key)
        band = band_of(step.expected, self.facts, case) if step.expected else None
        stands = Standing.OPEN
        found: tuple[Finding, ...] = ()
        if key is not None:
            stands, found = standing(key, readings, band, self.screening, self.outside)
        if stands is Standing.OPEN:
            stands = said_standing(said, key is not None)
        return Step(
            name=name,
            phase=step.phase,
            title=fill(step.title, case),
            do=self.filler.do(step, case),
            part=case,
            part_text=part_text(self.facts, case),
            instrument=step.instrument,
            range=fill(step.range, case),
            key=key,
            unit=unit_text(attribute, self.filler.system),
            expectation=self.filler.expectation(step.expected, band, attribute, case),
            stop_at=fill(step.stop_at, case),
            wrong=tuple(
                Wrong(fill(one.reading, case), fill(one.means, case)) for one in step.wrong
            ),
            cautions=tuple(cautions[word].short for word in step.cautions if word in cautions),
            source=step.source,
            readings=readings,
            standing=stands,
            findings=tuple(one.text for one in found),
            said=said,
        )

    def key(self, step: WrittenStep, case: str) -> Key | None:
        """Where the sheet keeps the reading of a step."""
        if step.reading is None:
            return None
        reach = step.reading.reach
        owner = case if reach == "self" else self.facts.related(case, reach)
        return (owner, step.reading.attribute.name) if owner else None


__all__ = ["build_guide"]
