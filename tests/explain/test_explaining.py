"""Explanations: trees worked by hand from the sheet to the verdict, and what bad calls get."""

from __future__ import annotations

import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.explain.naming import value_named
from advisor.explain.tree import Node, tree_of
from advisor.explain.verdicts import Explainer
from advisor.problems import ProblemsFoundError
from advisor.report.explanation import render_check
from advisor.rules import load_rulesets
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet

SCENARIOS = Path(__file__).parents[2] / "scenarios"


@cache
def explainer(name: str) -> Explainer:
    book = load_rulesets(examples=False)
    return Explainer(surveyed(read_sheet(example_sheets()[name])), book, Judge(book), "si")


def under(node: Node) -> dict[str, Node]:
    return {one.name: one for one in node.walk()}


def line_of(name: str, text: str) -> int:
    lines = example_sheets()[name].read_text(encoding="utf-8").splitlines()
    return next(n for n, line in enumerate(lines, 1) if text in line)


def test_full_voltage_leads_to_the_line_of_the_pack() -> None:
    """One pack of 58.4 V as written; what is written wins over 16 x 3.65 V."""
    node = tree_of(explainer("bargain-parts").facts, ("battery", "full_voltage"), "si")
    assert (node.how, node.text) == ("computed", "58.4 V")
    pack = under(node)["box-48.full_voltage"]
    assert pack.how == "written"
    assert f"line {line_of('bargain-parts', 'full_voltage: 58.4 V')} of" in pack.words


def test_ampacity_leads_to_its_table_and_its_gauge() -> None:
    """33 CFR 183.425 Table 5: 1/0 AWG at 105 °C carries 285 A."""
    found = explainer("twin-packs-in-parallel")
    one = found.explained(found.chosen("conductor-too-small", "switch-to-bus"))
    values = dict(one.values)
    assert values["run.ampacity"].text == "285 A"
    assert "33 CFR 183.425" in values["run.ampacity"].source
    assert under(values["run.ampacity"])["switch-to-bus.gauge"].how == "written"
    assert one.judgement.verdict == "satisfied"


def test_unprotected_length_is_the_sum_of_its_cables() -> None:
    """5 ft and 8 ft of cable: 3.96 m against 7 in, by hand."""
    found = explainer("bargain-parts")
    one = found.explained(found.chosen("cable-without-device-in-reach", "charger-plus"))
    length = dict(one.values)["run.unprotected_length"]
    assert {node.text for node in length.inputs} == {"1.524 m", "2.438 m"}
    assert length.text == "3.96 m"


def test_a_chain_names_the_check_that_it_builds_on() -> None:
    found = explainer("winter-hauler")
    one = found.explained(found.chosen("braking-lost-on-the-grade", None))
    assert one.judgement.verdict == "violated"
    assert "cascade-opens-the-battery" in {below.rule.name for below in one.because_of}


def test_numbers_that_only_the_text_names_are_explained_too() -> None:
    """The first current is no part of the condition; it rests on a resistance nobody stated."""
    found = explainer("bargain-parts")
    page = render_check(found.explained(found.chosen("no-soft-start", None)), 400, markdown=False)
    told, _, numbers = page.partition("The other numbers named above")
    assert "1298 A" in told and "battery.inrush_current" in numbers
    assert "box-48.internal_resistance" in numbers and "ASSUMED" in numbers


def test_a_value_that_nobody_stated_says_so() -> None:
    found = explainer("bargain-parts")
    page = render_check(found.explained(found.chosen("coil-hot", None)), 400, markdown=False)
    assert "old-solenoid.coil_voltage_max" in page
    assert "is not known; nobody stated it" in page


def test_a_long_list_of_values_is_shown_once() -> None:
    found = explainer("winter-hauler")
    one = found.explained(found.chosen("drive-stands-still-on-the-trip", "gully"))
    page = render_check(one, 400, markdown=False)
    assert page.count("gully.4.grade (") == 1
    assert "from values that are all shown above" in " ".join(page.split())


