"""Facts and verdicts taken over from an unchanged build are what reading it afresh gives."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.catalogue import read_catalogue
from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.facts import Facts, facts_of
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Fact, Key, Unknown, Value
from advisor.findings.judged import Judged, judged
from advisor.fixing.offers import offers
from advisor.fixing.placing import Choice, with_parts
from advisor.judgement import Judgement
from advisor.rules import load_rulesets
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet
from advisor.vocabulary import VOCABULARY, Attribute, Kind

BOOK = load_rulesets(examples=False)
FULL = Judge(BOOK, use_engine=False)
SHEETS = ("bargain-parts", "winter-hauler", "three-facts")
PLANNED = ("bargain-parts", "two-lots-in-series", "orchard-four-seater")
Checks = Mapping[tuple[str, str], Judgement]


@cache
def bare(name: str) -> Judged:
    """A build without its plan and trips."""
    return judged(facts_of(read_sheet(example_sheets()[name])), BOOK)


@cache
def planned(name: str) -> Judged:
    """A build with its plan and trips."""
    return judged(surveyed(read_sheet(example_sheets()[name])), BOOK)


def everything(facts: Facts) -> dict[tuple[str, str], Judgement]:
    return {(one.rule.name, one.case): one for one in FULL.judge(BuildCases(facts))}


def afresh(facts: Facts, values: Mapping[Key, Value]) -> Facts:
    """The same trial, with nothing taken over from before."""
    survey = facts._survey
    trial = {key: (value, "test") for key, value in values.items()}
    return Facts(facts.build, facts._derivations, trial, survey)


def all_facts(facts: Facts) -> dict[Key, Fact | Unknown]:
    """Every value of every part of a build."""
    return {
        (one.id, attribute.name): facts.fact(one.id, attribute.name)
        for one in facts.build.instances
        for attribute in VOCABULARY.attributes.values()
        if attribute.path.partition(".")[0] == one.subject
    }


def another(attribute: Attribute, old: Fact | Unknown, random: Random) -> Value | None:
    """Some value of an attribute."""
    if attribute.kind in (Kind.QUANTITY, Kind.COUNT):
        now = old.value if isinstance(old, Fact) and isinstance(old.value, float) else 10.0
        return float(now) * random.choice([0.5, 0.9, 1.1, 2.0])
    if attribute.kind is Kind.FLAG:
        return random.random() < 0.5
    words = [one for one in attribute.choices if one != "unknown"]  # that one is an answer
    return random.choice(words) if words else None


def changes(facts: Facts, number: int, random: Random) -> dict[Key, Value]:
    """Some given values of a build, at random."""
    keys = [
        (one.id, attribute)
        for one in facts.build.instances
        for attribute in VOCABULARY.attributes.values()
        if attribute.given and attribute.path.partition(".")[0] == one.subject
        if attribute.kind is not Kind.TEXT and attribute.name != "role"
    ]
    found: dict[Key, Value] = {}
    for part, attribute in random.sample(keys, number):
        key = (part, attribute.name)
        value = another(attribute, facts.fact(*key), random)
        if value is not None:
            found[key] = value
    return found


@given(st.sampled_from(SHEETS), st.integers(1, 5), st.randoms(use_true_random=False))
@settings(max_examples=60, deadline=None)
def test_any_values_on_trial(name: str, number: int, random: Random) -> None:
    start = bare(name)
    values = changes(start.facts, number, random)
    trial = start.facts.with_values("test", values)
    fresh = afresh(start.facts, values)
    assert start.after(trial).checks == everything(fresh)
    assert all_facts(trial) == all_facts(fresh)


@given(st.sampled_from(PLANNED), st.integers(1, 3), st.randoms(use_true_random=False))
@settings(max_examples=12, deadline=None)
def test_any_values_on_trial_with_plan_and_trips(name: str, number: int, random: Random) -> None:
    start = planned(name)
    values = changes(start.facts, number, random)
    trial = start.facts.with_values("test", values)
    fresh = afresh(start.facts, values)
    assert start.after(trial).checks == everything(fresh)
    assert trial.traced() == fresh.traced()
    assert trial.asked_by_survey() == fresh.asked_by_survey()


@pytest.mark.parametrize("name", PLANNED[:2])
def test_the_offered_fixes(name: str) -> None:
    start = planned(name)
    for one in offers(start.facts, start.checks.values()):
        values = {key: value for key, (_, value) in one.variants[0].items()}
        trial = start.facts.with_values("a fix on trial", values)
        assert start.after(trial).checks == everything(trial), one.name


@pytest.mark.parametrize("name", SHEETS[:2])
def test_parts_of_a_catalogue(name: str) -> None:
    """Every third part of the example catalogue in the place of each of its kind."""
    start = bare(name)
    build = start.facts.build
    catalogue = read_catalogue(Path(__file__).parents[2] / "scenarios" / "catalogue")
    tried = 0
    for entry in catalogue.entries[::3]:
        for one in build.instances:
            if one.subject != entry.subject:
                continue
            changed = with_parts(build, [Choice((one.id,), entry)])
            found = start.after(start.facts.with_build(changed))
            assert found.checks == everything(facts_of(changed))
            tried += 1
    assert tried > 10


def test_changes_upon_changes() -> None:
    """Facts made from facts that were made from others."""
    start = bare("bargain-parts")
    random = Random(7)
    values: dict[Key, Value] = {}
    now = start
    for _ in range(6):
        more = changes(start.facts, 2, random)
        values |= more
        now = now.after(now.facts.with_values("test", more))
        assert now.checks == everything(afresh(start.facts, values))


def test_a_value_that_nothing_asks_for_leaves_all_as_it_was() -> None:
    start = bare("bargain-parts")
    found = start.after(start.facts.with_values("test", {("no-such-part", "colour"): "red"}))
    assert found.checks == start.checks and not found.changed
