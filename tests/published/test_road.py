"""Road load and axles against textbooks and the standard atmosphere.

The textbook examples were read as worked notebooks of their companions; the source stands beside
each. Where a book uses g = 9.81 or rounds on the way, the tolerance says so.
"""

from __future__ import annotations

import math

import pytest
from fluids.atmosphere import ATMOSPHERE_1976

from advisor.physics.axles import (
    brake_limit_all,
    brake_limit_rear,
    front_load,
    hold_grade_rear,
    rear_load,
    stability_factor,
    start_grade_rear,
    traction_limit,
)
from advisor.physics.gearing import motor_speed, motor_torque, rev_per_minute, wheel_force
from advisor.physics.road import (
    air_density,
    air_drag,
    grade_cosine,
    grade_force,
    grade_sine,
    inertia_force,
    road_force,
    rolling_force,
    tyre_rolling,
    wheel_power,
)

G = 9.80665
POUND_FORCE = 4.4482216152605
KMH = 1 / 3.6


@pytest.mark.parametrize(
    ("grade", "degrees"), [(0.05, 2.86241), (0.10, 5.71059), (0.20, 11.30993), (0.30, 16.69924)]
)
def test_grade_is_a_tangent(grade: float, degrees: float) -> None:
    """Trigonometry; degrees to five places."""
    assert grade_sine(grade) == pytest.approx(math.sin(math.radians(degrees)), abs=1e-7)
    assert grade_cosine(grade) == pytest.approx(math.cos(math.radians(degrees)), abs=1e-7)


def test_coach_of_250_tonnes() -> None:
    """Theraja and Theraja, Electrical Technology III, example 43.6: 7181 N.m for each of 4 motors.

    250 t to 42 km/h in 20 s on 1 in 80, gear 3.5, efficiency 0.92, wheels 0.92 m, 40 N/t, inertia
    + 10 %. The book takes the slope for its sine and g 9.81: 1 N.m in 7181, and 0.03 %.
    """
    acceleration = 42 * KMH / 20
    force = inertia_force(250e3, acceleration, 1.10) + 250e3 * 9.81 / 80 + 40 * 250
    assert motor_torque(force, 0.46, 3.5, 0.92) / 4 == pytest.approx(7181, rel=5e-4)
    ours = inertia_force(250e3, acceleration, 1.10) + grade_force(250e3, 1 / 80) + 40 * 250
    assert ours == pytest.approx(force, rel=5e-4)


def test_motors_of_8000_newton_metres() -> None:
    """Theraja, example 43.7: 44.3 s to 80 km/h with 4 x 8000 N.m on 3 %, gear 3.5, efficiency 0.90.

    Wheels 0.90 m, 50 N/t, inertia + 10 %; printed to three digits.
    """
    pull = 4 * wheel_force(8000.0, 0.45, 3.5, 0.90)
    left = pull - 250e3 * 9.81 * 0.03 - 50 * 250
    acceleration = left / inertia_force(250e3, 1.0, 1.10)
    assert 80 * KMH / acceleration == pytest.approx(44.3, abs=0.05)


def test_hundred_tonnes_up_five_percent() -> None:
    """Dubey, Fundamentals of Electrical Drives, example 10.2: 32.6 s to 100 km/h.

    100 t, 4 x 5000 N.m, gear 1 to 4, efficiency 0.98, radius 0.54 m, 50 in 1000 up, 25 N/t,
    inertia + 10 %, g 9.81.
    """
    pull = 4 * wheel_force(5000.0, 0.54, 4.0, 0.98)
    left = pull - 100e3 * 9.81 * 0.05 - 25 * 100
    assert 100 * KMH / (left / (1.10 * 100e3)) == pytest.approx(32.6, abs=0.05)


def test_locomotive_that_does_not_slip() -> None:
    """Theraja, example 43.8: 142 t of locomotive for 500 t on 2 % at 1 km/h/s, friction 0.25.

    Pull on all of W + 500 t over what its own weight holds, 40 N/t, inertia + 10 %: 141.9 t.
    """

    def pull(tonnes: float) -> float:
        mass = tonnes * 1000.0
        return inertia_force(mass, KMH, 1.10) + mass * 9.81 * 0.02 + 40 * tonnes

    weight = 141.9
    assert pull(weight + 500) == pytest.approx(traction_limit(weight * 1000 * 9.81, 0.25), rel=1e-3)


@pytest.mark.parametrize(
    ("coefficient", "grade", "newton", "watt"),
    [
        (0.013, 0.0, 91.3, 612.1), (0.013, 0.10, 578.9, 3881.7), (0.02, 0.20, 1085.3, 7277.8),
        (0.06, 0.10, 808.2, 5419.3), (0.2, 0.20, 1950.8, 13081.2),
    ],
)  # fmt: skip
def test_cart_of_500_kilograms(
    coefficient: float, grade: float, newton: float, watt: float
) -> None:
    """Computed elsewhere from the definitions: 500 kg, 1.0 m2, 1.225 kg/m3, 15 mph. One digit."""
    speed = 15 * 0.44704
    force = road_force(500.0, coefficient, grade, speed, 1.0, 1.225)
    assert force == pytest.approx(newton, abs=0.06)
    assert wheel_power(force, speed) == pytest.approx(watt, abs=0.4)


