"""Stopping and holding against printed figures; the source stands beside each."""

from __future__ import annotations

import math

import pytest

from advisor.physics.braking import (
    brake_power,
    downhill_power,
    hold_force,
    mean_deceleration,
    speed_after,
    stopping_distance,
    stopping_energy,
)

MPH, FOOT = 0.44704, 0.3048
G = 9.80665


@pytest.mark.parametrize(
    ("deceleration", "feet"),
    [(21, 20), (17, 25), (14, 30)],  # Pennsylvania Code 67 ch. 175 Table I; New Jersey 39:3-68
)
def test_stops_from_20_mph(deceleration: float, feet: float) -> None:
    """Printed distances are rounded to 5 ft and those for 17 and 21 ft/s2 to the nearest above."""
    stop = stopping_distance(20 * MPH, deceleration * FOOT) / FOOT
    assert stop == pytest.approx(feet, abs=1.0)
    assert mean_deceleration(20 * MPH, stop * FOOT) / FOOT == pytest.approx(deceleration)


@pytest.mark.parametrize(
    ("mph", "joule", "metres", "downhill"),
    [(15, 11241, 7.76, 15.60), (20, 19984, 13.80, 27.74), (25, 31226, 21.57, 43.34)],
)
def test_stops_of_500_kilograms(mph: float, joule: float, metres: float, downhill: float) -> None:
    """Computed elsewhere: 9.5 ft/s2 on the level, and on 15 % down with the same brakes."""
    speed = mph * MPH
    assert stopping_energy(500.0, speed) == pytest.approx(joule, abs=1)
    assert stopping_distance(speed, 9.5 * FOOT) == pytest.approx(metres, abs=0.006)
    assert stopping_distance(speed, 9.5 * FOOT, -0.15) == pytest.approx(downhill, rel=2e-3)


def test_brakes_that_do_not_hold_never_stop() -> None:
    assert stopping_distance(5.0, 1.0, -0.30) == math.inf
    assert stopping_distance(5.0, 1.0, 0.0, 1.0) == pytest.approx(5.0 + 12.5)


def test_brake_power_of_a_sliding_car() -> None:
    """Hibbeler and Gupta, Dynamics, example 14.8: 2000 kg, friction 0.35, 25 m/s.

    162 kW after 10 m; g 9.81 in the book.
    """
    speed = speed_after(25.0, 0.35 * 9.81, 10.0)
    assert brake_power(2000.0, 0.35 * 9.81, speed) / 1000 == pytest.approx(162, abs=0.5)
    assert speed_after(5.0, 5.0, 10.0) == 0.0


@pytest.mark.parametrize(("grade", "newton"), [(0.10, 487.9), (0.20, 961.6), (0.30, 1409.0)])
def test_holding_500_kilograms(grade: float, newton: float) -> None:
    """Computed elsewhere, one digit."""
    assert hold_force(500.0, grade) == pytest.approx(newton, abs=0.1)


def test_downhill_power_of_a_cart() -> None:
    """500 kg, 15 % down, 15 mph, rolling 0.013, 1 m2: 4270 W (computed elsewhere)."""
    found = downhill_power(500.0, 0.013, -0.15, 15 * MPH, 1.0, 1.225)
    assert found == pytest.approx(4270, abs=5)
    assert downhill_power(500.0, 0.013, 0.05, 15 * MPH, 1.0, 1.225) == 0.0


def test_regeneration_while_slowing_downhill() -> None:
    """Gupta, example 10.3: 400 t on 2 % down over 2 km from 40 to 20 km/h: 30.3 kWh back.

    40 N/t, inertia + 10 %, 75 % of it reaches the line; g 9.81.
    """
    energy = stopping_energy(400e3, 40 / 3.6, 0.0, 1.10) - stopping_energy(
        400e3, 20 / 3.6, 0.0, 1.10
    )
    energy += 400e3 * 9.81 * 0.02 * 2000 - 40 * 400 * 2000
    assert 0.75 * energy / 3.6e6 == pytest.approx(30.3, abs=0.05)


def test_energy_of_a_fall_is_its_height() -> None:
    assert stopping_energy(100.0, 0.0, 3.0) == pytest.approx(100 * G * 3)
