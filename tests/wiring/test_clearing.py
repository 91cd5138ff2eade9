"""Who opens when: curves written in the sheet, withstand of IEC 60364-4-43, worked by hand."""

from __future__ import annotations

import math

import pytest

from advisor.facts.origins import Unknown
from advisor.sheet.reading import read_sheet_bytes
from advisor.wiring.clearing import NEVER, Curve, curve_for, least_ratio, opens_after, stands_for
from advisor.wiring.found import Found
from advisor.wiring.survey import surveyed
from tests.wiring.test_miswired import moved, value

TWIN = "twin-packs-in-parallel"
FUSE = "id: converter-fuse, role: converter-input, kind: class-rk, rating: 15 A"
LEAD = (
    "id: converter-lead, from: converter-fuse.out, to: conv-12.in-plus, circuit: converter-input, "
    "protected_by: converter-fuse, gauge: 12 AWG, size_system: awg, length: 2 ft, "
    "material: copper, strands: fine, insulation: xlpe, insulation_temperature: 105 degC"
)


def facts(*changes: tuple[str, str]):  # type: ignore[no-untyped-def]
    return surveyed(read_sheet_bytes(moved(*changes, sheet=TWIN).encode(), "sheet.yaml"))


def with_curve(curve: str) -> tuple[str, str]:
    return FUSE, f'{FUSE}, curve: "{curve}"'


def test_a_stated_curve_is_a_power_law_between_its_points() -> None:
    """2 x 60 s to 20 x 0.6 s: t = 60 (m / 2)^-2, by the definition of a line on log-log paper."""
    curve = curve_for(facts(with_curve("2 x 60 s, 20 x 0.6 s")), "converter-fuse")
    assert isinstance(curve, Curve)
    assert not any(one.assumed for one in curve.rests)
    for multiple in (2.0, 5.0, 10.0, 20.0):
        assert curve.opening(15 * multiple) == pytest.approx(60 * (multiple / 2) ** -2)
    assert curve.opening(15 * 1.9) == NEVER


def test_a_curve_of_the_class_is_assumed_and_asks_for_the_real_one() -> None:
    curve = curve_for(facts(), "converter-fuse")
    assert isinstance(curve, Curve)
    assert any(one.assumed and "converter-fuse.curve" in one.settles for one in curve.rests)


def test_without_rating_or_kind_nothing_is_known() -> None:
    found = curve_for(facts((FUSE, FUSE.replace("kind: class-rk, ", ""))), "converter-fuse")
    assert isinstance(found, Found) and not found.known
    found = curve_for(facts((FUSE, FUSE.replace(", rating: 15 A", ""))), "converter-fuse")
    assert isinstance(found, Found) and found.missing == {"converter-fuse.rating"}


def test_the_first_device_of_a_way_opens_it_and_one_without_a_curve_does_not_help() -> None:
    sheet = facts(with_curve("2 x 60 s, 20 x 0.6 s"))
    alone = opens_after(sheet, [("converter-fuse", 150.0)])
    assert alone is not None and alone.value == pytest.approx(60 / 25)
    both = opens_after(sheet, [("pack-a", 150.0), ("converter-fuse", 150.0)])
    assert both is not None and both.known and both.value == pytest.approx(60 / 25)
    assert opens_after(sheet, []) is None
    inside = opens_after(sheet, [("pack-a", 150.0)])
    assert inside is not None and not inside.known


@pytest.mark.parametrize(
    ("insulation", "rated", "k"),
    [
        ("pvc", "70 degC", 115.0),  # IEC 60364-4-43 Table 43A, 70 to 160 degC
        ("xlpe", "90 degC", 143.0),  # the same, 90 to 250 degC
        ("rubber", "60 degC", 141.0),  # the same, 60 to 200 degC
    ],
)
def test_withstand_by_the_factors_of_the_standard(insulation: str, rated: str, k: float) -> None:
    """The table prints k in whole numbers: 0.5 of 115 is 0.4 %, twice that in the square."""
    changed = LEAD.replace("12 AWG, size_system: awg", "2.5 mm2, size_system: metric")
    old = "insulation: xlpe, insulation_temperature: 105 degC"
    changed = changed.replace(old, f"insulation: {insulation}, insulation_temperature: {rated}")
    found = stands_for(facts((LEAD, changed)), "converter-lead", Found(500.0))
    assert found.known and not found.assumed
    assert found.value == pytest.approx((k * 2.5 / 500) ** 2, rel=0.009)


