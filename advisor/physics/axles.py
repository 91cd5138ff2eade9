"""Loads on the axles of a vehicle, and what its driven wheels and brakes can put on the road.

Distances are measured along the ground from the centre of gravity: `to_front` to the front axle,
`to_rear` to the rear axle, both in m; their sum is the wheelbase. `height` is that of the centre of
gravity, m. Grades are rise over run, a climb positive.
"""

from __future__ import annotations

from advisor.physics.choose import Numbers, divide
from advisor.physics.road import grade_cosine, grade_sine

__all__ = [
    "brake_limit_all",
    "brake_limit_rear",
    "front_load",
    "hold_grade_rear",
    "rear_load",
    "stability_factor",
    "start_grade_rear",
    "traction_limit",
]

_GRAVITY = 9.80665  # m/s2


def rear_load(
    mass: Numbers,
    to_front: Numbers,
    to_rear: Numbers,
    height: Numbers,
    grade: Numbers = 0.0,
    acceleration: Numbers = 0.0,
) -> Numbers:
    """Load on the rear axle, N: W (a cos + h sin + h a_x / g) / L, uphill and forward positive.

    mass in kg, acceleration in m/s2. Source: static moments (Gillespie; Meriam 6/1).
    """
    tilt = to_front * grade_cosine(grade) + height * grade_sine(grade)
    shift = height * acceleration / _GRAVITY
    return mass * _GRAVITY * divide(tilt + shift, to_front + to_rear)


def front_load(
    mass: Numbers,
    to_front: Numbers,
    to_rear: Numbers,
    height: Numbers,
    grade: Numbers = 0.0,
    acceleration: Numbers = 0.0,
) -> Numbers:
    """Load on the front axle, N: W (b cos - h sin - h a_x / g) / L. Source: static moments."""
    tilt = to_rear * grade_cosine(grade) - height * grade_sine(grade)
    shift = height * acceleration / _GRAVITY
    return mass * _GRAVITY * divide(tilt - shift, to_front + to_rear)


def traction_limit(load: Numbers, friction: Numbers) -> Numbers:
    """Largest force of a driven or braked axle, N: friction x load in N. Source: Coulomb."""
    return load * friction


def start_grade_rear(
    to_front: Numbers, to_rear: Numbers, height: Numbers, friction: Numbers, coefficient: Numbers
) -> Numbers:
    """Steepest grade that the friction of driven rear wheels allows: (mu a - C L) / (L - mu h).

    Rise over run; coefficient is that of rolling resistance. Source: static moments and Coulomb
    friction: mu N_rear = m g (sin + C cos).
    """
    length = to_front + to_rear
    return divide(friction * to_front - coefficient * length, length - friction * height)


def hold_grade_rear(
    to_front: Numbers, to_rear: Numbers, height: Numbers, friction: Numbers, facing_up: Numbers
) -> Numbers:
    """Steepest grade on which locked rear wheels hold: mu a / (L -+ mu h).

    facing_up: 1 nose up, 0 nose down (the rear axle is then the lighter one). Source: static
    moments and Coulomb friction.
    """
    side = 2.0 * facing_up - 1.0
    return divide(friction * to_front, to_front + to_rear - side * friction * height)


def brake_limit_rear(
    to_front: Numbers, to_rear: Numbers, height: Numbers, friction: Numbers
) -> Numbers:
    """Deceleration of brakes on the rear wheels alone at the limit of friction, m/s2.

    mu a g / (L + mu h) on the level. Source: static moments and Coulomb friction.
    """
    return divide(friction * to_front * _GRAVITY, to_front + to_rear + friction * height)


def brake_limit_all(friction: Numbers) -> Numbers:
    """Deceleration of brakes on all wheels at the limit of friction, m/s2: mu g."""
    return friction * _GRAVITY


def stability_factor(track: Numbers, height: Numbers) -> Numbers:
    """Static stability factor: track over twice the height of the centre of gravity, both in m.

    The lateral acceleration in g at which a rigid vehicle tips. Source: definition.
    """
    return divide(track, 2 * height)
