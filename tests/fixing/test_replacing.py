"""Parts of a catalogue in a build: what stays, what is tried, and that the sheet agrees."""

from __future__ import annotations

import json
import subprocess
import sys
from functools import cache
from itertools import combinations
from pathlib import Path
from random import Random

import pytest

from advisor.catalogue import Catalogue, read_catalogue
from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.facts import facts_of
from advisor.facts.cases import BuildCases
from advisor.fixing.checks import check_of
from advisor.fixing.placing import Choice, choices, with_parts
from advisor.fixing.quickly import Trying, changes
from advisor.fixing.replacing import Replacements, replacements
from advisor.rules import load_rulesets
from advisor.rules.values import Verdict
from advisor.sheet.build import Build
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet

SCENARIOS = Path(__file__).parents[2] / "scenarios"
BOOK = load_rulesets(examples=False)


@cache
def shop() -> Catalogue:
    return read_catalogue(SCENARIOS / "catalogue")


@cache
def build(name: str) -> Build:
    return read_sheet(example_sheets()[name])


def entry(identity: str):  # type: ignore[no-untyped-def]
    return next(one for one in shop().entries if one.id == identity)


@cache
def found(name: str) -> Replacements:
    return replacements(build(name), BOOK, shop(), surveyed, seconds=120)


def test_what_belongs_to_the_place_stays_and_the_rest_is_the_new_part() -> None:
    old = build("twin-packs-in-parallel")
    new = with_parts(old, [Choice(("conv-12",), entry("cv48-30"))])
    was = next(one for one in old.instances if one.id == "conv-12")
    now = next(one for one in new.instances if one.id == "conv-12")
    assert now.values["fed_from"].value == was.values["fed_from"].value
    assert now.values["input_fused"].value == was.values["input_fused"].value
    assert now.values["output_current"].value == 30
    assert [one.id for one in new.instances] == [one.id for one in old.instances]


def test_a_pack_is_replaced_with_all_its_like_and_their_management() -> None:
    old = build("twin-packs-in-parallel")
    new = with_parts(old, [Choice(("pack-a", "pack-b"), entry("p48-150"))])
    for name in ("pack-a", "pack-b"):
        pack = next(one for one in new.instances if one.id == name)
        board = next(one for one in new.instances if one.id == f"{name}.bms")
        assert pack.values["capacity"].value == 150 * 3600
        assert board.values["over_current_1"].value == 300


def test_a_breaker_in_the_place_of_the_only_fuse_leaves_no_question_about_fuses() -> None:
    """Nobody doubts after the change whether a fuse is there: the sheet's only one went."""
    old = build("bargain-parts")
    new = with_parts(old, [Choice(("strip-fuse",), entry("br-200"))])
    kinds = {one.subject for one in new.instances}
    assert "breaker" in kinds and "fuse" not in kinds
    assert "fuse" in new.absent and "breaker" not in new.absent
    open_ones = {one.case for one in Judge(BOOK).judge(BuildCases(surveyed(new)))}
    assert "fuse" not in open_ones


def test_what_is_shown_is_what_judging_the_changed_build_says() -> None:
    result = found("two-lots-in-series")
    assert result.complete and result.found
    before = violated(build("two-lots-in-series"))
    for one in result.found[:4]:
        after = violated(with_parts(build("two-lots-in-series"), one.choices))
        cleared = {(two.rule.name, two.case) for two in one.cleared}
        broken = {(two.rule.name, two.case) for two in one.broken}
        opened = {(two.rule.name, two.case) for two in one.opened}
        assert cleared <= before - after and before - after <= cleared | opened | undecided(one)
        assert after - before == broken
        assert one.risk < result.before


def undecided(one: object) -> set[tuple[str, str]]:
    """Checks that nobody can decide any more, also those that are never asked."""
    facts = surveyed(with_parts(build("two-lots-in-series"), one.choices))  # type: ignore[attr-defined]
    return {
        (two.rule.name, two.case)
        for two in Judge(BOOK).judge(BuildCases(facts))
        if two.verdict in (Verdict.UNDETERMINED, Verdict.NOT_APPLICABLE)
    }


def violated(changed: Build) -> set[tuple[str, str]]:
    return {
        (one.rule.name, one.case)
        for one in Judge(BOOK).judge(BuildCases(surveyed(changed)))
        if one.verdict is Verdict.VIOLATED and one.rule.hazard is not None
    }


@pytest.mark.parametrize("name", ["two-lots-in-series", "bargain-parts"])
def test_two_parts_come_out_as_when_the_build_with_both_is_judged_afresh(name: str) -> None:
    """Some pairs, those that have nothing to do with each other and the others."""
    old = build(name)
    trying = Trying(old, BOOK)
    singles = [trying.one(one) for one in choices(old, shop())]
    pairs = [
        (one, two)
        for one, two in combinations(singles, 2)
        if one.choices[0].slot != two.choices[0].slot
    ]
    apart = [pair for pair in pairs if pair[0].apart(pair[1])]
    assert apart
    full = Judge(BOOK, use_engine=False)
    for one, two in (*Random(1).sample(pairs, 40), *Random(2).sample(apart, 20)):
        found = trying.two(one, two)
        new = with_parts(old, (*one.choices, *two.choices))
        afresh = {
            (each.rule.name, each.case): each for each in full.judge(BuildCases(facts_of(new)))
        }
        cleared, broken, _ = changes(trying.start.checks, afresh)
        assert found.risk == trying.risk(afresh)
        assert {check_of(each) for each in found.cleared} == {check_of(each) for each in cleared}
        assert {check_of(each) for each in found.broken} == {check_of(each) for each in broken}


def test_the_order_is_risk_then_parts_then_price_and_what_harms_comes_last() -> None:
    result = found("two-lots-in-series")
    orders = [one.order for one in result.found]
    assert orders == sorted(orders)


def test_without_time_it_says_that_not_all_was_tried() -> None:
    result = replacements(build("two-lots-in-series"), BOOK, shop(), surveyed, seconds=-1)
    assert not result.complete and result.found == ()


def test_the_command_in_both_forms_and_with_a_bad_row(tmp_path: Path) -> None:
    text = (SCENARIOS / "catalogue-chargers.csv").read_text()
    rows = tmp_path / "shop.csv"
    rows.write_text(text + "broken,charger,no price,x\n")
    call = [sys.executable, "-m", "advisor", "fix", str(SCENARIOS / "two-lots-in-series.yaml"),
            "--catalogue", str(rows)]  # fmt: skip
    ran = subprocess.run(call, capture_output=True, text=True, check=False, timeout=300)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "These leave less" in ran.stdout and "shop.csv:10:" in ran.stdout
    data = json.loads(
        subprocess.run([*call, "--json"], capture_output=True, text=True, check=True).stdout
    )
    assert data["replacements"] and data["problems"]
