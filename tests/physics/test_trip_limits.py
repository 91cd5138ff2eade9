"""A hot controller and a pause on a course: less pull, and nothing drawn."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from advisor.physics.course import Piece, course_of, day_of
from advisor.physics.trip import drive
from tests.physics.test_trip import CART, ROUND


def test_with_its_whole_current_in_every_step_nothing_changes() -> None:
    course = course_of(ROUND)
    plain, shared = drive(CART, course), drive(CART, course, np.ones(len(course.time)))
    for name in ("speed", "current", "charge", "rise"):
        assert (getattr(plain, name) == getattr(shared, name)).all()


def test_half_the_current_pulls_half_and_a_series_motor_a_quarter() -> None:
    """Torque by current, and by its square in a series motor: 2500 N become 1250 and 625 N.

    700 kg on 15 % with 0.03 need 700 x 9.81 x (0.1483 + 0.0297) = 1222 N.
    """
    course = course_of([Piece(200, 0.15, 2.0, 0.03, 200)])
    half = np.full(len(course.time), 0.5)
    need = 700 * 9.80665 * (0.15 + 0.03) / np.hypot(1, 0.15)
    assert 625 < need < 1250
    strong = replace(CART, limit=1e4, weakened=1e5)
    assert not drive(strong, course, half).stalled.any()
    series = replace(strong, series=True, constant=0.05, per_newton=50.0, resistance=0.01)
    assert drive(series, course, half).stalled.any()
    assert not drive(series, course).stalled.any()


def test_half_the_current_of_a_weakened_field_halves_the_speed_it_can_hold() -> None:
    """Speed at a force is volts x current x efficiency over the force."""
    course = course_of([Piece(400, 0.10, 8.0, 0.03, 200)])
    lazy = replace(CART, weakened=100.0, limit=1e4, top_speed=50.0)
    half = np.full(len(course.time), 0.5)
    middle = len(course.time) // 2
    whole, less = drive(lazy, course), drive(lazy, course, half)
    ratio = less.speed[middle, 0] / less.voltage[middle, 0] * whole.voltage[middle, 0]
    assert ratio / whole.speed[middle, 0] == pytest.approx(0.5, rel=1e-2)


def test_in_a_pause_the_key_is_off_and_nothing_is_drawn() -> None:
    """Four hours of accessories of 50 W would be 3.5 % of 105 A h at 54 V."""
    course = course_of(ROUND)
    short, long = (drive(CART, day_of([(course, 2, pause)])) for pause in (60.0, 4 * 3600.0))
    assert long.charge[-1, 0] == pytest.approx(short.charge[-1, 0], abs=1e-4)
    assert (long.current[long.course.piece < 0] == 0).all()
