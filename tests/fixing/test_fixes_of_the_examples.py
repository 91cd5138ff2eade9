"""Every fix offered for an example, written into its sheet: the screening then says the same."""

from __future__ import annotations

from functools import cache

import pytest

from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.facts.cases import BuildCases
from advisor.findings.risk import Level, level_of
from advisor.fixing.offers import offers
from advisor.fixing.refusing import sound
from advisor.fixing.trials import Plan, Trial, plan, tried, values_of
from advisor.fixing.workshop import Workshop
from advisor.rules import load_rulesets
from advisor.rules.values import Verdict
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet, read_sheet_bytes
from advisor.sheet.rewriting import with_values

BOOK = load_rulesets(examples=False)
FLAWED = ("bargain-parts", "two-lots-in-series", "winter-hauler")
Check = tuple[str, str]


@cache
def bench(name: str) -> tuple[Workshop, list[Trial]]:
    workshop = Workshop(surveyed(read_sheet(example_sheets()[name])), BOOK)
    return workshop, tried(workshop, offers(workshop.facts, workshop.before.values()))


@cache
def planned(name: str) -> Plan:
    workshop, found = bench(name)
    return plan(workshop, Judge(BOOK), found, Level.SERIOUS, seconds=60)


def rewritten(name: str, fixes: list[Trial]) -> set[Check]:
    """What is violated in the sheet with the fixes written in, by both evaluators."""
    path = example_sheets()[name]
    workshop, _ = bench(name)
    changes = {key: text for one in fixes for key, (text, _) in one.variant.items()}
    text = with_values(path.read_text(encoding="utf-8"), workshop.facts.build, changes)
    facts = surveyed(read_sheet_bytes(text.encode(), path.name, path.parent))
    return violated(Judge(BOOK).judge(BuildCases(facts)))


def violated(judgements: object) -> set[Check]:
    return {
        (one.rule.name, one.case)
        for one in judgements  # type: ignore[attr-defined]
        if one.verdict is Verdict.VIOLATED and one.rule.hazard is not None
    }


OTHERS = sorted(example_sheets().keys() - set(FLAWED))
CASES = [(name, one.offer.name) for name in FLAWED for one in bench(name)[1]]


@pytest.mark.parametrize(("name", "fix"), CASES)
def test_a_fix_does_in_the_sheet_what_it_says(name: str, fix: str) -> None:
    _, found = bench(name)
    does_what_it_says(name, next(two for two in found if two.offer.name == fix))


@pytest.mark.parametrize("name", OTHERS)
def test_so_does_every_fix_of_the_other_examples(name: str) -> None:
    for one in bench(name)[1]:
        does_what_it_says(name, one)


def does_what_it_says(name: str, one: Trial) -> None:
    """Its sheet, read and judged by both evaluators, against what was said before."""
    workshop, _ = bench(name)
    before = violated(workshop.before.values())
    after = rewritten(name, [one])
    cleared = {(two.rule.name, two.case) for two in one.outcome.cleared}
    broken = {(two.rule.name, two.case) for two in one.outcome.broken}
    opened = {(two.rule.name, two.case) for two in one.outcome.opened}
    assert before - after - opened == cleared
    assert after - before == broken
    own = (one.offer.judgement.rule.name, one.offer.judgement.case)
    assert one.clears is (own not in after)


@pytest.mark.parametrize("name", FLAWED)
def test_the_smallest_set_in_the_sheet_leaves_what_it_says(name: str) -> None:
    best = planned(name)
    assert best.proved
    after = rewritten(name, list(best.chosen))
    serious = {
        (rule, case)
        for rule, case in after
        if level_of(BOOK.rule(rule)) >= Level.SERIOUS  # type: ignore[arg-type]
        and not BOOK.rule(rule).notice  # type: ignore[union-attr]
    }
    out = {(one.rule.name, one.case) for one in best.out_of_reach}
    opened = {(one.rule.name, one.case) for one in best.outcome.opened}
    assert serious == out - opened
    assert not best.left


@pytest.mark.parametrize("name", FLAWED)
def test_no_fix_of_the_set_can_be_left_out(name: str) -> None:
    """Smallest implies minimal: without any one of them something it cleared is back."""
    workshop, _ = bench(name)
    best = planned(name)
    for one in best.chosen:
        rest = values_of(two.variant for two in best.chosen if two is not one)
        out = {(two.rule.name, two.case) for two in best.out_of_reach}
        left = {
            (two.rule.name, two.case)
            for two in workshop.outcome(rest).left(Level.SERIOUS)
            if not two.rule.notice
        }
        assert left - out


def test_what_breaks_something_as_bad_comes_last_and_says_so() -> None:
    _, found = bench("bargain-parts")
    harms = [one.harms for one in found]
    assert harms == sorted(harms) and any(harms)
    management = next(one for one in found if one.offer.judgement.rule.name ==
                      "management-cannot-switch")  # fmt: skip
    assert management.harms
    assert {one.rule.name for one in management.outcome.broken} == {"current-past-the-management"}


@pytest.mark.parametrize("name", FLAWED)
def test_every_fix_leaves_its_sheet_valid(name: str) -> None:
    workshop, _ = bench(name)
    offered = offers(workshop.facts, workshop.before.values())
    assert sound(workshop.facts.build, offered) == (offered, [])


@pytest.mark.parametrize(
    ("name", "fix", "limit"),
    [
        ("bargain-parts", "drive-above-battery-continuous@battery.1", "60 A"),
        ("winter-hauler", "one-pack-drops-out@battery.1", "100 A"),
    ],
)
def test_the_limit_that_a_finding_asks_for_clears_it(name: str, fix: str, limit: str) -> None:
    """A controller passes no more than its battery current limit, whatever the motor is rated."""
    one = next(two for two in bench(name)[1] if two.offer.name == fix)
    assert [text for text, _ in one.variant.values()] == [limit]
    assert one.clears


@pytest.mark.parametrize("name", ["orchard-four-seater", "campus-ac-drive", "three-facts"])
def test_a_clean_build_needs_no_fix(name: str) -> None:
    workshop, found = bench(name)
    best = plan(workshop, Judge(BOOK), found, Level.SERIOUS)
    assert best.chosen == () and best.out_of_reach == ()
