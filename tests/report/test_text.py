"""The text report: fits its width, is plain, opens with the verdict, always ends with cautions."""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from pathlib import Path

import pytest

from advisor.findings.report_model import Screening
from advisor.findings.screening import screen
from advisor.report.sentences import CAUTIONS, headline
from advisor.report.text import render
from advisor.sheet.reading import read_sheet_bytes
from tests.findings.making import book, real_book, real_judge, rule, screened

SCENARIOS = Path(__file__).parents[2] / "scenarios"
GOLDEN = Path(__file__).parent / "golden"
NAMES = ("bargain-parts", "three-facts", "two-lots-in-series", "winter-hauler")


@cache
def _screening(name: str, system: str = "si", stage: str | None = None) -> Screening:
    build = read_sheet_bytes((SCENARIOS / f"{name}.yaml").read_bytes(), f"{name}.yaml")
    return screen(build, real_book(), real_judge(), stage, system)


def _words(text: str) -> str:
    return " ".join(text.split())


@pytest.mark.parametrize("width", [40, 60, 80, 120])
@pytest.mark.parametrize("system", ["si", "us"])
@pytest.mark.parametrize("name", NAMES)
def test_no_line_is_wider_than_asked(name: str, system: str, width: int) -> None:
    text = render(_screening(name, system, "handoff"), system, width)
    wide = [line for line in text.splitlines() if len(line) > width]
    assert wide == []


def test_a_wider_page_is_used() -> None:
    lines = render(_screening("bargain-parts"), "si", 120).splitlines()
    assert max(map(len, lines)) > 100


@pytest.mark.parametrize("name", NAMES)
def test_no_control_characters_and_no_trailing_blanks(name: str) -> None:
    text = render(_screening(name), "si", 80)
    assert text.endswith("\n")
    odd = {c for c in text if unicodedata.category(c) in ("Cc", "Cf", "Co", "Cs") and c != "\n"}
    assert odd == set()
    assert [line for line in text.splitlines() if line != line.rstrip()] == []


def test_a_file_name_cannot_command_the_terminal() -> None:
    data = b"sheet: 1\ntitle: Plain\n"
    build = read_sheet_bytes(data, "odd\x1b[2J\x07\u202ename.yaml")
    text = render(screen(build, real_book(), real_judge()), "si", 80)
    assert not {"\x1b", "\x07", "\u202e"} & set(text)
    assert "name.yaml" in text


@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize("name", NAMES)
def test_it_opens_with_the_title_and_the_verdict(name: str, width: int) -> None:
    found = _screening(name)
    opening = (
        f"{found.facts.build.title} {name}.yaml, judged for the stage `{found.stage}` "
        f"{headline(found)} {found.counts.total} checks, of which"
    )
    assert _words(render(found, "si", width)).startswith(opening)


@pytest.mark.parametrize("width", [40, 80, 120])
@pytest.mark.parametrize("name", NAMES)
def test_it_ends_with_every_caution(name: str, width: int) -> None:
    words = _words(render(_screening(name), "si", width))
    places = [words.find(caution) for caution in CAUTIONS]
    assert -1 not in places
    assert places == sorted(places)
    assert places[0] > words.find("Questions to answer")


def test_cautions_stand_there_when_nothing_was_found(tmp_path: Path) -> None:
    rules = book(tmp_path, rule("a", "controller.absolute_max > 50 V"))
    found = screened("parts: {controllers: [{id: drive, absolute_max: 40 V}]}", rules)
    words = _words(render(found, "si", 80))
    assert "NOTHING FOUND" in words
    assert all(caution in words for caution in CAUTIONS)


def test_the_parts_stand_in_order() -> None:
    text = render(_screening("bargain-parts"), "si", 80)
    headings = ["What is wrong", "Questions to answer", "What passed", "Assumed, because", "Before"]
    places = [text.find(f"\n{heading}") for heading in headings]
    assert -1 not in places
    assert places == sorted(places)


