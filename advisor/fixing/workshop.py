"""A build with changes tried out on it, judged again by the Python evaluator."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from advisor.engine import Judge, Judgement
from advisor.facts import Facts
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Fact, Key, Value
from advisor.findings.judged import Check, Judged, judged
from advisor.findings.risk import Level, is_quiet, level_of
from advisor.findings.screening import STAGES
from advisor.fixing.checks import by_check
from advisor.rules.rule import RuleBook
from advisor.rules.values import Verdict

Mark = frozenset[tuple[Key, Value]]
"""Changes, as a key of what is kept."""

_REASON = "a fix on trial"
_EFFECTS = (
    ("battery", "range_warm"),
    ("battery", "range_cold"),
    ("vehicle", "mass_added"),
    ("charger", "charge_time"),
)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What some changes do, beside the build as it is.

    `cleared` are checks that were violated and no longer are; `broken` those that were not and are;
    `opened` those that can no longer be decided; `still` those that stay violated. `effects` are
    figures before and after, where both are known and differ.
    """

    cleared: tuple[Judgement, ...]
    broken: tuple[Judgement, ...]
    opened: tuple[Judgement, ...]
    still: tuple[Judgement, ...]
    effects: tuple[tuple[Fact, Fact], ...]

    def worst_broken(self) -> Level | None:
        """The highest level among what breaks, or None."""
        return max((level_of(one.rule) for one in self.broken), default=None)

    def left(self, level: Level) -> list[Judgement]:
        """What is violated after the changes, at or above a level."""
        return [one for one in (*self.still, *self.broken) if level_of(one.rule) >= level]


@dataclass(frozen=True, slots=True)
class _Tried:
    """A build with changes in; `again` are the checks judged since the build as it is."""

    facts: Facts
    judged: Judged
    again: Mapping[Check, Judgement]


class Workshop:
    """Tries changes on one build. `judge` decides who judges: quick, or both evaluators."""

    def __init__(self, facts: Facts, book: RuleBook) -> None:
        self.facts = facts
        self.book = book
        self.start = judged(facts, book)
        self.before = by_check(self.start.checks.values())
        nothing: Mark = frozenset()
        self._kept: dict[Mark, _Tried] = {nothing: _Tried(facts, self.start, {})}
        self._plans: dict[Mark, tuple[Facts, frozenset[Key]]] = {}

    @cached_property
    def under_plan(self) -> frozenset[Key]:
        """Every value that the reading of the plan and the trips asks for, stated or not."""
        return self.facts.asked_by_survey()

    def undecided(self, stage: str) -> int:
        """How many checks of the build as it is are due at a stage and undecided."""
        return sum(
            one.verdict is Verdict.UNDETERMINED
            and not is_quiet(one.rule, stage)
            and STAGES.index(one.rule.stage) <= STAGES.index(stage)
            for one in self.before.values()
        )

    def judged(self, changes: Mapping[Key, Value]) -> Judged:
        """Every check, by the Python evaluator; kept."""
        return self._tried(changes).judged

    def _tried(self, changes: Mapping[Key, Value]) -> _Tried:
        """Worked out from the largest part of the changes that was tried before."""
        mark = frozenset(changes.items())
        found = self._kept.get(mark)
        if found is None:
            start, facts = self._with(changes, mark)
            judged = start.judged.after(facts)
            found = _Tried(facts, judged, {**start.again, **by_check(judged.changed.values())})
            self._kept[mark] = found
        return found

    def _with(self, changes: Mapping[Key, Value], mark: Mark) -> tuple[_Tried, Facts]:
        """The facts with changes in, and the trial that they were made from.

        The plan is worked again only where it rests on a change.
        """
        planned = {key: value for key, value in changes.items() if key in self.under_plan}
        plan, asked = self._plan(frozenset(planned.items()))
        if (changes.keys() - planned.keys()) & asked:
            start = self._kept[frozenset()]
            return start, start.facts.with_values(_REASON, changes)
        near = max((one for one in self._kept if one <= mark), key=len)
        start = self._kept[near]
        return start, start.facts.with_values(_REASON, dict(mark - near), plan.traced())

    def _plan(self, planned: Mark) -> tuple[Facts, frozenset[Key]]:
        """The facts with plan and trips read with some changes, and what these ask for; kept."""
        if not planned:
            return self.facts, self.under_plan
        found = self._plans.get(planned)
        if found is None:
            near = max((one for one in self._plans if one <= planned), key=len, default=None)
            start = self.facts if near is None else self._plans[near][0]
            facts = start.with_values(_REASON, dict(planned - (near or frozenset())))
            found = self._plans[planned] = facts, facts.asked_by_survey()
        return found

    def under(self, changes: Mapping[Key, Value], check: Check) -> set[Key]:
        """Every value, stated or not, that can matter for a check beside some changes."""
        found = self.judged(changes)
        asked = found.facts.under(found.read_under(check))
        if not asked.isdisjoint(found.facts.traced()):
            asked |= self.under_plan
        return asked

    def outcome(self, changes: Mapping[Key, Value], judge: Judge | None = None) -> Outcome:
        """What changes do; by both evaluators where a judge with both is given."""
        found = self._tried(changes)
        after: Mapping[Check, Judgement] = found.again
        if judge is not None:
            after = by_check(judge.judge(BuildCases(found.facts)))
        cleared: list[Judgement] = []
        broken: list[Judgement] = []
        opened: list[Judgement] = []
        still = {check: self.before[check] for check in self._violated}
        for check, one in after.items():
            was = self.before[check].verdict
            if one.verdict is Verdict.VIOLATED:
                if was is Verdict.VIOLATED:
                    still[check] = one
                else:
                    broken.append(one)
                continue
            if still.pop(check, None) is not None and one.verdict is not Verdict.UNDETERMINED:
                cleared.append(one)
            if one.verdict is Verdict.UNDETERMINED is not was:
                opened.append(one)
        effects = self._effects(found.facts) if changes else ()
        return Outcome(tuple(cleared), tuple(broken), tuple(opened), tuple(still.values()), effects)

    @cached_property
    def _violated(self) -> tuple[Check, ...]:
        return tuple(check for check, one in self.before.items() if one.verdict is Verdict.VIOLATED)

    def _effects(self, facts: Facts) -> tuple[tuple[Fact, Fact], ...]:
        found = []
        for subject, name in _EFFECTS:
            for part in self.facts.instances(subject) or (subject,):
                old, new = self.facts.fact(part, name), facts.fact(part, name)
                if isinstance(old, Fact) and isinstance(new, Fact) and old.value != new.value:
                    found.append((old, new))
        return tuple(found)


__all__ = ["Outcome", "Workshop"]
