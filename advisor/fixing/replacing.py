"""Real parts from a catalogue put in the place of a build's own, and all rules judged again.

Every single part and every pair is judged without the plan and the trips; the best are judged with
them, and what is shown by both evaluators.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from advisor.catalogue import Catalogue
from advisor.engine import Judge, Judgement
from advisor.facts import Facts
from advisor.facts.cases import BuildCases
from advisor.fixing.checks import by_check
from advisor.fixing.placing import Choice, Slot, choices, with_parts
from advisor.fixing.quickly import Quick, Risk, Trying, changes, harms
from advisor.rules.rule import RuleBook
from advisor.sheet.build import Build
from advisor.sheet.prices import Price, total

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
    def price(self) -> Price | None:
        """Price of all parts, each as often as it is needed; None where it cannot be summed."""
        return total(one.entry.price for one in self.choices for _ in one.slot)

    @property
    def mass(self) -> float:
        """Mass (kg) of the new parts, as far as stated."""
        return sum((one.entry.mass or 0.0) * len(one.slot) for one in self.choices)

    @property
    def harms(self) -> bool:
        """It breaks something of the same or a higher risk than the worst that it clears."""
        return harms(self.cleared, self.broken)

    @property
    def order(self) -> tuple[bool, Risk, int, float, float]:
        """What harms last; then by remaining risk, parts changed, price, and mass.

        Prices are compared only where all that is found has one currency.
        """
        changed = sum(len(one.slot) for one in self.choices)
        price = self.price.amount if self.price is not None else float("inf")
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
        self.quickly = Trying(build, book)
        self.tried = 0
        self.total = 0
        self.complete = True

    def run(self) -> Replacements:
        """Singles, pairs, and the best of both with the plan."""
        singles = list(self._singles(choices(self.build, self.catalogue)))
        good = [one for one in singles if one.risk < self.quickly.before]
        kept = _some_of_each(sorted(good, key=_promise))
        pairs = sorted(self._pairs(singles), key=_promise)
        found = []
        before = self.quickly.risk(self.before)
        groups = [one.choices for one in (*kept, *pairs[:_BEST])]
        self.total = self.tried + len(groups)
        for group in groups:
            if self._late():
                break
            one = self._judged(group)
            if one.risk < before and one.cleared:
                found.append(one)
        if len({one.price.currency for one in found if one.price}) > 1:  # they have no order
            found.sort(key=lambda one: (*one.order[:3], one.mass))
        else:
            found.sort(key=lambda one: one.order)
        return Replacements(before, tuple(found), self.tried, self.complete)

    def _late(self) -> bool:
        self.tell(self.tried, self.total)
        if time.monotonic() > self.until:
            self.complete = False
            return True
        return False

    def _singles(self, listed: Sequence[Choice]) -> Iterator[Quick]:
        self.total = len(listed)
        for one in listed:
            if self._late():
                return
            self.tried += 1
            yield self.quickly.one(one)

    def _pairs(self, singles: Sequence[Quick]) -> Iterator[Quick]:
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
            self.tried += 1
            found = self.quickly.two(one, two)
            if found.risk < min(one.risk, two.risk, self.quickly.before):
                yield found

    def _judged(self, group: tuple[Choice, ...]) -> Replacement:
        self.tried += 1
        facts = self.surveyed(with_parts(self.build, group))
        after = by_check(self.both.judge(BuildCases(facts)))
        cleared, broken, opened = changes(self.before, after, self.build.stage or "order")
        return Replacement(
            group, self.quickly.risk(after), tuple(cleared), tuple(broken), tuple(opened)
        )


def _promise(one: Quick) -> tuple[bool, Risk, int, float]:
    prices = [choice.entry.price for choice in one.choices]
    known = sum(price.amount for price in prices if price is not None)
    return one.harms, one.risk, prices.count(None), known


def _some_of_each(ordered: Iterable[Quick]) -> list[Quick]:
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
