"""Real parts from a catalogue put in the place of a build's own, and all rules judged again.

A pack is replaced with all its like; other parts one by one. What belongs to the place and not to
the part (its role, where it is connected, what it protects) stays as it was, and so do settings.
The search judges without the plan and the trips; what is shown is judged with them, by both
evaluators.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations

from advisor.catalogue import Catalogue, Entry
from advisor.engine import Judge, Judgement
from advisor.facts import Facts, facts_of
from advisor.facts.cases import BuildCases
from advisor.findings.risk import Level, level_of
from advisor.findings.screening import STAGES
from advisor.fixing.checks import Check, by_check
from advisor.fixing.narrow import Narrow
from advisor.rules.rule import RuleBook
from advisor.rules.values import Verdict
from advisor.sheet.build import Build, Instance
from advisor.vocabulary import VOCABULARY, Ask

Slot = tuple[str, ...]
"""The parts of a build that one part of the catalogue takes the place of."""
Risk = tuple[int, int, int]
"""How many checks of high, serious and medium risk are violated, or open at serious and above."""
Survey = Callable[[Build], Facts]
Tell = Callable[[int, int], None]

_ALIKE = {"fuse": ("fuse", "breaker"), "breaker": ("breaker", "fuse")}
_FOR_EACH = 3
_BEST = 12


@dataclass(frozen=True, slots=True)
class Choice:
    """A part of the catalogue for a slot."""

    slot: Slot
    entry: Entry


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
    search = _Search(build, book, catalogue, surveyed, time.monotonic() + seconds, tell)
    return search.run()


class _Search:
    def __init__(
        self,
        build: Build,
        book: RuleBook,
        catalogue: Catalogue,
        surveyed: Survey,
        until: float,
        tell: Tell,
    ) -> None:
        self.build = build
        self.catalogue = catalogue
        self.surveyed = surveyed
        self.until = until
        self.tell = tell
        self.both = Judge(book)
        self.before = by_check(self.both.judge(BuildCases(surveyed(build))))
        self.narrow = Narrow(facts_of(build), book)
        self.start = self.narrow.before
        self.due = STAGES.index(build.stage or "order")
        self.tried = 0
        self.complete = True

    def run(self) -> Replacements:
        start = self._risk(self.start)
        choices = [Choice(slot, entry) for slot in self._slots() for entry in self._fitting(slot)]
        scored: list[tuple[bool, Risk, Choice]] = []
        for choice in choices:
            if self._late(len(choices)):
                break
            harms, risk = self._quickly((choice,))
            if risk < start:
                scored.append((harms, risk, choice))
        scored.sort(key=lambda one: (one[0], one[1], one[2].entry.price or float("inf")))
        kept = _some_of_each(scored)
        groups: list[tuple[Choice, ...]] = [(one,) for one in kept]
        pairs = [pair for pair in combinations(kept, 2) if pair[0].slot != pair[1].slot]
        ranked = []
        for pair in pairs:
            if self._late(len(choices) + len(pairs)):
                break
            harms, risk = self._quickly(pair)
            ranked.append((harms, risk, pair))
        ranked.sort(key=lambda one: one[:2])
        groups += [pair for _, _, pair in ranked[:_BEST]]
        found = []
        before = self._risk(self.before)
        for group in groups:
            if self._late(len(choices) + len(pairs) + len(groups)):
                break
            one = self._judged(group)
            if one.risk < before and one.cleared:
                found.append(one)
        found.sort(key=lambda one: one.order)
        return Replacements(before, tuple(found), self.tried, self.complete)

    def _late(self, total: int) -> bool:
        self.tell(self.tried, total)
        if time.monotonic() > self.until:
            self.complete = False
            return True
        return False

    def _slots(self) -> list[Slot]:
        kinds = {one.subject for one in self.catalogue.entries}
        wanted = kinds | {other for kind in kinds for other in _ALIKE.get(kind, ())}
        packs = tuple(one.id for one in self.build.instances if one.subject == "pack")
        others: list[Slot] = [
            (one.id,)
            for one in self.build.instances
            if one.subject in wanted and one.subject != "pack"
        ]
        return [packs, *others] if packs and "pack" in kinds else others

    def _fitting(self, slot: Slot) -> Iterable[Entry]:
        """Parts of the kind; packs only of about the same voltage, or it is another vehicle."""
        old = next(one for one in self.build.instances if one.id == slot[0])
        for kind in _ALIKE.get(old.subject, (old.subject,)):
            for entry in self.catalogue.of(kind):
                if kind != "pack" or _same_voltage(old, entry.instances[0]):
                    yield entry

    def _quickly(self, choices: Sequence[Choice]) -> tuple[bool, Risk]:
        """Whether it harms and what it leaves, without the plan and the trips."""
        self.tried += 1
        facts = facts_of(with_parts(self.build, choices))
        parts = {name for one in choices for name in one.slot}
        after = self.narrow.after(facts, parts=parts | {f"{name}.bms" for name in parts})
        cleared, broken, _ = _changes(self.start, after)
        return _harms(cleared, broken), self._risk(after)

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

    def _judged(self, choices: tuple[Choice, ...]) -> Replacement:
        self.tried += 1
        facts = self.surveyed(with_parts(self.build, choices))
        after = by_check(self.both.judge(BuildCases(facts)))
        cleared, broken, opened = _changes(self.before, after)
        return Replacement(choices, self._risk(after), tuple(cleared), tuple(broken), tuple(opened))


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


def _same_voltage(old: Instance, new: Instance) -> bool:
    volts = [one.values.get("nominal_voltage") for one in (old, new)]
    known = [one.value for one in volts if one is not None and isinstance(one.value, float)]
    return len(known) < 2 or abs(known[0] - known[1]) <= 0.1 * known[0]


def with_parts(build: Build, choices: Iterable[Choice]) -> Build:
    """The build with some parts of a catalogue in the places of its own."""
    new: dict[str, Instance] = {}
    old = {one.id: one for one in build.instances}
    for choice in choices:
        for identity in choice.slot:
            for part in choice.entry.instances:
                own = identity + part.id.removeprefix(choice.entry.id)
                was = old.get(own)
                new[own] = _placed(part, own, was)
    return replace(build, instances=tuple(new.get(one.id, one) for one in build.instances))


def _placed(part: Instance, identity: str, was: Instance | None) -> Instance:
    """A part of the catalogue at its place: what the owner says of the place stays."""
    if was is None:
        return replace(part, id=identity)
    stays = {
        name: value
        for name, value in was.values.items()
        if (attribute := VOCABULARY.attributes.get(f"{part.subject}.{name}")) is not None
        and attribute.ask is Ask.OWNER
    }
    return Instance(
        identity, part.subject, was.place, {**stays, **part.values}, {}, was.settings, {}
    )


def _some_of_each(scored: Iterable[tuple[bool, Risk, Choice]]) -> list[Choice]:
    """The best few for each slot."""
    taken: dict[Slot, int] = {}
    kept = []
    for _, _, choice in scored:
        if taken.get(choice.slot, 0) < _FOR_EACH:
            taken[choice.slot] = taken.get(choice.slot, 0) + 1
            kept.append(choice)
    return kept


__all__ = ["Choice", "Replacement", "Replacements", "replacements", "with_parts"]
