"""Proposed sizes: what comes out is judged again by all rules; single sizes are worked by hand."""

from __future__ import annotations

import re
from functools import cache

import pytest

from advisor.engine import Judge
from advisor.findings.screening import screen
from advisor.findings.sizing import AWG, METRIC, Sizing, size
from advisor.rules import load_rulesets
from advisor.rules.rule import RuleBook
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet_bytes
from advisor.sheet.rewriting import with_values
from advisor.units import parse_area
from advisor.wiring.survey import surveyed

WIRED = [
    name
    for name, path in example_sheets().items()
    if re.search(r"^wiring:$", path.read_text(encoding="utf-8"), re.M)
]
CLEAN = ["campus-ac-drive", "orchard-four-seater", "twin-packs-in-parallel"]


@cache
def book() -> RuleBook:
    return load_rulesets(examples=False)


def text_of(name: str) -> str:
    return example_sheets()[name].read_text(encoding="utf-8")


def sized(text: str) -> tuple[Sizing, str]:
    build = read_sheet_bytes(text.encode(), "sheet.yaml")
    sizing = size(surveyed(build), book())
    changes = {(one.part, one.attribute): one.fitting for one in sizing.sizes if one.changes}
    return sizing, with_values(text, build, changes)


def violated(text: str) -> set[tuple[str, str]]:
    build = read_sheet_bytes(text.encode(), "sheet.yaml")
    found = screen(build, book(), Judge(book()), "wiring", facts=surveyed(build))
    return {(one.rule.name, one.about) for one in found.all_findings()}


def proposal(sizing: Sizing, part: str) -> str:
    return next(one.smallest for one in sizing.sizes if one.part == part)


@pytest.mark.parametrize("name", WIRED)
def test_what_is_written_has_no_finding_about_a_size_that_is_not_told(name: str) -> None:
    """Judged again by both evaluators, the written sheet has no finding the old one had not."""
    text = text_of(name)
    sizing, written = sized(text)
    told = {(one.rule.name, one.case) for one in sizing.left}
    new = violated(written) - violated(text)
    assert {one for one in new if one[0].startswith(("conductor", "device", "cable"))} <= told
    if name in CLEAN:
        assert not new


@pytest.mark.parametrize("name", CLEAN)
def test_a_plan_without_sizes_comes_out_clean(name: str) -> None:
    """All gauges taken out of a clean plan: with the proposed ones it is as clean as before."""
    text = text_of(name)
    bare = re.sub(r" gauge: [^,]+,", "", text)
    assert "gauge:" not in bare
    sizing, written = sized(bare)
    assert not sizing.left and not sizing.undecided
    assert violated(written) <= violated(text)
    runs = [one for one in sizing.sizes if one.attribute == "gauge"]
    assert runs and all(one.changes and not one.written for one in runs)


def test_sizes_worked_by_hand() -> None:
    """33 CFR 183.425 Table 5: 105 °C insulation, 6 AWG 120 A, 8 AWG 80 A; 2/0 AWG 330 A.

    The sustained 94.7 A times 1.25 is 118 A; NEC 240.6(A) has 125 A next.
    """
    sizing, _ = sized(text_of("twin-packs-in-parallel"))
    assert proposal(sizing, "main-fuse") == "125 A"
    assert proposal(sizing, "switch-to-bus") == "6 AWG"
    assert proposal(sizing, "charge-fuse") == "35 A", "25 A for long is 31.25 A"


def test_a_larger_cable_in_the_sheet_stays_and_a_smaller_one_grows() -> None:
    text = text_of("twin-packs-in-parallel")
    old = "to: conv-12.in-plus, circuit: converter-input, protected_by: converter-fuse, gauge: 12"
    assert text.count(old) == 1
    sizing, written = sized(text.replace(old, old.removesuffix("12") + "20"))
    assert {one.part for one in sizing.sizes if one.changes} == {"converter-lead"}
    found = re.search(r"id: converter-lead,.* gauge: ([0-9]+) AWG,", written)
    assert found and int(found[1]) <= 16, "the least of 33 CFR 183.425 for a power circuit"


def test_a_missing_current_is_named_and_not_guessed() -> None:
    text = text_of("twin-packs-in-parallel")
    assert text.count("motor_current_hour: 140 A, ") == 1
    sizing, _ = sized(text.replace("motor_current_hour: 140 A, ", ""))
    assert sizing.undecided["motor-u"] == "rear-drive.motor_current_hour"
    assert "motor-u" not in {one.part for one in sizing.sizes}


def test_a_control_lead_behind_the_main_fuse_gets_no_thick_cable() -> None:
    text = text_of("campus-ac-drive")
    old = "id: meter-lead, from: meter-fuse.out"
    sizing, _ = sized(text.replace(old, "id: meter-lead, from: plus-bus.stud-6"))
    assert "a device of its own" in sizing.undecided["meter-lead"]
    assert proposal(sizing, "meter-lead") in ("18 AWG", "0.75 mm2")


def test_standard_sizes_rise() -> None:
    for sizes, unit in ((AWG, "AWG"), (METRIC, "mm2")):
        areas = [parse_area(f"{one} {unit}").value for one in sizes]
        assert areas == sorted(set(areas))
