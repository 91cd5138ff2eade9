"""What was seen on a driven trip stands beside what is computed of it, and can settle a check."""

from __future__ import annotations

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
    fact = read("battery", "charge_after_day", "64 %")
    assert (fact.value, fact.assumed, fact.rivals) == (0.64, False, ())
    assert value(facts(HAULER), "battery", "charge_after_day") != 0.64
