"""Each scenario shows what its `.expected.yaml` says and why.

`must_find` is the whole set at medium risk and above, each argued by hand from the sheet, with the
numbers the finding must print. `disputed` are findings that are given today and are wrong, with the
reason; they stand apart so that nobody takes them for expectations. `never` keeps nagging out.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.facts.cases import BuildCases
from advisor.findings.report_model import Screening
from advisor.findings.risk import Level
from advisor.findings.screening import screen
from advisor.report.data import as_data
from advisor.report.text import render
from advisor.rules import load_rulesets
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet

BOOK = load_rulesets(examples=False)
JUDGE = Judge(BOOK)
SHEETS = example_sheets()
ROOT = Path(__file__).parents[1]
REPORT_SCHEMA = json.loads((ROOT / "docs" / "report.schema.json").read_text(encoding="utf-8"))
SHEET_SCHEMA = json.loads((ROOT / "docs" / "sheet.schema.json").read_text(encoding="utf-8"))


def expected(name: str) -> dict[str, Any]:
    path = SHEETS[name].with_name(f"{name}.expected.yaml")
    return yaml.safe_load(path.read_text(encoding="utf-8"))


def screened(name: str, stage: str | None = None) -> Screening:
    build = read_sheet(SHEETS[name])
    return screen(build, BOOK, JUDGE, stage, facts=surveyed(build))


def test_there_are_enough_scenarios() -> None:
    assert len(SHEETS) >= 5
    worked = [one for name in SHEETS for one in expected(name)["must_find"] if one.get("shows")]
    assert len(worked) >= 10


@pytest.mark.parametrize("name", SHEETS)
def test_what_must_be_found_is_found_with_its_numbers(name: str) -> None:
    found = {(one.rule.name, one.about): one for one in screened(name).all_findings()}
    for wanted in expected(name)["must_find"]:
        key = (wanted["rule"], wanted["about"])
        assert key in found, f"{key}: {wanted['why']}"
        for text in wanted.get("shows", ()):
            assert str(text) in found[key].text, (text, found[key].text)


@pytest.mark.parametrize("name", SHEETS)
def test_nothing_else_is_found(name: str) -> None:
    screening = screened(name)
    wanted = expected(name)
    listed = [(one["rule"], one["about"]) for one in wanted["must_find"] + wanted["disputed"]]
    found = screening.all_findings()
    graver = [(one.rule.name, one.about) for one in found if one.level >= Level.MEDIUM]
    assert sorted(graver) == sorted(listed)
    assert {one.rule.name for one in screening.notices} == set(wanted["notices"])
    everything = {part.rule.name for one in found for part in (one, *one.milder)}
    assert everything.isdisjoint(wanted["never"])


@pytest.mark.parametrize("name", SHEETS)
def test_expectations_name_rules_that_exist_and_give_reasons(name: str) -> None:
    wanted = expected(name)
    rules = {one.name for one in BOOK.rules}
    assert {*wanted["never"], *wanted["notices"]} <= rules
    assert all(one["why"] for one in wanted["must_find"] + wanted["disputed"])


@pytest.mark.parametrize("name", SHEETS)
def test_what_must_be_asked_is_asked(name: str) -> None:
    asked = {one.key for one in screened(name).questions}
    assert set(expected(name)["must_ask"]) <= asked


@pytest.mark.parametrize("name", SHEETS)
def test_cables_that_are_not_listed_are_asked_for(name: str) -> None:
    """Every electric vehicle has cables: a sheet without them must not clear their checks."""
    asked = {one.key for one in screened(name, "wiring").questions}
    assert ("run.present" in asked) == ("\nwiring:" not in SHEETS[name].read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("stage", ["order", "wiring", "handoff"])
def test_every_check_is_accounted_for(name: str, stage: str) -> None:
    screening = screened(name, stage)
    checks = [rule for rule in BOOK.rules if rule.hazard is not None]
    cases = BuildCases(screening.facts)
    number = sum(len(cases.cases(subject)) for rule in checks for subject in rule.about)
    assert screening.counts.total == number


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("system", ["si", "us"])
def test_reports_render(name: str, system: str) -> None:
    screening = screened(name)
    text = render(screening, system, 80)
    assert max(map(len, text.splitlines())) <= 80
    data = as_data(screening, system)
    jsonschema.validate(json.loads(json.dumps(data)), REPORT_SCHEMA)


@pytest.mark.parametrize("name", SHEETS)
def test_sheets_follow_the_schema(name: str) -> None:
    sheet = yaml.safe_load(SHEETS[name].read_text(encoding="utf-8"))
    jsonschema.validate(sheet, SHEET_SCHEMA)


def test_the_bargain_cart_has_at_least_twelve_distinct_hazards() -> None:
    found = screened("bargain-parts").findings
    assert len({one.rule.name for one in found if one.level >= Level.SERIOUS}) >= 12


def test_three_facts_are_no_all_clear() -> None:
    screening = screened("three-facts")
    text = render(screening, "si", 80)
    assert "not an all-clear" in text
    assert screening.counts.undetermined > 100
    assert screening.at_or_above(Level.HIGH)
