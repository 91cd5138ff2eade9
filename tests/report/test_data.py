"""The JSON report: the published schema, units and origins of every number, the same every time."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest

from advisor.engine import Judge
from advisor.findings.screening import screen
from advisor.report.data import as_data
from advisor.rules.rule import RuleBook
from advisor.sheet.reading import read_sheet_bytes
from advisor.vocabulary import VOCABULARY, Kind
from tests.findings.making import book, real_book, real_judge, rule

ROOT = Path(__file__).parents[2]
SCHEMA = json.loads((ROOT / "docs" / "report.schema.json").read_text(encoding="utf-8"))
SCENARIOS = {
    one.stem: one.read_bytes()
    for one in sorted((ROOT / "scenarios").glob("*.yaml"))
    if not one.stem.endswith(".expected")
}
SHEETS = {
    **SCENARIOS,
    "empty": b"sheet: 1\n",
    "odd": "sheet: 1\ntitle: 'Ökö \"cart\" \\ <x>'".encode(),
}


def _made(data: bytes, rules: RuleBook | None = None, system: str = "si") -> dict[str, Any]:
    build = read_sheet_bytes(data, "sheet.yaml")
    judge = real_judge() if rules is None else Judge(rules, use_engine=False)
    found = screen(build, real_book() if rules is None else rules, judge, "handoff", system)
    text = json.dumps(as_data(found, system), allow_nan=False)
    loaded: dict[str, Any] = json.loads(text)
    return loaded


@cache
def _report(name: str, system: str = "si") -> dict[str, Any]:
    return _made(SHEETS[name], system=system)


def _values(data: Any) -> Iterator[dict[str, Any]]:
    """Every value anywhere in a report."""
    if isinstance(data, dict):
        if {"value", "unit", "text", "origin"} <= set(data):
            yield data
        for one in data.values():
            yield from _values(one)
    elif isinstance(data, list):
        for one in data:
            yield from _values(one)


def test_the_schema_itself_is_valid() -> None:
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


@pytest.mark.parametrize("system", ["si", "us"])
@pytest.mark.parametrize("name", SHEETS)
def test_the_schema_takes_the_report(name: str, system: str) -> None:
    jsonschema.Draft202012Validator(SCHEMA).validate(_report(name, system))


@pytest.mark.parametrize("change", ["findings", "counts", "origins", "version"])
def test_the_schema_refuses_what_lacks_a_part(change: str) -> None:
    less = {key: value for key, value in _report("three-facts").items() if key != change}
    assert not jsonschema.Draft202012Validator(SCHEMA).is_valid(less)


def test_the_schema_refuses_what_it_does_not_know() -> None:
    more = {**_report("three-facts"), "safe": True}
    assert not jsonschema.Draft202012Validator(SCHEMA).is_valid(more)


@pytest.mark.parametrize("name", SHEETS)
def test_every_number_has_its_unit(name: str) -> None:
    for one in _values(_report(name)):
        if isinstance(one["value"], bool) or not isinstance(one["value"], int | float):
            continue
        assert math.isfinite(one["value"])
        part, _, attribute = one["name"].rpartition(".")
        found = [
            known
            for known in VOCABULARY.attributes.values()
            if known.name == attribute and known.meaning == one["meaning"]
        ]
        assert found, one
        pure = all(known.kind is Kind.COUNT or not known.unit for known in found)
        assert (one["unit"] is None) == pure, one
        assert part


@pytest.mark.parametrize("name", SHEETS)
def test_every_origin_resolves(name: str) -> None:
    report = _report(name)
    for one in _values(report):
        if one["value"] is None:
            assert one["origin"] is None
        else:
            assert one["origin"] in report["origins"], one
    for key, origin in report["origins"].items():
        assert origin, key
        assert origin["kind"] in ("sheet", "programmed", "measured", "table", "computed", "assumed")


@pytest.mark.parametrize("name", SCENARIOS)
def test_an_origin_in_the_sheet_is_where_the_value_stands(name: str) -> None:
    lines = SHEETS[name].decode().splitlines()
    seen = 0
    for one in _report(name)["origins"].values():
        if one["kind"] == "sheet" and one["text"] != "listed":
            line = lines[one["line"] - 1]
            first = one["text"].split()[0]
            assert first in line, (one, line)
            seen += 1
    assert seen > 0


@pytest.mark.parametrize("name", SCENARIOS)
def test_an_assumed_value_rests_on_an_assumption(name: str) -> None:
    """Follow the inputs down: under every assumed value lies one of the kind assumed."""
    report = _report(name)

    def rests(key: str, seen: frozenset[str]) -> bool:
        origin = report["origins"][key]
        below = [one["origin"] for one in origin.get("inputs", ()) if one["origin"]]
        return origin["kind"] == "assumed" or any(
            rests(one, seen | {key}) for one in below if one not in seen
        )

    for one in _values(report):
        if one["value"] is not None:
            assert one["assumed"] == rests(one["origin"], frozenset()), one


def test_values_in_the_stated_unit(tmp_path: Path) -> None:
    """58.4 V; 105 Ah; -5 degC: the number is the one that was written, not the one inside."""
    text = "Full {battery.full_voltage}, cold {use.ambient_min}, grade {use.grade_max}."
    rules = book(tmp_path, rule("a", "use.ambient_min < 0 degC", about="use", finding=text))
    sheet = b"""sheet: 1
