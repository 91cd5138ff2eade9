"""What is printed in the drawing of a circuit, and the file it is printed to."""

from __future__ import annotations

import time
import xml.etree.ElementTree as ET

import pytest

from advisor.facts import Facts, facts_of
from advisor.report.diagram import CAUTION, draw, picture_of
from advisor.sheet.reading import read_sheet_bytes
from advisor.wiring.plan import plan_of
from tests.report.circuits import SCENARIOS, made, sheet, written_ends

SVG = "{http://www.w3.org/2000/svg}"

LABELLED = """
title: A <cart> & "more"
stage: wiring
parts:
  packs: [{id: pack-1, nominal_voltage: 51.2 V, bms: {kind: none}}]
  fuses: [{id: f1, rating: 200 A}, {id: f2}, {id: spare, rating: 5 A}]
  controllers: [{id: ctrl}]
wiring:
  - {id: main-lead, from: pack-1.plus, to: f1.in, gauge: 2/0 AWG, length: 3 ft}
  - {id: short-lead, from: f1.out, to: f2.in, gauge: 50 mm2, length: 7 in}
  - {id: lead, from: f2.out, to: ctrl.plus, gauge: unknown}
  - {id: return, from: ctrl.minus, to: pack-1.minus}
  - {id: half, from: f1.in, to: unknown}
"""


def labelled() -> Facts:
    return facts_of(read_sheet_bytes(f"sheet: 1{LABELLED}".encode(), "sheet.yaml"))


def words(svg: str) -> list[str]:
    return [one.text or "" for one in ET.fromstring(svg).iter(f"{SVG}text")]


def test_gauge_as_written_and_length_in_the_reader_s_units() -> None:
    """1 ft = 0.3048 m and 1 in = 2.54 cm, both exact (international yard and pound, 1959)."""
    us, si = words(draw(labelled(), {}, "us")), words(draw(labelled(), {}, "si"))
    assert "2/0 AWG, 3 ft" in us
    assert "50 mm2, 7 in" in us
    assert "2/0 AWG, 91.4 cm" in si
    assert "50 mm2, 17.8 cm" in si
    assert us.count("?, ?") == 2  # neither gauge nor length of the last two is stated


def test_ratings_and_unknown_ratings() -> None:
    printed = words(draw(labelled(), {}))
    for one in ("f1", "200 A", "51.2 V", "?"):
        assert one in printed


def test_what_is_not_drawn_is_listed() -> None:
    printed = words(draw(labelled(), {"spare": [4], "half": [2, 9]}))
    assert "Not in the plan: spare (finding 4)." in printed
    assert "Runs without both ends, not drawn: half (finding 2, 9)." in printed


def test_findings_are_marked_at_their_part_or_run() -> None:
    facts = labelled()
    marks = {"f1": [7], "main-lead": [3, 12], "pack-1.bms": [5], "vehicle": [1]}
    picture = picture_of(facts, plan_of(facts), marks)
    found = {one.of: [mark.number for mark in one.marks] for one in picture.labels if one.marks}
    assert found == {"f1": [7], "main-lead": [3, 12], "pack-1": [5]}
    for label in picture.labels:
        x0, y0, x1, y1 = label.box
        for mark in label.marks:  # a circle of radius 8
            assert x0 <= mark.x - 8 and mark.x + 8 <= x1
            assert y0 - 4 <= mark.y - 8 and mark.y + 8 <= y1
    circles = list(ET.fromstring(draw(facts, marks)).iter(f"{SVG}circle"))
    assert sum(one.get("r") == "8" for one in circles) == 4


def test_title_stage_and_caution() -> None:
    printed = words(draw(labelled(), {}))
    assert printed[0] == 'A <cart> & "more"'
    assert " ".join(printed[1:3]).startswith(f"Stage: wiring. {CAUTION}")
    assert words(draw(labelled(), {}, title="Other"))[0] == "Other"


def test_a_sheet_without_runs_says_so() -> None:
    printed = words(draw(sheet({"packs": ["pack-1"]}, []), {}))
    assert any(one.startswith("The sheet lists no cable run") for one in printed)
    assert "Not in the plan: pack-1." in printed


# -- the file ----------------------------------------------------------------------------------


@pytest.mark.parametrize("name", SCENARIOS)
def test_black_and_white_in_a_plain_letter_and_the_same_bytes(name: str) -> None:
    text = draw(made(name), {})
    assert text == draw(made(name), {})
    root = ET.fromstring(text)
    for one in root.iter():
        for key in ("fill", "stroke"):
            assert one.get(key, "none") in ("none", "black", "white")
        for rule in one.get("style", "").split(";"):
            key, _, value = rule.partition(":")
            if key in ("fill", "stroke"):
                assert value in ("none", "black", "white")
        assert one.get("font-family", "sans-serif") == "sans-serif"
        assert "font-family" not in one.get("style", "")


def test_sixty_runs_are_drawn_at_once() -> None:
    facts = max((made(name) for name in SCENARIOS), key=lambda one: len(written_ends(one)))
    draw(facts, {})
    start = time.perf_counter()
    draw(facts, {})
    assert time.perf_counter() - start < 0.3
