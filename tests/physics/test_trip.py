"""The simulation of a trip: energy is conserved, many equal one, a finer step changes nothing."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.physics.course import Piece, course_of, day_of
from advisor.physics.trip import Vehicle, drive
from advisor.physics.windows import rolling_rms, time_above

OPEN = np.interp(range(21), [0, 2, 20], [40.0, 50.0, 54.0])
CART = Vehicle(
    mass=500.0, rotating=1.05, drag_area=1.2, density=1.2, efficiency=0.75, pull=2500.0, grip=4.0,
    top_speed=9.0, open_circuit=OPEN, capacity=105 * 3600.0, battery_resistance=0.02, limit=250.0,
    fold_start=42.0, cut_off=38.0, weakened=300 * 0.85, regeneration=50.0, auxiliary=50.0,
    force_rated=400.0, rise_rated=80.0, continuous=100.0, peak=200.0, peak_time=30.0,
)  # fmt: skip
ROUND = [
    Piece(2000, 0.0, 5.5, 0.02, 200, 2),
    Piece(500, 0.08, 5.0, 0.03, 200),
    Piece(500, -0.08, 5.0, 0.03, 200, 1, 30.0),
]
PIECES = st.lists(
    st.builds(
        Piece,
        distance=st.floats(20, 1500),
        grade=st.floats(-0.12, 0.12),
        speed=st.floats(1.0, 8.0),
        rolling=st.floats(0.01, 0.08),
        load=st.just(150.0),
        stops=st.integers(0, 2),
    ),
    min_size=1,
    max_size=4,
)


@given(PIECES)
@settings(max_examples=60, deadline=None)
def test_a_course_keeps_its_distances_and_never_goes_back_in_time(pieces: list[Piece]) -> None:
    course = course_of(pieces)
    assert (course.time > 0).all()
    assert (course.speed >= 0).all()
    for number, one in enumerate(pieces):
        way = course.distance[course.piece == number].sum()
        assert way == pytest.approx(one.distance, rel=1e-6)
        assert course.speed.max() <= max(two.speed for two in pieces) + 1e-9
        assert (course.speed[course.piece == number] <= one.speed + 1e-9).all() or number > 0


@given(PIECES)
@settings(max_examples=40, deadline=None)
def test_energy_of_the_battery_is_work_losses_and_heat(pieces: list[Piece]) -> None:
    """Conservation: battery = work at the wheels + lost in the drive + friction + accessories."""
    trace = drive(CART, course_of(pieces))
    steps = np.diff(trace.time, axis=0, prepend=0.0)
    work = (trace.force * trace.speed * steps).sum()
    known = work + trace.lost[-1, 0] + trace.friction[-1, 0] + 50.0 * trace.time[-1, 0]
    assert trace.energy[-1, 0] == pytest.approx(known, rel=1e-6, abs=1.0)
    inner = (trace.current**2 * 0.02 * steps).sum()
    charge = (trace.current * steps).sum() / CART.capacity
    assert trace.charge[-1, 0] == pytest.approx(1.0 - charge, abs=1e-9)
    assert inner >= 0
    assert trace.lost[-1, 0] >= -1e-6
    assert trace.friction[-1, 0] >= -1e-6


def test_work_at_the_wheels_is_height_rolling_and_drag() -> None:
    """From rest to rest kinetic energy comes back: what is left are height and resistance."""
    course = course_of(ROUND)
    trace = drive(CART, course)
    steps = np.diff(trace.time[:, 0], prepend=0.0)
    work = (trace.force[:, 0] * trace.speed[:, 0] * steps).sum()
    mass = 700.0
    sine = course.grade / np.sqrt(1 + course.grade**2)
    cosine = 1 / np.sqrt(1 + course.grade**2)
    rolled = (mass * 9.80665 * course.rolling * cosine * course.distance).sum()
    lifted = (mass * 9.80665 * sine * course.distance).sum()
    dragged = (0.5 * 1.2 * 1.2 * course.speed**2 * course.distance).sum()
    assert lifted == pytest.approx(0.0, abs=1e-6)
    # steps hold a mean speed, so the kinetic energy of a ramp is found to within its discretisation
    assert work == pytest.approx(rolled + dragged, rel=0.01)


def test_many_vehicles_give_the_numbers_of_one() -> None:
    masses = np.linspace(400.0, 700.0, 7)
    course = day_of([(course_of(ROUND), 2, 300.0)])
    many = drive(replace(CART, mass=masses), course)
    for n, mass in enumerate(masses):
        one = drive(replace(CART, mass=float(mass)), course)
        for name in ("charge", "voltage", "current", "speed", "rise", "patience"):
            np.testing.assert_allclose(getattr(many, name)[:, n], getattr(one, name)[:, 0])


@given(
    PIECES,
    st.sampled_from(["weakened", "constant", "series"]),
    st.floats(300.0, 3000.0),
    st.floats(0.05, 1.0),
    st.floats(20.0, 300.0),
)
@settings(max_examples=60, deadline=None)
def test_one_vehicle_is_stepped_as_many_are(
    pieces: list[Piece], motor: str, pull: float, charge: float, limit: float
) -> None:
    """Plain numbers against arrays, up to an empty battery, a stall and a weak controller."""
    vehicle = replace(CART, pull=pull, charge=charge, limit=limit, capacity=20 * 3600.0)
    if motor != "weakened":
        kind = {"constant": 6.0, "resistance": 0.02, "per_newton": 0.1}
        vehicle = replace(vehicle, weakened=0.0, series=motor == "series", **kind)
    course = course_of(pieces)
    share = np.where(np.arange(len(course.time)) % 3 == 0, 0.5, 1.0)
    one = drive(vehicle, course, share)
    two = drive(replace(vehicle, mass=np.array([500.0, 501.0])), course, share)
    for field in fields(one):
        if field.name != "course":
            first, both = getattr(one, field.name), getattr(two, field.name)
            np.testing.assert_allclose(first[:, 0], both[:, 0], rtol=1e-9, atol=1e-6)


@pytest.mark.parametrize("pieces", [ROUND, [Piece(800, 0.10, 6.0, 0.04, 300), *ROUND]])
def test_half_the_step_changes_no_number_by_more_than_one_percent(pieces: list[Piece]) -> None:
    whole, half = (drive(CART, course_of(pieces, step)) for step in (1.0, 0.5))
    for name in ("time", "distance", "energy"):
        a, b = getattr(whole, name)[-1, 0], getattr(half, name)[-1, 0]
        assert a == pytest.approx(b, rel=0.01)
    assert 1 - whole.charge[-1, 0] == pytest.approx(1 - half.charge[-1, 0], rel=0.01)
    assert whole.current.max() == pytest.approx(half.current.max(), rel=0.01)
    assert whole.voltage.min() == pytest.approx(half.voltage.min(), rel=0.01)
    assert whole.rise.max() == pytest.approx(half.rise.max(), rel=0.01)
    for window in (10.0, 60.0, 600.0):
        a, b = (rolling_rms(one.current, one.time, window)[0] for one in (whole, half))
        assert a == pytest.approx(b, rel=0.01)


@given(st.floats(300, 900), st.floats(1.02, 1.5), st.floats(0.0, 0.08), st.floats(0.005, 0.03))
@settings(max_examples=40, deadline=None)
def test_more_mass_or_a_steeper_climb_never_takes_less(
    mass: float, more: float, grade: float, steeper: float
) -> None:
    """On a trip without a net descent."""
    up = [Piece(600, grade, 4.0, 0.03)]
    usual = drive(replace(CART, mass=mass), course_of(up))
    heavy = drive(replace(CART, mass=mass * more), course_of(up))
    steep = drive(replace(CART, mass=mass), course_of([Piece(600, grade + steeper, 4.0, 0.03)]))
    assert heavy.charge[-1, 0] <= usual.charge[-1, 0] + 1e-9
    assert steep.charge[-1, 0] <= usual.charge[-1, 0] + 1e-9


def test_a_hill_too_steep_stalls_where_it_begins() -> None:
    """2500 N on 700 kg are 0.364 of the weight; 33 % asks 0.313 and 0.028, 38 % 0.355 and 0.028."""
    stalls = drive(
        CART, course_of([Piece(100, 0.0, 4.0, 0.03, 200), Piece(100, 0.38, 4.0, 0.03, 200)])
    )
    first = int(np.argmax(stalls.stalled[:, 0]))
    assert stalls.stalled.any() and stalls.course.piece[first] == 1
    passes = drive(CART, course_of([Piece(100, 0.33, 2.0, 0.03, 200)]))
    assert not passes.stalled.any()


def test_a_battery_limit_slows_the_climb_and_keeps_its_limit() -> None:
    course = course_of([Piece(500, 0.10, 8.0, 0.03, 200)])
    slow = drive(replace(CART, limit=100.0), course)
    fast = drive(replace(CART, limit=400.0, weakened=600.0), course)
    assert slow.speed.max() < fast.speed.max()
    assert slow.time[-1, 0] > fast.time[-1, 0]
    # accessories come on top: 50 W at 50 V are 1 A; the voltage of the step before counts
    assert slow.current.max() <= 100.0 * 1.03 + 1.5


def test_regeneration_is_refused_when_full_and_the_brakes_take_it() -> None:
    """From full nothing is taken on the way down; at half charge some is."""
    down = course_of([Piece(400, -0.10, 5.0, 0.02, 200)])
    full, half = drive(CART, down), drive(replace(CART, charge=0.5), down)
    assert full.current.min() >= 0
    assert half.current.min() < -5
    assert full.friction[-1, 0] > half.friction[-1, 0]


def test_a_series_motor_turns_slower_at_more_force() -> None:
    """V = c w I + R I, and force goes with the square of the current below saturation."""
    series = replace(CART, series=True, weakened=0.0, constant=0.05, resistance=0.03,
                     per_newton=40.0, top_speed=50.0, limit=600.0)  # fmt: skip
    level = drive(series, course_of([Piece(400, 0.0, 8.0, 0.02)]))
    hill = drive(series, course_of([Piece(400, 0.10, 8.0, 0.02)]))
    assert hill.speed[len(hill.speed) // 2, 0] < level.speed[len(level.speed) // 2, 0]
    k = len(hill.speed) // 2
    amps = np.sqrt(hill.force[k, 0] * 40.0)
    volts = 0.05 * amps * hill.speed[k, 0] + 0.03 * amps
    assert volts == pytest.approx(hill.voltage[k - 1, 0], rel=0.02)


def test_patience_of_the_management() -> None:
    """(I^2 - Ic^2) t: at the peak it opens after the peak time, by definition."""
    steady = replace(CART, battery_resistance=1e-6, auxiliary=0.0)
    power = 200.0 * 54.0
    course = course_of([Piece(4000, 0.0, 8.0, 0.02)])
    trace = drive(replace(steady, auxiliary=power, mass=1.0, capacity=1e12), course)
    opened = int(np.argmax(trace.patience[:, 0] >= 1.0))
    assert trace.time[opened, 0] == pytest.approx(30.0, abs=1.5)


def test_rolling_rms_and_time_above() -> None:
    """A square wave of 100 A, 10 s on and 10 s off: 70.7 A over 20 s, 100 A over 10 s."""
    values = np.tile(np.r_[np.full(10, 100.0), np.zeros(10)], 10)[:, None]
    time = np.arange(1.0, 201.0)[:, None]
    assert rolling_rms(values, time, 10.0)[0] == pytest.approx(100.0)
    assert rolling_rms(values, time, 20.0)[0] == pytest.approx(100 / np.sqrt(2))
    assert time_above(values, time, 50.0)[0] == pytest.approx(10.0)
    assert time_above(values, time, 150.0)[0] == 0.0
