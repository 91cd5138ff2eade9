"""Charts against the sheet they are drawn from, and against hand calculations."""

from __future__ import annotations

import re

import pytest

from advisor.report.record.blocks import Block
from advisor.report.record.charts import all_charts
from advisor.report.record.charts.clearing import conductors, main_device
from advisor.report.record.charts.currents import demands
from advisor.report.record.charts.margins import margins
from advisor.report.record.charts.paper import themed
from advisor.report.record.charts.windows import windows
from advisor.report.record.told import Told
from advisor.rules.values import Verdict
from tests.report.record.making import LARGEST, PLAIN, POOR, blocks, record, review_of

NAMES = {"windows", "currents", "margins", "ranges", "clearing"}


def told(name: str) -> Told:
    return Told(review_of(name).screening.facts, "us")


def chart(name: str, of: str) -> Block:
    (found,) = [one for one in blocks(record(name)) if one.kind == "figure" and one.name == of]
    return found


def test_windows_are_those_of_the_sheet() -> None:
    """Sheet: controller 30 to 65 V, destroyed at 70 V; 16 cells of 3.65 V make 58.4 V, the charge
    voltage of this chemistry in every cell table."""
    found = {name: one for one in windows(told(PLAIN)) for name in one.names}
    drive = found["rear-drive"]
    assert (drive.low, drive.high, drive.ruin) == (30, 65, 70)
    assert found["red-switch"].high == 80
    assert "low-fuse" not in found and "low-plus" not in found  # they see 12 V
    assert "Battery 41.6 to 58.4 V" in chart(PLAIN, "windows").alt


def test_a_part_that_the_full_battery_exceeds_is_named() -> None:
    """Sheet: the converter takes 48 V at most, and a full battery of 16 cells has 58.4 V."""
    alt = chart(LARGEST, "windows").alt
    assert re.search(r"Too low for the full battery: [^.]*conv-small", alt)


def test_currents_are_demand_over_limit() -> None:
    """Sheet: a charger of 25 A on two packs of 50 A side by side, so of 100 A."""
    found = {one.name: one for one in demands(told(PLAIN))}
    charger = found["shed-charger into battery"]
    assert (charger.asked, charger.limit) == (25, pytest.approx(100))
    assert charger.share == pytest.approx(0.25)
    lamps = found["lamp-fuse"]
    assert (lamps.asked, lamps.limit) == (pytest.approx(5), 7.5)  # two lamps of 2.5 A


def test_margins_have_the_sign_of_their_verdicts() -> None:
    screening = review_of(LARGEST).screening
    found, number = margins(screening)
    shares = [one.share for one in found]
    assert shares == sorted(shares)
    violated = {
        one.rule.name
        for one in screening.judgements
        if one.verdict is Verdict.VIOLATED and one.margin and not one.rule.notice
    }
    assert {one.rule for one in found if one.share < 0} == violated
    assert number >= len(found)


def test_the_main_device_has_its_curve_and_the_thinnest_conductor() -> None:
    """Sheet: a class T fuse of 150 A; 4 AWG is the thinnest behind it, 1/0 in the drive's way. The
    table of curves says 1.35 times its rating in 2400 s: 202.5 A."""
    facts = told(PLAIN)
    assert main_device(facts) == "main-fuse"
    thin, traction = conductors(facts, "main-fuse")
    gauges = {
        one.id: one.values["gauge"].text
        for one in review_of(PLAIN).build.instances
        if one.subject == "run"
    }
    assert (gauges[thin], gauges[traction]) == ("4 AWG", "1/0 AWG")
    assert "202.5 A in 2400 s" in chart(PLAIN, "clearing").alt


def test_a_chart_without_data_says_what_is_missing() -> None:
    for name in ("windows", "currents", "ranges", "clearing", "drawing"):
        found = chart(POOR, name)
        assert not found.picture
        assert found.text.startswith("Not drawn. Missing: "), found.text


def test_charts_are_the_same_each_time_and_share_no_ids() -> None:
    review = review_of(PLAIN)
    made = all_charts(review.screening, told(PLAIN))
    again = all_charts(review.screening, told(PLAIN))
    assert set(made) == NAMES
    assert {n: one.picture for n, one in made.items()} == {
        n: one.picture for n, one in again.items()
    }
    ids = [found for one in made.values() for found in re.findall(r' id="([^"]*)"', one.picture)]
    assert len(ids) == len(set(ids))
    for one in made.values():
        used = set(re.findall(r"(?:url\(#|href=\"#)([^\")]*)", one.picture))
        assert used <= set(ids)
        assert "<style" not in one.picture and "<!DOCTYPE" not in one.picture


def test_themed_pictures_have_no_fixed_colour() -> None:
    for one in all_charts(review_of(LARGEST).screening, told(LARGEST)).values():
        assert not re.search(r"#[0-9a-f]{6}\b", themed(one.picture)), one.name
