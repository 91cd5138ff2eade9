"""Limits that stand in rules, against the figures of the documents they name.

Each limit is tried just below, at and just above the published figure.
"""

from __future__ import annotations

import pytest

from advisor.rules import load_rulesets
from advisor.rules.logic import verdict
from advisor.rules.values import Known

RULES = {rule.name: rule for rule in load_rulesets(examples=False).rules}
INCH = 0.0254
POUND_FORCE = 4.4482216


def judged(rule: str, **given: float | str | bool) -> str:
    """The verdict of a rule on a row; `a__b` stands for `a.b`."""
    found = RULES[rule]
    row = {name.replace("__", "."): Known(value) for name, value in given.items()}
    return str(verdict(found.applies, found.when, row))


def test_a_battery_may_move_one_inch() -> None:
    """33 CFR 183.420(a): no more than one inch in any direction under the pull."""
    assert judged("packs-move-when-pulled", mount__movement=0.99 * INCH) == "satisfied"
    assert judged("packs-move-when-pulled", mount__movement=1.0 * INCH) == "satisfied"
    assert judged("packs-move-when-pulled", mount__movement=1.01 * INCH) == "violated"


def test_the_pull_is_90_pounds() -> None:
    """33 CFR 183.420(a): 90 lbf, 400.3 N; the rule prints it rounded to 400 N."""
    assert pytest.approx(400.3, abs=0.05) == 90 * POUND_FORCE
    assert "90 lbf (400 N)" in RULES["packs-move-when-pulled"].finding.text


def test_jets_begin_at_the_second_figure_5() -> None:
    """IEC 60529 as tabulated: 4 splash, 5 jets of 6.3 mm, 6 powerful jets, 9 high pressure."""
    for figure, came in ((4.0, "violated"), (5.0, "satisfied"), (6.0, "satisfied")):
        found = judged(
            "part-not-made-for-the-hose",
            use__wash="hose",
            part__ip_jets=figure,
            part__sheltered=False,
        )
        assert found == came
    for figure, came in ((6.0, "violated"), (9.0, "satisfied")):
        found = judged(
            "part-not-made-for-the-pressure-washer",
            use__wash="pressure",
            part__ip_jets=figure,
            part__sheltered=False,
        )
        assert found == came


def test_dust_is_kept_out_from_the_first_figure_5() -> None:
    """IEC 60529 as tabulated: 4 keeps out 1 mm, 5 is dust-protected, 6 dust-tight."""
    for figure, came in ((4.0, "violated"), (5.0, "satisfied"), (6.0, "satisfied")):
        given = {"use__mud": True, "part__ip_dust": figure, "part__sheltered": False}
        assert judged("part-not-made-for-mud", **given) == came


def test_standing_in_water_begins_at_the_second_figure_7() -> None:
    """IEC 60529 as tabulated: 7 is 1 m for 30 minutes, 8 deeper; 6 is no immersion."""
    for figure, came in ((0.0, "violated"), (7.0, "satisfied"), (8.0, "satisfied")):
        found = judged(
            "pack-stands-in-water",
            use__wade_depth=0.5,
            vehicle__lowest_live_part=0.25,
            pack__ip_dipped=figure,
        )
        assert found == came


def test_contacts_are_rated_up_to_2000_metres() -> None:
    """EN 1175-1:1998, scope: altitude up to 2000 m; IEC 60947-4-1 has the same, from memory."""
    assert judged("thin-air-for-the-contacts", use__altitude=2000.0) == "satisfied"
    assert judged("thin-air-for-the-contacts", use__altitude=2001.0) == "violated"


def test_motors_are_rated_up_to_1000_metres() -> None:
    """IEC 60034-1, from memory: a lead, and the rule is a notice."""
    assert judged("thin-air-for-the-motor", use__altitude=1000.0) == "satisfied"
    assert judged("thin-air-for-the-motor", use__altitude=1001.0) == "violated"
    assert RULES["thin-air-for-the-motor"].notice


def test_half_of_a_shared_circuit() -> None:
    """NEC 210.23(A)(2), from memory: fixed equipment beside other loads takes half the rating."""
    given = {"supply__shared_circuit": True, "supply__circuit_rating": 20.0}
    assert judged("charger-shares-its-circuit", **given, supply__load_asked=10.0) == "satisfied"
    assert judged("charger-shares-its-circuit", **given, supply__load_asked=10.1) == "violated"


def test_a_coil_pulls_in_from_85_percent() -> None:
    """Data sheets of coils: 0.85 to 1.10 of the rated voltage on one, 0.8 to 1.15 on another."""
    given = {"vehicle__parking_brake": "electromagnetic", "motor__brake_coil_voltage": 48.0}
    for part, came in ((0.85, "satisfied"), (0.849, "violated")):
        rest = part * 48.0
        assert judged("magnet-brake-may-not-release", **given, battery__reserve_voltage=rest) == (
            came
        )


def test_a_coil_may_let_go_below_75_percent() -> None:
    """Data sheets of coils: release between 0.75 and 0.2 of the rated voltage."""
    given = {"vehicle__parking_brake": "electromagnetic", "motor__brake_coil_voltage": 48.0}
    for part, came in ((0.75, "satisfied"), (0.749, "violated")):
        sag = part * 48.0
        assert judged("magnet-brake-drags-at-sag", **given, battery__sag_voltage=sag) == came


def test_500_kg_on_20_percent_pull_with_962_newton() -> None:
    """500 kg x 9.80665 x sin(atan 0.20) = 961.6 N; a brake that holds 961 N does not hold it."""
    weight = 500 * 9.80665 * 0.1961161
    assert weight == pytest.approx(961.6, abs=0.1)
    given = {"vehicle__hold_force": weight}
    assert judged("parking-brake-too-weak", **given, vehicle__parking_brake_force=961.0) == (
        "violated"
    )
    assert judged("parking-brake-too-weak", **given, vehicle__parking_brake_force=962.0) == (
        "satisfied"
    )


def test_low_speed_vehicles_have_a_belt_for_each_seat() -> None:
    """49 CFR 571.500 S5(b)(10): a belt at each designated seat; here already above 15 mph."""
    given = {"use__fast": True, "vehicle__seats": 4.0}
    assert judged("fast-without-belts", **given, vehicle__belts=3.0) == "violated"
    assert judged("fast-without-belts", **given, vehicle__belts=4.0) == "satisfied"
