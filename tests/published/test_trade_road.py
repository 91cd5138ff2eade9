"""Facts of the trade about driving that nobody has printed: common practice, no source.

The carts are invented: 3.7 kW at 2800 rpm and 95 A, gear 12.4, wheels of 17.4 in, a driver.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from advisor.driving.vehicle_results import top_speed
from advisor.physics.course import Piece, course_of, day_of
from advisor.physics.trip import Vehicle, drive

RPM = 2 * math.pi / 60
POUND, MILE = 0.45359237, 1609.344
RATIO, RADIUS, GEAR = 12.4, 0.221, 0.95
CONSTANT = 3700 / (2800 * RPM) / 95


def cart(
    mass: float, volts: float, ohm: float, *, series: bool, amp_hours: float = 100.0
) -> Vehicle:
    per_amp = CONSTANT / 95 if series else CONSTANT
    return Vehicle(
        mass=mass, rotating=1.05, drag_area=1.3, density=1.2, efficiency=0.8 * GEAR * 0.95,
        pull=CONSTANT * 300 * RATIO * GEAR / RADIUS, grip=3.2, top_speed=50.0,
        open_circuit=np.full(21, volts), capacity=amp_hours * 3600, battery_resistance=ohm,
        limit=250.0, fold_start=35.0, cut_off=30.0, auxiliary=50.0, series=series,
        constant=per_amp * RATIO / RADIUS, resistance=0.035,
        per_newton=RADIUS / (per_amp * RATIO * GEAR),
    )  # fmt: skip


@pytest.mark.parametrize("series", [True, False])
def test_a_lighter_cart_on_a_stiffer_battery_is_a_tenth_faster(series: bool) -> None:
    """A cart that did 20 mph does about 22 mph after losing 310 lb; common practice, no source.

    Eight lead-acid blocks of 6 V: 50.0 V and 50 mohm with their straps; 16 LFP cells: 53.0 V and
    20 mohm (from memory). "About" is taken as 1 mph.
    """
    before = top_speed(cart(500.0, 50.0, 0.050, series=series))
    after = top_speed(cart(500.0 - 310 * POUND, 53.0, 0.020, series=series))
    assert 20 * after / before == pytest.approx(22, abs=1)


def test_range_of_a_light_pack() -> None:
    """20 to 30 miles from a light 48 V lithium pack; common practice, no source.

    16 cells of 50 A h, the small size; 10 % kept back, paved paths of 2 % up and down at 12 mph,
    two people. With 60 A h it is 33 miles: the saying is for small packs, or for softer ways.
    """
    vehicle = cart(330.0, 52.5, 0.030, series=False, amp_hours=50.0)
    path = [Piece(800, 0.02, 5.36, 0.02, 160, 1), Piece(800, -0.02, 5.36, 0.02, 160, 1)]
    trace = drive(vehicle, day_of([(course_of(path), 10, 0.0)]))
    used = 1 - trace.charge[-1, 0]
    miles = 0.9 * trace.distance[-1, 0] / used / MILE
    assert 20 <= miles <= 30