def test_what_depends_on_a_value() -> None:
    found = explainer("bargain-parts")
    names = {one.rule.name for one in found.depending(("box-48", "full_voltage"))}
    assert {"converter-destroyed-when-full", "device-far-below-voltage"} <= names
    assert "no-parking-brake" not in names


@pytest.mark.parametrize(
    ("name", "about", "words"),
    [
        ("conductor-to-small", None, 'write "conductor-too-small"'),
        ("conductor-too-small", None, "add --about"),
        ("conductor-too-small", "frame-retrun", 'write "frame-return"'),
        ("9999", None, "the numbers go from 1 to"),
    ],
)
def test_bad_names_get_the_nearest(name: str, about: str | None, words: str) -> None:
    with pytest.raises(ProblemsFoundError, match=words):
        explainer("bargain-parts").chosen(name, about)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("battry.full_voltage", 'write "battery"'),
        ("battery.ful_voltage", 'write "full_voltage"'),
        ("full_voltage", "write battery.full_voltage or box-48.full_voltage"),
        ("box-48", '"box-48" is no value; write one of its values, such as box-48.'),
        ("nonsense", "write part.attribute"),
    ],
)
def test_unknown_values_get_the_nearest(text: str, words: str) -> None:
    with pytest.raises(ProblemsFoundError, match=re.escape(words)):
        value_named(explainer("bargain-parts").facts, text)


@pytest.mark.parametrize("name", ["²", "٣", "-1", ""])
def test_what_only_looks_like_a_number_is_no_finding(name: str) -> None:
    with pytest.raises(ProblemsFoundError, match="there is no rule"):
        explainer("bargain-parts").chosen(name, None)


def test_a_number_and_another_part_do_not_go_together() -> None:
    one = explainer("bargain-parts")
    own = one.chosen("12", None)
    assert one.chosen("12", own.case) is own
    with pytest.raises(ProblemsFoundError, match=f"finding 12 is about {own.case}"):
        one.chosen("12", "conv-small")


@pytest.mark.parametrize("form", ["text", "markdown", "json"])
def test_the_command_in_every_form(form: str) -> None:
    sheet = str(SCENARIOS / "two-lots-in-series.yaml")
    call = [sys.executable, "-m", "advisor", "explain", sheet, "1", "--format", form]
    ran = subprocess.run(call, capture_output=True, text=True, check=False, timeout=120)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "line" in ran.stdout and "two-lots-in-series.yaml" in ran.stdout
    neither = subprocess.run(call[:5], capture_output=True, text=True, check=False, timeout=120)
    assert neither.returncode == 2 and "--value" in neither.stderr


def test_every_earlier_conclusion_is_explained_with_its_numbers() -> None:
    """One pack of two gives 100 A, the drive asks for 152 A: two conclusions below the hill."""
    found = explainer("winter-hauler")
    one = found.explained(found.chosen("rolls-back-on-the-grade", None))
    text = render_check(one, 100, markdown=False)
    for words in ("DANGER, HIGH risk",
                  "other checks found: traction battery, opens while driving",
                  "rolls-back-on-the-grade builds on: Parallel packs that trip in turn",
                  "cascade-opens-the-battery builds on: The remaining packs cannot carry",
                  "The drive asks for 152 A. With one pack out, the others give 100 A.",
                  "grade: a slope"):  # fmt: skip
        assert words in text


def test_an_open_check_asks_for_what_would_decide_it_in_words() -> None:
    found = explainer("bargain-parts")
    one = found.explained(found.chosen("charger-cannot-wake-battery", None))
    assert [each.key for each in one.questions] == ["old-charger.start_voltage_min"]
    text = " ".join(render_check(one, 100, markdown=False).split())
    assert "old-charger: battery voltage it needs to start? (in V)" in text
    assert one.rule.because in text and "When it is violated: " in text
