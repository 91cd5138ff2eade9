"""Stopping and holding on a slope. Grades are rise over run; downhill is negative."""

from __future__ import annotations

from advisor.physics.choose import Numbers, choose, divide, power
from advisor.physics.road import grade_force, grade_sine, road_force

__all__ = [
    "brake_power",
    "downhill_power",
    "hold_force",
    "mean_deceleration",
    "speed_after",
    "stopping_distance",
    "stopping_energy",
]

_GRAVITY = 9.80665  # m/s2


def stopping_distance(
    speed: Numbers, deceleration: Numbers, grade: Numbers = 0.0, reaction: Numbers = 0.0
) -> Numbers:
    """Distance until a vehicle stands, m: v t_r + v^2 / (2 (d + g sin)).

    speed in m/s, deceleration that the brakes give on the level in m/s2, reaction time in s.
    Downhill the grade is negative and takes from the brakes; infinite where they do not hold.
    Source: definition of acceleration.
    """
    left = deceleration + _GRAVITY * grade_sine(grade)
    sliding = divide(speed * speed, 2 * left)
    return speed * reaction + choose(left, ">", 0.0, sliding, float("inf"))


def mean_deceleration(speed: Numbers, distance: Numbers) -> Numbers:
    """Deceleration of a stop on the level, m/s2: v^2 / (2 d), with m/s and m."""
    return divide(speed * speed, 2 * distance)


def speed_after(speed: Numbers, deceleration: Numbers, distance: Numbers) -> Numbers:
    """Speed that is left after a distance, m/s: sqrt(v^2 - 2 d s), 0 where it stands before.

    speed in m/s, deceleration in m/s2, distance in m. Source: definition of acceleration.
    """
    left = speed * speed - 2 * deceleration * distance
    return power(choose(left, ">", 0.0, left, 0.0), 0.5)


def brake_power(mass: Numbers, deceleration: Numbers, speed: Numbers) -> Numbers:
    """Heat that brakes take at an instant, W: m d v, with kg, m/s2 and m/s."""
    return mass * deceleration * speed


def hold_force(mass: Numbers, grade: Numbers) -> Numbers:
    """Force that holds a vehicle on a slope, N, with mass in kg; rolling resistance not counted."""
    return grade_force(mass, grade)


def downhill_power(
    mass: Numbers,
    coefficient: Numbers,
    grade: Numbers,
    speed: Numbers,
    drag_area: Numbers,
    density: Numbers,
) -> Numbers:
    """Power that must be braked away at a steady speed downhill, W; 0 where it slows by itself.

    As for `road_force`; the grade is negative.
    """
    force = -road_force(mass, coefficient, grade, speed, drag_area, density)
    return speed * choose(force, ">", 0.0, force, 0.0)


def stopping_energy(
    mass: Numbers, speed: Numbers, fall: Numbers = 0.0, rotating: Numbers = 1.0
) -> Numbers:
    """Energy that a stop puts into the brakes, J: m v^2 / 2 + m g h.

    mass in kg, speed in m/s, fall while braking in m; rotating as for `inertia_force`. Rolling
    resistance and drag take their part of it. Source: conservation of energy.
    """
    return 0.5 * mass * rotating * speed * speed + mass * _GRAVITY * fall