@pytest.mark.parametrize("name", NAMES)
def test_every_finding_is_printed_with_its_number_reason_and_rule(name: str) -> None:
    found = _screening(name)
    words = _words(render(found, "si", 80))
    for one in found.all_findings():
        assert f"{one.number}. " in words
        assert _words(one.text) in words
        assert f"{one.rule.name} on {one.part}." in words
    for question in found.questions:
        assert _words(question.text) in words


def test_counts_printed_are_all_checks() -> None:
    found = _screening("bargain-parts")
    text = render(found, "si", 80)
    block = text.split("checks, of which\n")[1].split("\n\n")[0]
    numbers = [int(number) for number in re.findall(r"^ +(\d+) ", block, re.MULTILINE)]
    assert sum(numbers) == found.counts.total


def test_a_value_in_both_unit_systems(tmp_path: Path) -> None:
    """-40 is the same on both scales; 100 kg are 220.5 lb (1 lb = 0.45359237 kg exactly)."""
    text = "Cold {use.ambient_min}, mass {vehicle.mass_empty}."
    rules = book(tmp_path, rule("a", "use.ambient_min < 0 degC", about="use", finding=text))
    sheet = b"sheet: 1\nuse: {ambient: -40 .. 20 degC}\nvehicle: {mass_empty: 100 kg}\n"
    build = read_sheet_bytes(sheet, "sheet.yaml")
    from advisor.engine import Judge

    for system, wanted in (
        ("si", "Cold -40 °C, mass 100 kg."),
        ("us", "Cold -40 °F, mass 220.5 lb."),
    ):
        found = screen(build, rules, Judge(rules, use_engine=False), None, system)
        assert wanted in _words(render(found, system, 80))


# -- single parts ----------------------------------------------------------------------------------


def test_a_finding_on_an_assumption_says_so_in_print(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a", "battery.reserve > 10 %", about="battery"),
        rule("b", "battery.reserve > 11 %", about="battery", more="notice: true"),
    )
    words = _words(render(screened("title: Plain", rules), "si", 80))
    assert words.count("this rests on an assumption") == 2


def test_what_follows_from_a_notice_is_printed(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a", "use.children_present", about="use", more="notice: true\n    concludes: use.bad"),
        rule("b", "use.bad", about="use", more="notice: true", finding="The second is told."),
    )
    words = _words(render(screened("use: {children_present: yes}", rules), "si", 80))
    assert "The second is told." in words


def test_what_was_answered_is_printed(tmp_path: Path) -> None:
    rules = book(tmp_path, rule("a", "controller.absolute_max > 50 V"))
    sheet = "parts: {controllers: [{id: drive, absolute_max: not published (asked in March)}]}"
    words = _words(render(screened(sheet, rules), "si", 80))
    assert "so far: not published (asked in March)" in words


def test_what_blocks_the_handoff_is_said(tmp_path: Path) -> None:
    """An exit code of 1 has its reason in print."""
    rules = book(
        tmp_path, rule("a", "battery.reserve < 10 %", about="battery", risk="critical probable")
    )
    words = _words(render(screened("title: Plain", rules, "handoff"), "si", 80))
    assert "only assumed" in words
    words = _words(render(screened("title: Plain", rules, "order"), "si", 80))
    assert "only assumed" not in words


def test_regression_of_one_small_report() -> None:
    """Regression only: the text as it was once read and approved. It proves no value right."""
    sheet = (GOLDEN / "small.yaml").read_bytes()
    build = read_sheet_bytes(sheet, "small.yaml")
    from advisor.engine import Judge
    from advisor.rules import load_rulesets

    rules = load_rulesets(GOLDEN / "rules")
    found = screen(build, rules, Judge(rules, use_engine=False))
    wanted = (GOLDEN / "small.txt").read_text(encoding="utf-8")
    assert render(found, "si", 80).startswith(wanted)  # what follows names program and engine
