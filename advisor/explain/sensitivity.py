"""How far each value under a check may move before its verdict flips, found by judging again.

Each value at the bottom of the check is put in on trial: first a little, which tells by the margin
whether a flip can be near at all, then farther and farther up to half of it, until the verdict is
another one. The place is found by bisection over the graph of derivations, and both sides of it are
judged at last. Where the check reads the plan or the trips, those are worked again for every trial.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from dataclasses import dataclass

from advisor.driving.simulated import SOURCE
from advisor.engine import Judgement
from advisor.explain.reach import Reach, needed_rules
from advisor.explain.turning import Turn, can_turn, turns
from advisor.facts import Facts
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Assumed, Fact, Key, Value
from advisor.findings.causes import Causes
from advisor.findings.judged import Judged, judged
from advisor.rules.rule import RuleBook
from advisor.rules.values import Verdict
from advisor.vocabulary import Attribute, Kind
from advisor.wiring.survey import survey

FARTHEST = 0.5
"""A value is moved by half of itself at most, a temperature by 20 K."""
_STEPS = (0.02, 0.1, 0.25, FARTHEST)
_FAR = 3.0  # a margin that would need three times the farthest move is not looked at
_HALVINGS = 20
_CLOSE = 1e-5
_KELVIN = 40.0

Verdicts = Callable[[float], Judgement]


@dataclass(frozen=True, slots=True)
class Flip:
    """Where a verdict changes, SI: the last value with the verdict of now, and the first beyond."""

    last: float
    beyond: float
    becomes: Verdict


@dataclass(frozen=True, slots=True)
class Room:
    """A value under a check, and where the verdict flips when it alone moves down or up.

    None where it does not flip within `FARTHEST` or the range of the attribute.
    """

    fact: Fact
    down: Flip | None
    up: Flip | None

    @property
    def nearest(self) -> float:
        """The smaller distance to a flip, relative to the value; infinite without one."""
        assert isinstance(self.fact.value, float)
        scale = _scale(self.fact.value, self.fact.attribute)
        found = [abs(one.beyond - self.fact.value) / scale for one in (self.down, self.up) if one]
        return min(found, default=float("inf"))


@dataclass(frozen=True, slots=True)
class Sensitivity:
    """The values that flip a verdict, the nearest first, and those there was no time to look at.

    `turns` are answers, words and whole numbers that flip it when they are another.
    """

    judgement: Judgement
    rooms: tuple[Room, ...]
    looked_at: int
    left_out: tuple[Key, ...]
    turns: tuple[Turn, ...] = ()


def sensitivity(
    facts: Facts,
    book: RuleBook,
    judgement: Judgement,
    everything: list[Judgement],
    seconds: float = 60.0,
    tell: Callable[[int, int], None] = lambda done, total: None,
) -> Sensitivity:
    """Every value under a check that flips its verdict when it alone changes, in a time limit."""
    trial = _Trial(facts, book, judgement, everything)
    leaves = trial.leaves()
    turned: list[Turn] = []
    until = time.monotonic() + seconds
    rooms: list[Room] = []
    left_out: list[Key] = []
    for number, fact in enumerate(leaves):
        tell(number, len(leaves))
        if time.monotonic() > until:
            left_out.append(fact.key)
            continue
        if not _movable(fact):
            turned += turns(fact, judgement.verdict, trial.turned)
            continue
        found = trial.room(fact)
        if found is not None:
            rooms.append(found)
    tell(len(leaves), len(leaves))
    rooms.sort(key=lambda one: one.nearest)
    looked_at = len(leaves) - len(left_out)
    return Sensitivity(judgement, tuple(rooms), looked_at, tuple(left_out), tuple(turned))


class _Trial:
    """A check judged again with one value moved."""

    def __init__(
        self, facts: Facts, book: RuleBook, judgement: Judgement, everything: list[Judgement]
    ) -> None:
        self.facts = facts
        self.judgement = judgement
        self.reach = Reach(facts)
        causes = Causes(everything, BuildCases(facts).related)
        self.under = self.reach.with_causes(judgement, causes)
        rules = needed_rules(book, judgement.rule)
        self.given = self.reach.traced(self.under)
        still = facts.traced()
        self.frozen = judged(facts.with_survey(lambda _: still), book, rules)
        driven = any(still[key].source == SOURCE for key in self.given)
        self.worked = judged(facts if driven else facts.with_survey(survey), book, rules)

    def leaves(self) -> list[Fact]:
        """What is at the bottom that somebody wrote, measured or assumed: first the numbers."""
        facts = [self.facts.fact(*key) for key in self.reach.leaves(self.under)]
        known = [one for one in facts if isinstance(one, Fact)]
        numbers = [one for one in known if _movable(one)]
        return [*numbers, *(one for one in known if not _movable(one) and can_turn(one))]

    def turned(self, key: Key, value: Value) -> Judgement:
        """The check with another answer or word in place; the plan and the trips worked again."""
        return self.judged(self.worked, key, value)

    def judged(self, start: Judged, key: Key, value: Value) -> Judgement:
        """The check with a value in place."""
        moved = start.facts.with_values("on trial", {key: value})
        return start.after(moved).checks[self.judgement.rule.name, self.judgement.case]

    def room(self, fact: Fact) -> Room | None:
        """Where the verdict flips when this value moves, either way."""
        value = fact.value
        assert isinstance(value, float)
        feeds = any(self.reach.rests_on(one, fact.key) for one in self.given)
        start = self.worked if feeds else self.frozen

        def at(moved: float) -> Judgement:
            return self.judged(start, fact.key, moved)

        flips = [self._flip(value, side, fact.attribute, at) for side in (-1.0, 1.0)]
        kept = [one if one and self._holds(fact.key, one) else None for one in flips]
        return Room(fact, *kept) if any(kept) else None

    def _flip(self, now: float, side: float, attribute: Attribute, at: Verdicts) -> Flip | None:
        """Where the verdict changes on one side of a value: a bracket, then halvings of it."""
        before = self.judgement.verdict
        scale = _scale(now, attribute)
        last = now
        for step in _STEPS:
            value = _inside(now + side * step * scale, now, attribute)
            if value == last:
                return None
            found = at(value)
            if found.verdict is not before:
                return _bisected(last, value, before, scale, at)
            if step == _STEPS[0] and self._far(found, step):
                return None
            last = value
        return None

    def _far(self, found: Judgement, step: float) -> bool:
        """By the change of the margin a flip lies much farther away than values are moved."""
        old, new = self.judgement.margin, found.margin
        if old is None or new is None:
            return False
        needed = abs(old) / max(abs(old - new), 1e-12) * step
        return needed > _FAR * FARTHEST

    def _holds(self, key: Key, flip: Flip) -> bool:
        """Both sides judged once more, with the plan and the trips worked again."""
        sides = [self.judged(self.worked, key, one).verdict for one in (flip.last, flip.beyond)]
        return sides == [self.judgement.verdict, flip.becomes]


def _movable(fact: Fact) -> bool:
    """A number that somebody wrote, measured or assumed; not a constant of a table."""
    return (
        fact.attribute.kind is Kind.QUANTITY
        and isinstance(fact.value, float)
        and (fact.attribute.given or isinstance(fact.origin, Assumed))
    )


def _scale(now: float, attribute: Attribute) -> float:
    """What a step is a share of: the value, or some tens of kelvin."""
    return _KELVIN if attribute.dimension.absolute else max(abs(now), attribute.scale)


def _inside(value: float, now: float, attribute: Attribute) -> float:
    """A trial value inside what a sheet may say; a number above zero stays above it."""
    low, high = attribute.at_least, attribute.at_most
    if now > 0 and value <= 0 and not attribute.dimension.absolute:
        value = 1e-3 * now
    value = value if low is None else max(value, low)
    return value if high is None else min(value, high)


def _bisected(last: float, beyond: float, before: Verdict, scale: float, at: Verdicts) -> Flip:
    becomes = at(beyond).verdict
    for _ in range(_HALVINGS):
        if abs(beyond - last) <= _CLOSE * scale:
            break
        middle = (last + beyond) / 2
        found = at(middle).verdict
        if found is before:
            last = middle
        else:
            beyond, becomes = middle, found
    return Flip(last, beyond, becomes)


__all__ = ["FARTHEST", "Flip", "Room", "Sensitivity", "sensitivity"]
