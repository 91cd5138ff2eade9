"""The review: what keeps a vehicle from being handed over, and what has to be said with it.

A serious or high risk stands in the way, and so does a check of such a risk that is undecided or
that holds only on an assumption. A serious one can be accepted by name; then it is a condition.
What is milder, and each step of the guide that nobody did, is a condition.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor import __version__
from advisor.acceptance import Acceptance
from advisor.commissioning.guide import Guide, Standing
from advisor.engine import Judgement
from advisor.findings.report_model import Screening
from advisor.findings.risk import Level, level_of
from advisor.findings.wording import part_text
from advisor.handoff.acceptances import acceptances, accepted, useless
from advisor.handoff.asking import Asking
from advisor.handoff.closing import closed
from advisor.handoff.model import Condition, Obstacle, Outcome, Review
from advisor.rules.rule import RuleBook
from advisor.rules.values import Verdict


def review(
    screening: Screening,
    guide: Guide,
    book: RuleBook,
    earlier: Sequence[Screening] = (),
    system: str = "si",
) -> Review:
    """The review of a build that was screened at the stage `handoff`.

    `earlier` are screenings of earlier sheets of the vehicle, the oldest first. Raises
    ProblemsFoundError for acceptances that name no rule, or a high risk, and for another vehicle.
    """
    build = screening.facts.build
    given = acceptances(build, book)
    sorter = _Sorter(screening, given)
    sorter.take_findings()
    sorter.take_margins()
    sorter.take_undecided()
    stated = [one.acceptance for one in build.accepted]
    conditions = [*sorter.conditions, *_useless(stated, sorter.used), *_steps(guide)]
    if sorter.obstacles:
        outcome = Outcome.NOT_READY
    else:
        outcome = Outcome.CONDITIONS if conditions else Outcome.READY
    return Review(
        build=build,
        screening=screening,
        guide=guide,
        outcome=outcome,
        obstacles=tuple(sorted(sorter.obstacles, key=lambda one: (-one.level, one.number == 0))),
        conditions=tuple(sorted(conditions, key=lambda one: -one.level)),
        acceptances=given,
        program_version=__version__,
        earlier=tuple(one.facts.build for one in earlier),
        closed=closed(screening, earlier, system),
    )


class _Sorter:
    """Sorts what a screening found into obstacles and conditions."""

    def __init__(self, screening: Screening, given: tuple[Acceptance, ...]) -> None:
        self.screening = screening
        self.given = given
        self.obstacles: list[Obstacle] = []
        self.conditions: list[Condition] = []
        self.used: list[Judgement] = []
        self._asking = Asking(screening)

    def take_findings(self) -> None:
        for one in self.screening.all_findings():
            if one.level is not Level.NOTICE:
                text = f"{one.rule.title}. {one.text}"
                do = one.fixes[0] if one.fixes else one.rule.no_fix
                self._put("risk", one.judgement, one.level, text, do, one.number)

    def take_margins(self) -> None:
        """Checks that hold as written and not at an end of a stated tolerance."""
        for one in self.screening.marginal:
            if one.corner is Verdict.VIOLATED and one.judgement.verdict is not Verdict.VIOLATED:
                text = f"{one.judgement.rule.title}: so at an end of `{one.written.text}`."
                do = "Measure the value, or choose a part with a closer tolerance."
                self._put("risk", one.judgement, one.level, text, do)

    def take_undecided(self) -> None:
        for one in self.screening.undecided:
            text = f"Not decided: {_lowered(one.rule.title)}."
            self._put("undecided", one, level_of(one.rule), text, self._asking.words(one))
        for one in self.screening.only_assumed():
            text = f"Only assumed not to be so: {_lowered(one.rule.title)}."
            self._put("assumed", one, level_of(one.rule), text, self._asking.words(one))

    def _put(
        self, kind: str, one: Judgement, level: Level, text: str, ask: str, number: int = 0
    ) -> None:
        part = part_text(self.screening.facts, one.case)
        name = accepted(one, self.given)
        if name is not None:
            self.used.append(one)
            kind = "accepted"
        if level >= Level.SERIOUS and name is None:
            self.obstacles.append(Obstacle(kind, level, one.rule.name, part, text, ask, number))
        else:
            self.conditions.append(
                Condition(kind, level, one.rule.name, part, text, ask, name, number)
            )


def _lowered(title: str) -> str:
    """A title inside a sentence; an abbreviation stays."""
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]


def _useless(given: Iterable[Acceptance], used: Iterable[Judgement]) -> list[Condition]:
    return [
        Condition(
            "accepted",
            Level.NOTICE,
            one.rule,
            one.about or "every part",
            f"{one.who} accepted this on {one.date}; nothing of it is found. Take it out.",
            "",
            one,
        )
        for one in useless(given, used)
    ]


def _steps(guide: Guide) -> list[Condition]:
    """Steps with a reading that nobody took, and steps that somebody said were not done."""
    found = []
    for one in guide.steps:
        refused = one.standing is Standing.NOT_DONE
        if not refused and not (one.key is not None and one.open):
            continue
        text = f"Not done: {_lowered(one.title)}."
        if refused:
            text = f"{text} Said: {one.said[-1].note}"
        elif one.only_ticked:
            text = f"{text} It was ticked, but its reading is missing."
        found.append(Condition("step", Level.LOW, one.name, one.part_text, text, one.do))
    for lost in guide.unknown:
        text = "The sheet speaks of a step that the guide does not have."
        found.append(Condition("step", Level.NOTICE, lost.tick.step, "steps", text, lost.text))
    return found


__all__ = ["review"]
