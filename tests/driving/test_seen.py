"""What was seen on a driven trip stands beside what is computed of it, and can settle a check."""

from __future__ import annotations

import pytest

from advisor.facts.origins import Fact, Unknown
from tests.driving.sheets import HAULER, facts, value

TRIPS = "trips:\n"
READ = "readings:\n  - {{of: {of}, what: {what}, value: {value}, time: 2026-11-17}}\n"


def read(of: str, what: str, written: str, *more: tuple[str, str]) -> Fact:
    line = READ.format(of=of, what=what, value=written)
    fact = facts(HAULER, (TRIPS, line + TRIPS), *more).fact(of, what)
    assert isinstance(fact, Fact)
    return fact


def test_a_predicted_trip_is_assumed_and_asks_to_be_driven() -> None:
    """Grip and gear losses are on no plate: only the drive itself can settle it."""
    fact = facts(HAULER, ("rolling_radius:", "drag_area: 1.5 m2\n  rolling_radius:")).fact(
        "gravel", "device_opens"
    )
    assert isinstance(fact, Fact)
    assert (fact.value, fact.assumed, set(fact.settles)) == (False, True, {"gravel.device_opens"})


def test_another_missing_fact_is_asked_for_first() -> None:
    fact = facts(HAULER).fact("gravel", "device_opens")
    assert isinstance(fact, Fact)
    assert set(fact.settles) == {"vehicle.drag_area"}


def test_a_trip_that_cannot_be_computed_asks_for_what_is_missing() -> None:
    fact = facts(HAULER, ("  mass_empty: 540 kg\n", "")).fact("gravel", "device_opens")
    assert isinstance(fact, Unknown)
    assert fact.facts == {"vehicle.mass_empty"}


def test_a_trip_that_was_driven_is_no_assumption() -> None:
    fact = read("gravel", "device_opens", "no")
    assert (fact.value, fact.assumed) == (False, False)


def test_what_is_computed_worse_than_it_was_seen_counts() -> None:
    """With 1700 kg behind it the pit ramp cannot be climbed (worked in test_survey)."""
    load = (
        "    cargo: 350 kg\n    pause",
        "    cargo: 350 kg\n    trailer_mass: 1700 kg\n    pause",
    )
    assert read("gravel", "stalls", "no", load).value is True


def test_what_was_seen_worse_than_it_is_computed_counts() -> None:
    assert read("gravel", "device_opens", "yes").value is True


def test_a_measured_number_takes_the_place_of_a_prediction() -> None:
    fact = read("vehicle", "grade_start_predicted", "12 %")
    assert (fact.value, fact.assumed, fact.rivals) == (0.12, False, ())
    assert value(facts(HAULER), "vehicle", "grade_start_predicted") != 0.12


def test_a_cable_read_on_a_cool_day_has_less_room() -> None:
    """The hauler is used up to 40 °C: 105 °C less 30 K when it is read in air of 10 °C."""
    written = (
        "readings:\n"
        "  - {of: gravel, what: cable_temperature_allowed, value: 105 degC}\n"
        "  - {of: use, what: air_temperature, value: 10 degC}\n"
    )
    found = facts(HAULER, (TRIPS, written + TRIPS))
    most = value(found, "gravel", "cable_temperature_after_expected_max")
    assert most == pytest.approx(273.15 + 75)


def test_a_charge_read_on_a_mild_day_needs_more() -> None:
    """Down to 2 °C, 0.3 more is used: with 50 / 130 left, 80 / 130 x 1.3 = 80 % would have been."""
    written = (
        "readings:\n"
        "  - {of: battery, what: charge_left_measured, value: 40 %}\n"
        "  - {of: use, what: air_temperature, value: 25 degC}\n"
    )
    mild = facts(HAULER, (TRIPS, written + TRIPS))
    cold = facts(HAULER, (TRIPS, written.replace("25 degC", "4 degC") + TRIPS))
    assert value(mild, "battery", "charge_left_expected_min") == pytest.approx(50 / 130)
    assert value(cold, "battery", "charge_left_expected_min") == pytest.approx(0.20)
    assert value(mild, "battery", "charge_after_day") == pytest.approx(0.40 - 0.3 * 0.60)
    assert value(cold, "battery", "charge_after_day") == pytest.approx(0.40)


def test_a_cable_is_judged_as_on_the_hottest_day() -> None:
    """38 °C in air of 10 °C are 68 °C in air of 40 °C; no more an assumption."""
    written = (
        "readings:\n"
        "  - {of: gravel, what: cable_temperature_after, value: 38 degC}\n"
        "  - {of: use, what: air_temperature, value: 10 degC}\n"
    )
    fact = facts(HAULER, (TRIPS, written + TRIPS)).fact("gravel", "cable_temperature")
    assert isinstance(fact, Fact)
    assert (fact.value, fact.assumed) == (pytest.approx(273.15 + 68), False)


def test_a_cable_that_nobody_felt_asks_to_be_felt() -> None:
    drag = ("rolling_radius:", "drag_area: 1.5 m2\n  rolling_radius:")
    fact = facts(HAULER, drag).fact("gravel", "cable_temperature")
    assert isinstance(fact, Fact)
    assert fact.assumed
    assert fact.settles == {"gravel.cable_temperature_after", "use.air_temperature"}