use: {ambient: -5 .. 38 degC, grade_max: 18 %}
parts: {packs: [{id: pack-1, full_voltage: 58.4 V}]}
battery: {packs_in_series: 1, packs_in_parallel: 1}
"""
    for system in ("si", "us"):  # the text follows the reader, the number does not
        values = _made(sheet, rules, system)["findings"][0]["values"]
        shown = {name: (one["value"], one["unit"]) for name, one in values.items()}
        assert shown["battery.full_voltage"] == (58.4, "V")
        assert shown["use.ambient_min"] == (-5.0, "degC")
        assert shown["use.grade_max"] == (18.0, "%")
    assert values["use.ambient_min"]["text"] == "23 °F"  # 9/5 (-5) + 32, exact


def test_values_that_disagree_have_origins_of_their_own() -> None:
    """A reading and the data sheet differ: both can be traced, each to its own line."""
    sheet = b"""sheet: 1
battery: {packs_in_series: 1, packs_in_parallel: 1}
parts: {packs: [{id: pack-1, full_voltage: 58.4 V}]}
readings:
  - {of: pack-1, what: full_voltage, value: 55 V, instrument: handheld meter,
     time: 2026-03-02 14:10, who: the builder}
"""
    report = _made(sheet)
    (one,) = report["disagreements"]
    origins = {one[side]["value"]: report["origins"][one[side]["origin"]] for side in one}
    assert (origins[58.4]["kind"], origins[58.4]["line"]) == ("sheet", 3)
    assert (origins[55.0]["kind"], origins[55.0]["line"]) == ("measured", 5)
    assert origins[55.0]["instrument"] == "handheld meter"
    assert one["used"]["value"] == 58.4  # the more dangerous of the two counts


@pytest.mark.parametrize("name", ["bargain-parts", "winter-hauler", "empty"])
def test_the_same_bytes_every_time(name: str) -> None:
    once = json.dumps(_made(SHEETS[name]), indent=2)
    again = json.dumps(_made(SHEETS[name]), indent=2)
    assert once == again


@pytest.mark.parametrize("name", SHEETS)
def test_counts_numbers_and_questions_hang_together(name: str) -> None:
    report = _report(name)
    counts = dict(report["counts"])
    assert counts.pop("total") == sum(counts.values())
    tops = [*report["findings"], *report["notices"]]
    numbers = [number for one in tops for number in _numbers(one)]
    assert numbers == list(range(1, len(numbers) + 1))
    assert len(report["undecided"]) == counts["undetermined"]
    open_checks = {(one["rule"], one["about"]) for one in report["undecided"]}
    for question in report["questions"]:
        assert {(one["rule"], one["about"]) for one in question["waits"]} <= open_checks


def _numbers(one: dict[str, Any]) -> list[int]:
    return [one["number"], *(number for below in one["follows"] for number in _numbers(below))]
