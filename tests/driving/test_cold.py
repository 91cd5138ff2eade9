"""Cold air: what a battery still holds, when it refuses braking current, and days by season."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.driving.cold import capacity_share, charge_refused, resistance_ratio
from advisor.driving.road import Road
from tests.driving.sheets import CAMPUS, TWIN, facts, number, value

_ICE = 273.15


def test_the_figures_at_twenty_five_and_at_minus_ten() -> None:
    """The two ends of each line, as the constants say (from memory; makers differ widely)."""
    assert capacity_share(_ICE + 25, "lfp") == resistance_ratio(_ICE + 25) == 1.0
    assert capacity_share(_ICE - 10, "lfp") == pytest.approx(0.65)
    assert capacity_share(_ICE - 10, "lead-agm") == pytest.approx(0.60)
    assert resistance_ratio(_ICE - 10) == pytest.approx(2.5)
    assert capacity_share(_ICE + 40, "nmc") == resistance_ratio(_ICE + 40) == 1.0


@given(st.floats(-40, 45), st.floats(0, 20), st.sampled_from(["lfp", "nmc", "lead-flooded"]))
def test_colder_is_never_better(celsius: float, less: float, chemistry: str) -> None:
    warm, cold = _ICE + celsius, _ICE + celsius - less
    assert capacity_share(cold, chemistry) <= capacity_share(warm, chemistry)
    assert resistance_ratio(cold) >= resistance_ratio(warm)


def test_a_stated_limit_decides_and_lithium_without_one_stops_at_freezing() -> None:
    stated = facts(TWIN)
    limit = number(stated, "battery", "charge_temperature_min")
    assert charge_refused(stated, limit - 0.1) is True
    assert charge_refused(stated, limit) is False


def test_a_winter_day_leaves_less_and_says_so() -> None:
    usual = facts(TWIN)
    winter = facts(TWIN, ("    repeats: 6\n", "    repeats: 6\n    season: winter\n"))
    assert value(usual, "battery", "day_season") == "the year"
    assert value(winter, "battery", "day_season") == "winter"
    assert number(winter, "battery", "charge_after_day") < number(
        usual, "battery", "charge_after_day"
    )
    # the two ranges do not depend on when it is driven
    for name in ("range_warm", "range_cold"):
        assert number(winter, "battery", name) == pytest.approx(number(usual, "battery", name))


def test_each_season_has_its_day_and_trips_without_one_belong_to_all() -> None:
    first = "  - id: campus-round\n    name: one round with all seats taken\n    repeats: 4\n"
    extra = (
        "  - id: snow-round\n    season: winter\n    repeats: 2\n    passengers: 2\n    segments:\n"
        "      - {distance: 2 km, speed: 15 km/h, grade: 0 %}\n"
        "  - id: tour\n    season: summer\n    passengers: 6\n    segments:\n"
        "      - {distance: 5 km, speed: 20 km/h, grade: 0 %}\n"
    )
    found = facts(CAMPUS, (first, extra + first))
    days = Road(found).days
    assert set(days) == {"winter", "summer"}
    assert set(days["winter"].trips) == {"snow-round", "campus-round"}
    assert set(days["summer"].trips) == {"tour", "campus-round"}
    assert days["winter"].inputs.air == pytest.approx(number(found, "use", "ambient_min"))
    assert days["winter"].inputs.vehicle.capacity < days["summer"].inputs.vehicle.capacity
    least = min(float(one.trace.charge[-1, 0]) for one in days.values())
    assert number(found, "battery", "charge_after_day") == pytest.approx(least)


def test_a_cold_trip_takes_no_braking_current_and_says_why() -> None:
    at = "    repeats: 6\n"
    cold = facts(TWIN, (at, at + "    ambient: -10 degC\n"))
    warm = facts(TWIN, (at, at + "    ambient: 20 degC\n"))
    assert value(cold, "beds-and-back", "regeneration_refused") is True
    why = value(cold, "beds-and-back", "regeneration_refused_why")
    assert isinstance(why, str) and "too cold" in why and "lower beds" in why
    # warm it is refused too, but for the reason that the battery is still full
    why = value(warm, "beds-and-back", "regeneration_refused_why")
    assert isinstance(why, str) and "full" in why and "lower beds" in why
