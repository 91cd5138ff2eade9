"""Findings of an earlier sheet, and how each was closed: worked by eye from the two sheets."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest

from advisor.commands.handoff import reviewed
from advisor.findings.risk import Level
from advisor.handoff.closing import Closed, how_text
from advisor.handoff.model import Review
from advisor.problems import ProblemsFoundError
from advisor.report.handoff import render_review
from advisor.report.record.findings_blocks import earlier

SCENARIOS = Path(__file__).parents[2] / "scenarios"


@cache
def _review(name: str) -> Review:
    now = SCENARIOS / "handoff" / f"{name}-handed-over.yaml"
    return reviewed(now, "si", None, [SCENARIOS / f"{name}.yaml"])


def _one(name: str, rule: str, part: str) -> Closed:
    (found,) = (one for one in _review(name).closed if (one.rule, one.part) == (rule, part))
    return found


def test_a_length_that_was_cut_says_both_lengths() -> None:
    """36 in bare, now 6 in sheathed. 33 CFR 183.455 allows 7 in of bare cable, ABYC E-11 72 in."""
    one = _one("bargain-parts", "cable-without-device-in-reach", "pack-to-fuse")
    assert (one.level, one.how) == (Level.HIGH, "satisfied")
    cable, allowed = one.changes
    assert (cable.then, cable.now) == ("0.914 m", "0.152 m")
    assert (allowed.then, allowed.now) == ("0.178 m", "1.83 m")


def test_packs_of_another_maker_say_what_that_maker_allows() -> None:
    """The old pair: one pack in series, a switch of 40 V. The new pair: two in series, 100 V."""
    one = _one("two-lots-in-series", "series-limit-exceeded", "traction battery")
    assert [(each.then, each.now) for each in one.changes] == [("1", "2")]
    one = _one("two-lots-in-series", "series-switch-voltage", "the management of lower-pack")
    assert ("40 V", "100 V") in [(each.then, each.now) for each in one.changes]


def test_brakes_that_were_renewed_and_tried() -> None:
    """`brakes_hold_grade: no` in the one sheet, `yes` in the other."""
    one = _one("winter-hauler", "rolls-back-on-the-grade", "vehicle")
    assert how_text(one) == (
        "satisfied: the friction brakes alone hold it on its steepest grade: no, now yes"
    )


def test_a_part_that_was_taken_out_is_said_to_be_gone() -> None:
    one = _one("bargain-parts", "charger-past-management", "old-charger")
    assert one.changes == () and "not in the vehicle any more" in one.how


def test_what_is_still_found_is_not_closed() -> None:
    review = _review("bargain-parts")
    still = {(one.rule.name, one.about) for one in review.screening.all_findings()}
    assert ("stiff-battery-loads-kept-parts", "old-motor") in still
    assert not still & {(one.rule, one.part) for one in review.closed}


def test_what_nobody_decided_since_is_not_called_closed(tmp_path: Path) -> None:
    text = (SCENARIOS / "winter-hauler.yaml").read_text("utf-8")
    now = tmp_path / "now.yaml"
    assert "brakes_hold_grade: no" in text
    now.write_text(text.replace("brakes_hold_grade: no", "brakes_hold_grade: unknown"), "utf-8")
    review = reviewed(now, "si", None, [SCENARIOS / "winter-hauler.yaml"])
    (one,) = (one for one in review.closed if one.rule == "rolls-back-on-the-grade")
    assert one.how == "not decided now: it is not closed"


def test_the_last_of_several_sheets_counts_and_all_are_named() -> None:
    first = SCENARIOS / "two-lots-in-series.yaml"
    last = SCENARIOS / "handoff" / "two-lots-in-series-refused.yaml"
    now = SCENARIOS / "handoff" / "two-lots-in-series-handed-over.yaml"
    review = reviewed(now, "si", None, [first, last])
    files = {one.rule: Path(one.file).name for one in review.closed}
    assert files["charge-voltage-above-limit"] == last.name
    assert files["series-limit-exceeded"] == first.name
    assert len(review.earlier) == 2


def test_another_vehicle_is_told() -> None:
    now = SCENARIOS / "handoff" / "winter-hauler-handed-over.yaml"
    with pytest.raises(ProblemsFoundError, match="no part of it is in"):
        reviewed(now, "si", None, [SCENARIOS / "three-facts.yaml"])


def test_it_stands_in_the_text_and_in_the_record() -> None:
    review = _review("winter-hauler")
    text = render_review(review, 100)
    assert f"Earlier findings, and how each was closed ({len(review.closed)})" in text
    (block,) = earlier(review)
    assert len(block.rows) == len(review.closed)
    assert any("no, now yes" in row[-1] for row in block.rows)