def test_unstated_insulation_is_taken_as_the_weakest() -> None:
    changed = LEAD.replace("insulation: xlpe, insulation_temperature: 105 degC", "strands: fine")
    changed = changed.replace("strands: fine, strands: fine", "strands: fine")
    found = stands_for(facts((LEAD, changed)), "converter-lead", Found(500.0))
    assert found.assumed
    k = 226 * math.sqrt(math.log((234.5 + 160) / (234.5 + 75)))  # IEC 60949
    assert found.value == pytest.approx((k * 3.309 / 500) ** 2, rel=2e-3)


def test_selectivity_is_the_least_ratio_within_the_curve_of_the_branch() -> None:
    """Branch t = 60 (I / 20)^-2 from 20 to 200 A, ahead t = 240 (I / 40)^-2 from 40 A: 16 times."""
    branch = Curve((20.0, 200.0), (60.0, 0.6), ())
    ahead = Curve((40.0, 4000.0), (240.0, 240.0 / 100**2), ())
    assert least_ratio(ahead, branch, 1000.0) == pytest.approx(240 * 40**2 / (60 * 20**2))
    assert least_ratio(ahead, branch, 19.0) is None


def test_clearing_and_withstand_of_a_run_in_the_plan() -> None:
    """With a stated slow curve the lead burns first; with the quick one it does not."""
    slow = moved(with_curve("2 x 600 s, 1000 x 60 s"), sheet=TWIN)
    time, stands = (value(slow, "converter-lead", n) for n in ("clearing_time", "withstand_time"))
    fault = value(slow, "converter-lead", "fault_current_least")
    assert isinstance(time, float) and isinstance(stands, float) and isinstance(fault, float)
    # The main fuse ahead is quicker than this: 150 A, class T, 20 times from 3 kA up (class curve).
    assert time < 60.0
    k = 226 * math.sqrt(math.log((234.5 + 250) / (234.5 + 105)))  # IEC 60949, XLPE from 105 degC
    assert stands == pytest.approx((k * 3.309 / fault) ** 2, rel=2e-3)


def test_parallel_packs_are_no_selectivity_of_one_another() -> None:
    assert value(moved(sheet=TWIN), "fuse-a", "selectivity") is None
    ratio = value(moved(sheet=TWIN), "lamp-fuse", "selectivity")
    assert isinstance(ratio, float) and ratio > 2


def test_a_fuse_without_a_rating_has_no_time_and_is_asked_for() -> None:
    """The time of the main fuse ahead of it says nothing about when this one opens."""
    found = facts((FUSE, FUSE.replace("rating: 15 A", "rating: unknown")))
    for name in ("clearing_time", "device_rating"):
        unknown = found.fact("converter-lead", name)
        assert isinstance(unknown, Unknown), name
        assert "converter-fuse.rating" in unknown.facts


def test_a_far_device_without_a_curve_does_not_hide_the_near_one() -> None:
    """Of two in a row the last stands at the fault; 20 x 15 A open it in 0.6 s, by its curve."""
    found = facts(
        with_curve("2 x 60 s, 20 x 0.6 s"),
        ("id: main-fuse, role: main, kind: class-t, rating: 150 A", "id: main-fuse, role: main"),
    )
    near = opens_after(found, [("main-fuse", 300.0), ("converter-fuse", 300.0)])
    assert near is not None
    assert near.known
    assert near.value == pytest.approx(0.6)
    far = opens_after(found, [("converter-fuse", 300.0), ("main-fuse", 300.0)])
    assert far is not None
    assert not far.known
