"""Judging only what a change can touch gives what judging everything gives."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

import pytest

from advisor.catalogue import read_catalogue
from advisor.engine import Judge, Judgement
from advisor.facts import Facts, facts_of
from advisor.facts.cases import BuildCases
from advisor.fixing.checks import by_check
from advisor.fixing.narrow import Narrow
from advisor.fixing.offers import offers
from advisor.fixing.replacing import Choice, with_parts
from advisor.rules import load_rulesets
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet

BOOK = load_rulesets(examples=False)
FULL = Judge(BOOK, use_engine=False)
SHEETS = ("bargain-parts", "winter-hauler", "three-facts")


@cache
def narrow(name: str) -> Narrow:
    return Narrow(facts_of(read_sheet(example_sheets()[name])), BOOK)


def verdicts(found: Mapping[tuple[str, str], Judgement]) -> dict[tuple[str, str], tuple[str, bool]]:
    return {check: (str(one.verdict), one.on_assumption) for check, one in found.items()}


def everything(facts: Facts) -> dict[tuple[str, str], tuple[str, bool]]:
    return verdicts(by_check(FULL.judge(BuildCases(facts))))


@pytest.mark.parametrize("name", SHEETS)
def test_values_on_trial(name: str) -> None:
    facts = facts_of(read_sheet(example_sheets()[name]))
    for one in offers(facts, narrow(name).before.values()):
        values = {key: value for key, (_, value) in one.variants[0].items()}
        trial = facts.with_values("test", values)
        assert verdicts(narrow(name).after(trial, keys=values)) == everything(trial), one.name


@pytest.mark.parametrize("name", SHEETS[:2])
def test_parts_of_a_catalogue(name: str) -> None:
    """Every third part of the example catalogue in the place of each of its kind."""
    build = read_sheet(example_sheets()[name])
    catalogue = read_catalogue(Path(__file__).parents[2] / "scenarios" / "catalogue")
    tried = 0
    for entry in catalogue.entries[::3]:
        for one in build.instances:
            if one.subject != entry.subject:
                continue
            facts = facts_of(with_parts(build, [Choice((one.id,), entry)]))
            parts = {one.id, f"{one.id}.bms"}
            assert verdicts(narrow(name).after(facts, parts=parts)) == everything(facts)
            tried += 1
    assert tried > 10


def test_a_value_that_nothing_asks_for_leaves_all_as_it_was() -> None:
    found = narrow("bargain-parts")
    facts = facts_of(read_sheet(example_sheets()["bargain-parts"]))
    assert found.after(facts, keys=[("no-such-part", "colour")]) == found.before
