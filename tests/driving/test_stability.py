"""How it stops and stands: worked by hand from the numbers of a sheet."""

from __future__ import annotations

import math

import pytest

from advisor.driving.stability import deceleration
from tests.driving.sheets import TWIN, facts, number, value

MASSES = (
    "axle_front_empty: 200 kg, axle_rear_empty: 250 kg, wheelbase: 165 cm, cog_height: 60 cm, "
    "track_front: 86 cm, track_rear: 98 cm"
)


def with_vehicle(*more: str):  # type: ignore[no-untyped-def]
    return facts(TWIN, ("vehicle:\n", "vehicle:\n" + "".join(f"  {one}\n" for one in more)))


def measured(*more: str):  # type: ignore[no-untyped-def]
    lines = [one.strip() for one in MASSES.split(",")]
    return with_vehicle(*lines, *more)


def test_the_legal_stop_of_thirty_feet_from_twenty_miles_an_hour() -> None:
    """New Jersey statute 39:3-68: 14 ft/s2, 30 ft from 20 mph. v2 / 2d = 14.34 ft/s2."""
    found = with_vehicle("stopping_distance_measured: 30 ft", "stopping_speed_measured: 20 mph")
    brakes = deceleration(found)
    assert not brakes.assumed
    assert brakes.value / 0.3048 == pytest.approx((20 * 5280 / 3600) ** 2 / 60)
    assert round(brakes.value / 0.3048) == 14


def test_brakes_that_were_not_measured_are_assumed_by_the_wheels_they_act_on() -> None:
    """Rear wheels alone: mu a g / (L + mu h) = 0.6 x 0.55 x 9.81 / (1 + 0.6 x 0.36) = 2.66 m/s2."""
    rear = deceleration(facts(TWIN, ("brakes: all-drum", "brakes: rear-drum")))
    every = deceleration(facts(TWIN))
    assert rear.assumed and every.assumed
    assert rear.value == pytest.approx(0.6 * 0.55 * 9.80665 / (1 + 0.6 * 0.36))
    assert every.value == pytest.approx(14 * 0.3048, rel=1e-3)


def test_stopping_distances_go_with_the_square_of_the_speed() -> None:
    found = with_vehicle("stopping_distance_measured: 8 m", "stopping_speed_measured: 30 km/h")
    speed = number(found, "vehicle", "stopping_speed")
    level = 8 * (speed / (30 / 3.6)) ** 2
    assert number(found, "vehicle", "stopping_distance") == pytest.approx(level)
    grade = number(found, "use", "grade_max")
    brakes = (30 / 3.6) ** 2 / 16
    down = speed**2 / 2 / (brakes - 9.80665 * grade / math.hypot(1, grade))
    assert number(found, "vehicle", "stopping_distance_downhill") == pytest.approx(down)


def test_axles_and_tipping_by_hand() -> None:
    """All of it from the sheet: 60 % of what is added stands on the rear axle.

    Stability factor: the narrower track, 0.86 / (2 x 0.60) = 0.717.
    """
    found = measured()
    added = number(found, "vehicle", "mass_added")
    load = 2 * 80 + 600 * 0.45359237
    rear = 250 + 0.6 * (added + load)
    assert number(found, "vehicle", "axle_rear_loaded") == pytest.approx(rear)
    assert number(found, "vehicle", "stability_factor") == pytest.approx(0.86 / 1.2)
    total = 450 + added + load
    to_front = 1.65 * rear / total
    grade = number(found, "use", "grade_max")
    cosine = 1 / math.hypot(1, grade)
    front = ((1.65 - to_front) * cosine - 0.60 * grade * cosine) / 1.65
    behind = (to_front * cosine + 0.60 * grade * cosine) / 1.65
    assert number(found, "vehicle", "front_share_uphill") == pytest.approx(front / (front + behind))


def test_without_axle_loads_nothing_is_said_about_them() -> None:
    found = facts(TWIN)
    for name in ("axle_rear_loaded", "front_share_uphill", "stability_factor"):
        assert value(found, "vehicle", name) is None


def test_downhill_power_by_hand() -> None:
    """Down 10 % at 6 mph: m g (sin - c cos) v; the drag at that speed is a few watts.

    The load and the mass of the sheet; hard soil takes 0.08 (Carvill 1993). What the drive does not
    take back is left for the friction brakes: never more than what must be braked away.
    """
    found = facts(TWIN)
    mass = number(found, "vehicle", "mass_loaded")
    speed = 6 * 1609.344 / 3600
    grade = 0.10
    cosine = 1 / math.hypot(1, grade)
    force = mass * 9.80665 * cosine * (grade - 0.08)
    power = number(found, "beds-and-back", "downhill_power")
    steady = force * speed
    # the most is where it slows down before a stop: 0.8 m/s2 (common practice) on top
    braking = (force + mass * 1.05 * 0.8) * speed
    assert steady < power <= braking * 1.01
    assert number(found, "beds-and-back", "downhill_speed") == pytest.approx(speed, rel=1e-3)
    assert number(found, "beds-and-back", "brake_power") <= power * (1 + 1e-9)


def test_times_above_limits_shrink_with_the_limit() -> None:
    found = facts(TWIN)
    above = [
        number(found, "beds-and-back", f"time_above_{name}") for name in ("continuous", "peak")
    ]
    assert above[0] >= above[1] == 0
    less = ("discharge_continuous: 120 A", "discharge_continuous: 40 A")
    weak = facts(TWIN, less, less)
    assert number(weak, "beds-and-back", "time_above_continuous") > above[0]
    assert number(found, "beds-and-back", "time_above_motor") > 0