def test_drag_of_an_open_cart() -> None:
    """27.5 N, 184 W at 15 mph with 1 m2; computed elsewhere."""
    drag = air_drag(1.225, 1.0, 6.7056)
    assert drag == pytest.approx(27.5, abs=0.05)
    assert drag * 6.7056 == pytest.approx(184, abs=1)
    assert air_drag(1.225, 1.0, -6.7056) == -drag


@pytest.mark.parametrize("altitude", [0.0, 500.0, 1000.0, 1500.0, 2000.0, 3000.0])
def test_density_against_the_standard_atmosphere(altitude: float) -> None:
    """Library fluids, US Standard Atmosphere 1976; its altitude is geopotential: 0.05 % at 3 km."""
    known = ATMOSPHERE_1976(altitude)
    assert air_density(altitude, known.T) == pytest.approx(known.rho, rel=6e-4)


def test_density_of_hot_air() -> None:
    """1.12718 kg/m3 dry at 40 °C at sea level: P / (287.058 T)."""
    assert air_density(0.0, 313.15) == pytest.approx(1.1271833, rel=1e-6)


def test_tyre_fit() -> None:
    """General reference: 0.005 + (1/p)(0.01 + 0.0095 (V/100)^2): 2 bar, 100 km/h gives 0.01475."""
    assert tyre_rolling(2e5, 100 * KMH) == pytest.approx(0.005 + (0.01 + 0.0095) / 2)


def test_rolling_counts_the_load_on_the_road() -> None:
    assert rolling_force(500.0, 0.013) == pytest.approx(0.013 * 500 * G)
    assert rolling_force(500.0, 0.013, 0.3) == pytest.approx(0.013 * 500 * G * 0.9578263, rel=1e-6)


def test_axle_loads_of_a_car() -> None:
    """Jazar, Vehicle Dynamics, chapter 2, exercise 2: 1245 kg, 1.100 m and 1.323 m.

    Front 6668.8 N, rear 5544.7 N by moments with g 9.81 (inputs read, results computed elsewhere).
    """
    front, rear = front_load(1245, 1.100, 1.323, 0.5), rear_load(1245, 1.100, 1.323, 0.5)
    assert front == pytest.approx(6668.8, rel=5e-4)
    assert rear == pytest.approx(5544.7, rel=5e-4)
    assert front + rear == pytest.approx(1245 * G)


def test_a_climb_moves_load_to_the_rear() -> None:
    """Gillespie: the shift is W h tan / L for small angles; moments about the front tyre."""
    up, level = rear_load(500, 0.9, 0.7, 0.6, 0.2), rear_load(500, 0.9, 0.7, 0.6)
    assert up == pytest.approx(500 * G * (0.9 * 0.9805807 + 0.6 * 0.1961161) / 1.6, rel=1e-6)
    assert up > level
    assert rear_load(500, 0.9, 0.7, 0.6, 0.0, 1.0) - level == pytest.approx(500 * 0.6 / 1.6)


def test_limits_of_friction_by_moments() -> None:
    """At the limit the axle load times friction is what the slope, or the deceleration, asks."""
    to_front, to_rear, height, friction = 0.9, 0.7, 0.6, 0.5
    grade = start_grade_rear(to_front, to_rear, height, friction, 0.02)
    load = rear_load(400, to_front, to_rear, height, grade)
    asked = grade_force(400, grade) + rolling_force(400, 0.02, grade)
    assert traction_limit(load, friction) == pytest.approx(asked)
    for up in (1.0, 0.0):
        hold = hold_grade_rear(to_front, to_rear, height, friction, up)
        sign = 1 if up else -1
        load = rear_load(400, to_front, to_rear, height, sign * hold)
        assert traction_limit(load, friction) == pytest.approx(grade_force(400, hold))
    slow = brake_limit_rear(to_front, to_rear, height, friction)
    load = rear_load(400, to_front, to_rear, height, 0.0, -slow)
    assert traction_limit(load, friction) == pytest.approx(400 * slow)
    assert brake_limit_all(friction) > slow


def test_stability_factor() -> None:
    """SSF = track / (2 h), by definition: 0.98 m and 0.70 m give 0.7."""
    assert stability_factor(0.98, 0.70) == pytest.approx(0.7)


def test_motor_speed_at_25_mph() -> None:
    """11.176 m/s, radius 0.225 m, ratio 12.44: 5901 rpm (computed elsewhere)."""
    assert rev_per_minute(motor_speed(11.176, 0.225, 12.44)) == pytest.approx(5901, abs=0.5)
