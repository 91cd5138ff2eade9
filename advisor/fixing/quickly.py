"""Parts of a catalogue tried in a build without its plan and its trips: what risk is left.

Two parts that have nothing to do with each other do together what each does alone: no value that
changes with one of them rests on what changes with the other. Such pairs need no judging.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from advisor.engine import Judgement
from advisor.facts import facts_of
from advisor.facts.origins import Key
from advisor.findings.judged import Check, Judged, judged
from advisor.findings.risk import Level, is_quiet, level_of
from advisor.findings.screening import STAGES
from advisor.fixing.placing import Choice, with_parts
from advisor.rules.rule import RuleBook
from advisor.rules.values import Verdict
from advisor.sheet.build import Build

Checks = Mapping[Check, Judgement]

Risk = tuple[int, int, int]
"""How many checks of high, serious and medium risk are violated, or open at serious and above."""


@dataclass(frozen=True, slots=True)
class Quick:
    """Some parts tried; `judged` is None where it follows from its parts.

    `differing` are the checks that come out otherwise than in the build. `changed` are the values
    that differ from those of the build, `reach` these and what they asked for; None where the parts
    are of other kinds.
    """

    choices: tuple[Choice, ...]
    risk: Risk
    cleared: tuple[Judgement, ...]
    broken: tuple[Judgement, ...]
    judged: Judged | None = None
    differing: Checks | None = None
    changed: frozenset[Key] | None = None
    reach: frozenset[Key] | None = None

    @property
    def harms(self) -> bool:
        """It breaks something as bad as the worst that it clears."""
        return harms(self.cleared, self.broken)

    def apart(self, other: Quick) -> bool:
        """What one changes touches nothing of the other."""
        if self.judged is None or other.judged is None:
            return False
        if None in (self.changed, self.reach, other.changed, other.reach):
            return False
        assert self.changed and self.reach and other.changed and other.reach
        return (
            self.changed.isdisjoint(other.reach)
            and other.changed.isdisjoint(self.reach)
            and self.judged.changed.keys().isdisjoint(other.judged.changed)
        )


class Trying:
    """Tries parts in one build."""

    def __init__(self, build: Build, book: RuleBook) -> None:
        self.build = build
        self._weights: dict[str, tuple[int | None, bool]] = {}
        self._stage = build.stage or "order"
        self.start = judged(facts_of(build), book)
        self.before = self.risk(self.start.checks)
        none = Quick((), self.before, (), (), self.start, {})
        self._kinds = {_kinds(build): none}
        self._none = none

    def one(self, choice: Choice) -> Quick:
        """A part alone."""
        return self._tried((choice,))

    def two(self, one: Quick, two: Quick) -> Quick:
        """Two parts together, each of them tried alone before."""
        if not one.apart(two):
            return self._tried((*one.choices, *two.choices), one, two)
        high, serious, medium = (
            a + b - c for a, b, c in zip(one.risk, two.risk, self.before, strict=True)
        )
        cleared, broken = (*one.cleared, *two.cleared), (*one.broken, *two.broken)
        return Quick((*one.choices, *two.choices), (high, serious, medium), cleared, broken)

    def _tried(self, group: tuple[Choice, ...], *alone: Quick) -> Quick:
        """Judged from the build with one of the parts alone, or with others of the same kinds."""
        build = with_parts(self.build, group)
        kinds = _kinds(build)
        near = [
            (one, one.judged)
            for one in alone
            if one.judged is not None and _kinds(one.judged.facts.build) == kinds
        ]
        near.sort(key=lambda one: -len(one[1].changed))  # less is left to be judged again
        start = near[0][0] if near else self._kinds.get(kinds, self._none)
        assert start.judged is not None
        found = start.judged.after(start.judged.facts.with_build(build))
        differing, risk = self._against(start, found)
        cleared, broken, _ = changes(self.start.checks, differing)
        tried = Quick(group, risk, tuple(cleared), tuple(broken), found, differing)
        if start is self._none:
            changed, reach = found.facts.changed(), found.facts.changed_and_asked()
            tried = replace(tried, changed=changed, reach=reach)
        self._kinds.setdefault(kinds, tried)
        return tried

    def _against(self, start: Quick, found: Judged) -> tuple[Checks, Risk]:
        """The checks that come out otherwise than in the build, and the risk that is left.

        Only the checks judged again are looked at, unless all of them were.
        """
        assert start.judged is not None and start.differing is not None
        if found.changed is found.checks:
            return self._other(found.checks), self.risk(found.checks)
        was = self.risk({check: start.judged.checks[check] for check in found.changed})
        now = self.risk(found.changed)
        high, serious, medium = (a - b + c for a, b, c in zip(start.risk, was, now, strict=True))
        return self._other({**start.differing, **found.changed}), (high, serious, medium)

    def _other(self, checks: Checks) -> Checks:
        """The checks that came out otherwise than in the build, or were not there."""
        before = self.start.checks
        return {
            check: one
            for check, one in checks.items()
            if check not in before or before[check].verdict is not one.verdict
        }

    def risk(self, checks: Checks) -> Risk:
        """What is violated, and what is due and open at serious risk and above."""
        counts = [0, 0, 0]
        for (rule, _), one in checks.items():
            if one.verdict is Verdict.VIOLATED or one.verdict is Verdict.UNDETERMINED:
                place, due = self._weight(rule, one)
                if place is not None and (due or one.verdict is Verdict.VIOLATED):
                    counts[place] += 1
        return counts[0], counts[1], counts[2]

    def _weight(self, name: str, one: Judgement) -> tuple[int | None, bool]:
        """Where a rule counts, and whether it also counts when it is open."""
        found = self._weights.get(name)
        if found is None:
            level = level_of(one.rule)
            due = STAGES.index(one.rule.stage) <= STAGES.index(self._stage)
            due = due and not is_quiet(one.rule, self._stage)
            counts = one.rule.hazard is not None and level >= Level.MEDIUM
            place = Level.HIGH - level if counts else None
            found = self._weights[name] = place, due and level >= Level.SERIOUS
        return found


def changes(
    before: Checks, after: Checks, stage: str = "order"
) -> tuple[list[Judgement], list[Judgement], list[Judgement]]:
    """What is cleared, what is broken, and what can no longer be decided and is asked now."""
    cleared: list[Judgement] = []
    broken: list[Judgement] = []
    opened: list[Judgement] = []
    for check, one in after.items():
        was = before.get(check)
        if one is was or one.rule.hazard is None:
            continue
        bad = was is not None and was.verdict is Verdict.VIOLATED
        if one.verdict is Verdict.VIOLATED:
            if not bad:
                broken.append(one)
        elif one.verdict is Verdict.UNDETERMINED:
            open_before = was is not None and was.verdict is Verdict.UNDETERMINED
            if not open_before and not is_quiet(one.rule, stage):
                opened.append(one)
        elif bad:
            cleared.append(one)
    return cleared, broken, opened


def harms(cleared: Iterable[Judgement], broken: Iterable[Judgement]) -> bool:
    worst = max((level_of(one.rule) for one in broken if not one.rule.notice), default=None)
    if worst is None or worst < Level.MEDIUM:
        return False
    return worst >= max((level_of(one.rule) for one in cleared), default=Level.MEDIUM)


def _kinds(build: Build) -> tuple[str, ...]:
    return tuple(one.subject for one in build.instances)


__all__ = ["Quick", "Risk", "Trying", "changes", "harms"]
