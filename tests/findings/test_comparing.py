"""Builds side by side: differences first, every form, hostile names as text."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.findings.comparing import Comparison, Row, compare
from advisor.findings.screening import screen
from advisor.report.comparing import (
    comparison_csv,
    comparison_data,
    comparison_markdown,
    render_comparison,
)
from advisor.rules import load_rulesets
from advisor.sheet.alternatives import with_choice
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet

SCENARIOS = Path(__file__).parents[2] / "scenarios"
SERIES = SCENARIOS / "two-lots-in-series.yaml"


@cache
def choices() -> Comparison:
    base = read_sheet(example_sheets()["two-lots-in-series"])
    builds = [base, *(with_choice(base, one) for one in base.alternatives)]
    book = load_rulesets(examples=False)
    judge = Judge(book)
    found = [screen(one, book, judge, facts=surveyed(one)) for one in builds]
    return compare(["as it is", "charger", "no beacon"], found, "si")


def row(name: str) -> Row:
    return next(one for one in choices().rows if one.name == name)


def test_findings_that_a_choice_mends_are_named_with_who_has_them() -> None:
    """The new charger has no equalise stage; without the beacon nothing hangs on one pack."""
    have = {(one.rule.name, one.about): has for one, has in choices().only}
    assert have["charger-above-management-trip", "kept-charger"] == (True, False, True)
    assert have["load-on-series-tap", "beacon"] == (True, True, False)
    assert ("series-limit-exceeded", "battery") not in have  # all of them have it


def test_figures_by_hand() -> None:
    """Charge from the reserve: half the current takes twice the time, but for the half hour at the
    end."""
    old, new, same = (float(text.split()[0]) for text in row("time from the reserve to full").texts)
    assert old == same
    assert new - 0.5 == pytest.approx(2 * (old - 0.5), rel=5e-3)
    assert not row("energy of the battery").differs
    assert row("high risk").texts == ("7", "6", "5")


def test_what_an_alternative_asks_for_beside_itself() -> None:
    """Only the new charger ends so near the trip of the management that it must be set lower."""
    (need,) = choices().needs
    assert need.name.startswith("kept-charger")
    assert need.texts[0] == need.texts[2] == "-"
    assert need.texts[1].startswith("Set the charger a little lower")


def test_prices_are_summed_as_far_as_they_are_stated() -> None:
    assert row("price of the parts that state one").texts == ("not known", "290 USD", "not known")
    assert row("parts without a price").texts == ("19 of 19", "18 of 19", "17 of 17")


def test_every_row_of_a_choice_is_there() -> None:
    """What somebody who orders wants to see side by side."""
    names = {one.name for one in choices().rows}
    assert {
        "verdict", "open questions", "energy of the battery", "price of the parts that state one",
        "connectors to handle daily",
    } <= names  # fmt: skip
    for words in ("mass", "how far one charge takes it", "speed", "steepest grade", "time to full"):
        assert any(words in one for one in names), words
    assert not any("_" in one for one in names)


def test_parts_that_differ_say_how_and_what_is_missing() -> None:
    parts = {one.name: one.texts for one in choices().parts}
    assert set(parts) == {"kept-charger", "beacon", "beacon-tap", "beacon-fuse", "beacon-lead",
                          "beacon-return"}  # fmt: skip
    assert "set_voltage 58.8 V" in parts["kept-charger"][0]
    assert parts["beacon"][2] == "not there"


def test_every_form_has_the_same_rows() -> None:
    found = choices()
    text, markdown = render_comparison(found, 110), comparison_markdown(found)
    rows = list(csv.reader(io.StringIO(comparison_csv(found))))
    data = json.loads(json.dumps(comparison_data(found)))
    assert text.index("What differs") < text.index("Parts that differ") < text.index("the same")
    assert rows[0][2:] == list(found.names)
    every = (found.rows, found.only, found.parts, found.needs)
    assert len(rows) == 1 + sum(map(len, every))
    assert [one["name"] for one in data["rows"]] == [one.name for one in found.rows]
    assert "certify" in text and "certify" in markdown
    assert max(map(len, text.splitlines())) <= 110


def test_hostile_names_stay_text() -> None:
    bad = Comparison(("=1+1", "a|b<script>\x1b[2J"), (Row("x", ("@cmd", "|")),), (), (), ())
    assert "'=1+1" in comparison_csv(bad) and "'@cmd" in comparison_csv(bad)
    assert "<script>" not in comparison_markdown(bad) and "\\|" in comparison_markdown(bad)
    assert "\x1b" not in render_comparison(bad, 80) + comparison_csv(bad)


@pytest.mark.parametrize("form", ["text", "markdown", "csv", "json"])
def test_the_command(form: str) -> None:
    call = [sys.executable, "-m", "advisor", "compare", str(SERIES), "--format", form]
    ran = subprocess.run(call, capture_output=True, text=True, check=False, timeout=300)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "load-on-series-tap" in ran.stdout


@pytest.mark.parametrize(
    ("sheets", "words"),
    [
        (("orchard-four-seater.yaml",), "nothing to compare it with"),
        (("orchard-four-seater.yaml", "none.yaml"), "none.yaml"),
        (("two-lots-in-series.yaml",) * 5, "too many for a table"),
    ],
)
def test_bad_calls(sheets: tuple[str, ...], words: str) -> None:
    call = [sys.executable, "-m", "advisor", "compare", *(str(SCENARIOS / one) for one in sheets)]
    ran = subprocess.run(call, capture_output=True, text=True, check=False, timeout=300)
    assert ran.returncode == 2 and words in ran.stderr
