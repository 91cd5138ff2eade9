"""Real parts from a catalogue put in the place of a build's own, and all rules judged again.

Every single part and every pair is judged without the plan and the trips; the best are judged with
them, and what is shown by both evaluators.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from advisor.catalogue import Catalogue
from advisor.engine import Judge, Judgement
from advisor.facts import Facts, facts_of
from advisor.facts.cases import BuildCases
from advisor.findings.judged import Check, Judged, judged
from advisor.findings.risk import Level, level_of
from advisor.findings.screening import STAGES
from advisor.fixing.checks import by_check
from advisor.fixing.placing import Choice, Slot, choices, with_parts
from advisor.rules.rule import RuleBook
from advisor.rules.values import Verdict
from advisor.sheet.build import Build

Risk = tuple[int, int, int]
"""How many checks of high, serious and medium risk are violated, or open at serious and above."""
Survey = Callable[[Build], Facts]
Tell = Callable[[int, int], None]

_FOR_EACH = 3
_BEST = 12


@dataclass(frozen=True, slots=True)
class Replacement:
    """Some parts replaced, and what that does, beside the build as it is."""

    choices: tuple[Choice, ...]
    risk: Risk
    cleared: tuple[Judgement, ...]
    broken: tuple[Judgement, ...]
    opened: tuple[Judgement, ...]

    @property
    def price(self) -> float | None:
        """Price of all parts, each as often as it is needed; None where one is not stated."""
        prices = [(one.entry.price, len(one.slot)) for one in self.choices]
        if any(price is None for price, _ in prices):
            return None
        return sum(price * number for price, number in prices if price is not None)

    @property
    def mass(self) -> float:
        """Mass (kg) of the new parts, as far as stated."""
        return sum((one.entry.mass or 0.0) * len(one.slot) for one in self.choices)

    @property
    def harms(self) -> bool:
        """It breaks something of the same or a higher risk than the worst that it clears."""
        return _harms(self.cleared, self.broken)

    @property
    def order(self) -> tuple[bool, Risk, int, float, float]:
        """What harms last; then by remaining risk, parts changed, price, and mass."""
        changed = sum(len(one.slot) for one in self.choices)
        price = self.price if self.price is not None else float("inf")
        return self.harms, self.risk, changed, price, self.mass


@dataclass(frozen=True, slots=True)
class Replacements:
    """What was found: the risk as it is, the replacements that lower it, and what was tried."""

    before: Risk
    found: tuple[Replacement, ...]
    tried: int
    complete: bool


def replacements(
    build: Build,
    book: RuleBook,
    catalogue: Catalogue,
    surveyed: Survey,
    seconds: float = 30.0,
    tell: Tell = lambda done, total: None,
) -> Replacements:
    """Single parts and pairs of a catalogue that leave less risk, the least first."""
    return _Search(build, book, catalogue, surveyed, seconds, tell).run()


@dataclass(frozen=True, slots=True)
class _Quick:
    """Some parts tried without the plan and the trips."""

    choices: tuple[Choice, ...]
    harms: bool
    risk: Risk
    judged: Judged


class _Search:
    def __init__(
        self, build: Build, book: RuleBook, catalogue: Catalogue, surveyed: Survey, seconds: float,
        tell: Tell,
    ) -> None:  # fmt: skip
        self.build = build
        self.catalogue = catalogue
        self.surveyed = surveyed
        self.until = time.monotonic() + seconds
        self.tell = tell
        self.both = Judge(book)
        self.before = by_check(self.both.judge(BuildCases(surveyed(build))))
        self.start = judged(facts_of(build), book)
        self.hazards = by_check(self.start.checks.values())
        self.due = STAGES.index(build.stage or "order")
        self.tried = 0
        self.total = 0
        self.complete = True

    def run(self) -> Replacements:
        """Singles, pairs, and the best of both with the plan."""
        singles = list(self._singles(choices(self.build, self.catalogue)))
        good = [one for one in singles if one.risk < self._risk(self.hazards)]
        kept = _some_of_each(sorted(good, key=_promise))
        pairs = sorted(self._pairs(singles), key=_promise)
        found = []
        before = self._risk(self.before)
        groups = [one.choices for one in (*kept, *pairs[:_BEST])]
        self.total = self.tried + len(groups)
        for group in groups:
            if self._late():
                break
            one = self._judged(group)
            if one.risk < before and one.cleared:
                found.append(one)
        found.sort(key=lambda one: one.order)
        return Replacements(before, tuple(found), self.tried, self.complete)

    def _late(self) -> bool:
        self.tell(self.tried, self.total)
        if time.monotonic() > self.until:
            self.complete = False
            return True
        return False

    def _singles(self, listed: Sequence[Choice]) -> Iterator[_Quick]:
        self.total = len(listed)
        for one in listed:
            if self._late():
                return
            yield self._quickly((one,), self.start)

    def _pairs(self, singles: Sequence[_Quick]) -> Iterator[_Quick]:
        """Pairs that leave less than either part alone; what lowers the risk most comes first."""
        ordered = sorted(singles, key=_promise)
        pairs = [
            (one, two)
            for one, two in combinations(ordered, 2)
            if one.choices[0].slot != two.choices[0].slot
        ]
        self.total = self.tried + len(pairs)
        for one, two in pairs:
            if self._late():
                return
            found = self._quickly((*one.choices, *two.choices), one.judged)
            if found.risk < min(one.risk, two.risk, self._risk(self.hazards)):
                yield found

    def _quickly(self, group: tuple[Choice, ...], start: Judged) -> _Quick:
        """What it leaves and whether it harms, without the plan and the trips."""
        self.tried += 1
        facts = start.facts.with_build(with_parts(start.facts.build, group[-1:]))
        found = start.after(facts)
        after = by_check(found.checks.values())
        cleared, broken, _ = _changes(self.hazards, after)
        return _Quick(group, _harms(cleared, broken), self._risk(after), found)

    def _risk(self, checks: Mapping[Check, Judgement]) -> Risk:
        """What is violated, and what is due and open at serious risk and above."""
        counts = {Level.HIGH: 0, Level.SERIOUS: 0, Level.MEDIUM: 0}
        for one in checks.values():
            level = level_of(one.rule)
            if one.rule.notice or level not in counts:
                continue
            due = STAGES.index(one.rule.stage) <= self.due and not one.rule.quiet_when_unknown
            open_one = one.verdict is Verdict.UNDETERMINED and due and level >= Level.SERIOUS
            if one.verdict is Verdict.VIOLATED or open_one:
                counts[level] += 1
        return counts[Level.HIGH], counts[Level.SERIOUS], counts[Level.MEDIUM]

    def _judged(self, group: tuple[Choice, ...]) -> Replacement:
        self.tried += 1
        facts = self.surveyed(with_parts(self.build, group))
        after = by_check(self.both.judge(BuildCases(facts)))
        cleared, broken, opened = _changes(self.before, after)
        return Replacement(group, self._risk(after), tuple(cleared), tuple(broken), tuple(opened))


def _changes(
    before: Mapping[Check, Judgement], after: Mapping[Check, Judgement]
) -> tuple[list[Judgement], list[Judgement], list[Judgement]]:
    """What is cleared, what is broken, and what can no longer be decided."""
    cleared: list[Judgement] = []
    broken: list[Judgement] = []
    opened: list[Judgement] = []
    for check, one in after.items():
        was = before.get(check)
        bad = was is not None and was.verdict is Verdict.VIOLATED
        if one.verdict is Verdict.VIOLATED:
            if not bad:
                broken.append(one)
        elif one.verdict is Verdict.UNDETERMINED:
            open_before = was is not None and was.verdict is Verdict.UNDETERMINED
            if not open_before and not one.rule.quiet_when_unknown:
                opened.append(one)
        elif bad:
            cleared.append(one)
    return cleared, broken, opened


def _harms(cleared: Iterable[Judgement], broken: Iterable[Judgement]) -> bool:
    worst = max((level_of(one.rule) for one in broken if not one.rule.notice), default=None)
    if worst is None or worst < Level.MEDIUM:
        return False
    return worst >= max((level_of(one.rule) for one in cleared), default=Level.MEDIUM)


def _promise(one: _Quick) -> tuple[bool, Risk, int, float]:
    prices = [choice.entry.price for choice in one.choices]
    known = sum(price for price in prices if price is not None)
    return one.harms, one.risk, prices.count(None), known


def _some_of_each(ordered: Iterable[_Quick]) -> list[_Quick]:
    """The best few for each slot."""
    taken: dict[Slot, int] = {}
    kept = []
    for one in ordered:
        slot = one.choices[0].slot
        taken[slot] = taken.get(slot, 0) + 1
        if taken[slot] <= _FOR_EACH:
            kept.append(one)
    return kept


__all__ = ["Replacement", "Replacements", "replacements"]
