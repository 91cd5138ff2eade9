"""Every offered fix tried on its own, and the smallest set of them that is enough."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from advisor.engine import Judge, Judgement
from advisor.facts.origins import Key, Value
from advisor.findings.judged import Check
from advisor.findings.risk import Level, level_of
from advisor.fixing.checks import check_of
from advisor.fixing.offers import Offer, Variant
from advisor.fixing.smallest import Chosen, smallest
from advisor.fixing.workshop import Outcome, Workshop
from advisor.rules.values import Verdict

Tell = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Trial:
    """An offer, how its numbers are written, and what it does alone.

    `clears` says whether its own check is no longer violated then.
    """

    offer: Offer
    variant: Variant
    outcome: Outcome
    clears: bool

    @property
    def harms(self) -> bool:
        """It breaks something of the same or a higher risk than the check it is for."""
        worst = self.outcome.worst_broken()
        return worst is not None and worst >= level_of(self.offer.judgement.rule)


@dataclass(frozen=True, slots=True)
class Plan:
    """The smallest set of offers that leaves nothing at or above a level that they can clear.

    `out_of_reach` are the violated checks that no offer clears alone; `outcome` is that of the
    whole set, by both evaluators.
    """

    chosen: tuple[Trial, ...]
    outcome: Outcome
    out_of_reach: tuple[Judgement, ...]
    left: tuple[Judgement, ...]
    proved: bool
    looked_at: int


def values_of(variants: Iterable[Variant]) -> dict[Key, Value]:
    """The values (SI) that some variants put in, together."""
    return {key: value for one in variants for key, (_, value) in one.items()}


def tried(workshop: Workshop, offers: Sequence[Offer], tell: Tell | None = None) -> list[Trial]:
    """Each offer tried alone: the useful first, what breaks something as bad last."""
    found = []
    for number, offer in enumerate(offers):
        if tell is not None:
            tell(number, len(offers))
        found.append(_best(workshop, offer))
    return sorted(found, key=_usefulness)


def _best(workshop: Workshop, offer: Offer) -> Trial:
    """The best of the ways to write its numbers; one is enough where nothing had to be rounded."""
    found = []
    for variant in offer.variants:
        outcome = workshop.outcome(values_of([variant]))
        own = (offer.judgement.rule.name, offer.judgement.case)
        clears = own in {(one.rule.name, one.case) for one in outcome.cleared}
        found.append(Trial(offer, variant, outcome, clears))
    return max(found, key=_merit)  # the first of equals


def _merit(one: Trial) -> tuple[bool, int, int]:
    return one.clears, -len(one.outcome.broken), len(one.outcome.cleared)


def _usefulness(one: Trial) -> tuple[bool, bool, int, int, str]:
    level = level_of(one.offer.judgement.rule)
    return one.harms, not one.clears, -level, -len(one.outcome.cleared), one.offer.name


def plan(
    workshop: Workshop,
    judge: Judge,
    found: Sequence[Trial],
    level: Level,
    seconds: float = 10.0,
    tell: Tell | None = None,
) -> Plan:
    """The smallest set of fixes that leaves nothing at or above a level which a fix can clear.

    Where every such set breaks something else, those that break as much as they mend are left out
    and what only they clear counts as out of reach.
    """
    useful = [one for one in found if one.clears]
    best = _plan(workshop, useful, level, seconds, tell)
    kept = [one for one in useful if not one.harms]
    if best.left and best.proved and len(kept) < len(useful):
        best = _plan(workshop, kept, level, seconds, tell)
    return replace(best, outcome=workshop.outcome(_values(best.chosen), judge))


def _values(chosen: Iterable[Trial]) -> dict[Key, Value]:
    return values_of(one.variant for one in chosen)


def _plan(
    workshop: Workshop,
    useful: Sequence[Trial],
    level: Level,
    seconds: float,
    tell: Tell | None,
) -> Plan:
    useful = _different(useful)
    cleared = {check_of(two) for one in useful for two in one.outcome.cleared}
    wanted = {
        check_of(one): one
        for one in workshop.before.values()
        if one.verdict is Verdict.VIOLATED and not one.rule.notice and level_of(one.rule) >= level
    }
    beyond = tuple(one for check, one in wanted.items() if check not in cleared)
    out = {check_of(one) for one in beyond}
    states: dict[Chosen, dict[Check, Judgement]] = {}

    def left(chosen: Chosen) -> frozenset[Check]:
        values = values_of(useful[number].variant for number in chosen)
        outcome = workshop.outcome(values)
        kept = {check_of(one): one for one in outcome.left(level) if not one.rule.notice}
        states[chosen] = {check: one for check, one in kept.items() if check not in out}
        return frozenset(states[chosen])

    kept: dict[Check, tuple[set[Key], list[int]]] = {}

    def touching(chosen: Chosen, check: Check) -> Iterable[int]:
        values = values_of(useful[number].variant for number in chosen)
        known = kept.get(check)
        if known is not None and not known[0] & values.keys():
            return known[1]  # it reads nothing that was changed: as before
        under = workshop.under(values, check)
        found = [number for number, one in enumerate(useful) if one.offer.keys & under]
        if known is None:
            kept[check] = under, found
        return found

    answer = smallest(left, touching, _clashes(useful), seconds, tell or (lambda done, total: None))
    chosen = tuple(useful[number] for number in sorted(answer.chosen))
    rest = tuple(states[answer.chosen].values())
    outcome = workshop.outcome(_values(chosen))
    return Plan(chosen, outcome, beyond, rest, answer.proved, answer.looked_at)


def _different(found: Iterable[Trial]) -> list[Trial]:
    """The first of those that write the same."""
    kept: dict[frozenset[tuple[Key, Value]], Trial] = {}
    for one in found:
        kept.setdefault(frozenset(values_of([one.variant]).items()), one)
    return list(kept.values())


def _clashes(found: Sequence[Trial]) -> dict[int, frozenset[int]]:
    """Offers that no smallest set holds together, by their numbers.

    They put different values in the same place, or one writes nothing that the other does not.
    """
    values = [values_of([one.variant]) for one in found]
    return {
        number: frozenset(
            other
            for other, others in enumerate(values)
            if other != number
            and (both := own.keys() & others.keys())
            and (
                any(own[key] != others[key] for key in both) or both in (own.keys(), others.keys())
            )
        )
        for number, own in enumerate(values)
    }


__all__ = ["Plan", "Trial", "plan", "tried", "values_of"]
