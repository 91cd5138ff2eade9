"""What must hold for any numbers: directions, limits, and laws that connect the formulas."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import (
    cells,
    charging,
    conductors,
    isolation,
    precharge,
    protection,
    road,
    storage,
)

POSITIVE = st.floats(0.01, 1e4)
SHARE = st.floats(0.0, 1.0)


@given(POSITIVE, POSITIVE, POSITIVE)
def test_load_lowers_and_charge_raises_the_voltage(v: float, i: float, r: float) -> None:
    assert cells.loaded_voltage(v, i, r) <= v <= cells.loaded_voltage(v, -i, r)


@given(st.integers(1, 40), st.integers(1, 8), st.floats(1e-4, 1.0), st.floats(1.5, 4.2))
def test_series_adds_no_fault_current_and_parallel_does(
    series: int, parallel: int, resistance: float, voltage: float
) -> None:
    """Two ways to the same number: Ohm's law on the whole bank, and the bank rule."""
    one = cells.short_circuit_current(voltage, resistance)
    whole = cells.short_circuit_current(
        cells.series_voltage(series, voltage),
        cells.bank_resistance(series, parallel, resistance),
    )
    assert whole == pytest.approx(cells.bank_fault_current(parallel, one), rel=1e-9)


@given(st.floats(1, 400), st.floats(1.0, 1.6))
def test_peukert_gives_back_the_rated_time_at_the_rated_current(
    capacity: float, exponent: float
) -> None:
    charge, rated = capacity * 3600, 72000.0
    time = cells.peukert_time(rated, charge, charge / rated, exponent)
    assert time == pytest.approx(rated)


@given(st.floats(1.02, 1.6), st.floats(1.1, 20))
def test_peukert_exponent_is_recovered_from_two_times(exponent: float, ratio: float) -> None:
    charge, rated, slow = 360e3, 72000.0, 5.0
    fast = slow * ratio
    times = [cells.peukert_time(rated, charge, i, exponent) for i in (slow, fast)]
    assert cells.peukert_exponent(times[0], slow, times[1], fast) == pytest.approx(exponent)
    assert cells.peukert_charge(rated, charge, fast, exponent) < charge


@given(SHARE, SHARE, POSITIVE, POSITIVE)
def test_charging_takes_longer_from_emptier_and_never_less_than_nothing(
    a: float, b: float, capacity: float, current: float
) -> None:
    emptier, fuller = sorted((a, b))
    slow = charging.charge_time(capacity, emptier, 1.0, current)
    fast = charging.charge_time(capacity, fuller, 1.0, current)
    assert slow >= fast >= 0.0
    assert charging.charge_time(capacity, fuller, emptier, current) == 0.0


def test_no_current_never_charges_and_no_drain_never_empties() -> None:
    assert charging.charge_time(3600.0, 0.2, 1.0, 0.0) == math.inf
    assert storage.time_to_empty(3600.0, 0.0, 0.0, 3600.0) == math.inf


@given(POSITIVE, st.floats(0.0, 10.0), st.floats(0.0, 1e-6), POSITIVE)
def test_what_is_drained_until_empty_is_what_was_available(
    available: float, drain: float, self_discharge: float, capacity: float
) -> None:
    time = storage.time_to_empty(available, drain, self_discharge, capacity)
    if math.isfinite(time) and time < 1e12:
        lost = storage.charge_drained(drain, self_discharge, capacity, time)
        assert lost == pytest.approx(available, rel=1e-9)


@given(st.floats(12, 100), st.floats(1, 1000), st.floats(1e-4, 0.1), st.floats(0.0, 0.99))
def test_precharge_time_and_voltage_are_inverse(v: float, r: float, c: float, q: float) -> None:
    time = precharge.time_to_fraction(r, c, q)
    assert precharge.charged_voltage(v, r, c, time) == pytest.approx(q * v, abs=1e-9 * v)


@given(st.floats(12, 100), st.floats(1, 500), st.floats(1e-4, 0.1), st.floats(0.0, 0.2))
def test_precharge_matches_the_circuit_stepped_through_time(
    v: float, r: float, c: float, load: float
) -> None:
    """Midpoint steps of C dv/dt = (V - v)/R - I, a circuit simulation without the formula."""
    steps, end = 400, 3 * r * c
    if load * r >= v:
        assert precharge.charged_voltage(v, r, c, end, load) == 0.0
        return
    voltage, dt = 0.0, end / steps
    for _ in range(steps):
        middle = voltage + 0.5 * dt * ((v - voltage) / r - load) / c
        voltage += dt * ((v - middle) / r - load) / c
    found = precharge.charged_voltage(v, r, c, end, load)
    assert found == pytest.approx(voltage, rel=1e-4)  # midpoint error of (1/133)^2 / 6 a step


def test_energy_of_the_resistor_does_not_depend_on_it() -> None:
    """Integral of the resistor's power over time, by the trapezoid rule, for two resistors."""
    for resistance in (10.0, 100.0):
        v, c = 58.4, 0.01
        end, steps = 12 * resistance * c, 6000
        dt = end / steps
        drops = [v - precharge.charged_voltage(v, resistance, c, n * dt) for n in range(steps + 1)]
        powers = [drop * drop / resistance for drop in drops]
        heat = dt * (sum(powers) - 0.5 * (powers[0] + powers[-1]))
        assert precharge.resistor_energy(c, v) == pytest.approx(heat, rel=1e-5)
        assert powers[0] == pytest.approx(precharge.peak_power(v, resistance))


@given(st.floats(30, 120), st.floats(1e3, 1e6), st.floats(1e3, 1e6), st.floats(1e3, 1e5))
def test_isolation_method_gives_the_lower_leak_of_any_circuit(
    battery: float, plus: float, minus: float, resistor: float
) -> None:
    """The readings come from the resistor network itself: two leaks, then one with R0 beside it."""
    high, low = max(plus, minus), min(plus, minus)
    before = battery * high / (plus + minus)
    beside = high * resistor / (high + resistor)
    after = battery * beside / (beside + low)
    found = isolation.isolation_resistance(battery, before, after, resistor)
    assert found == pytest.approx(low, rel=1e-6)


def test_perfect_isolation_is_infinite() -> None:
    assert isolation.isolation_resistance(76.8, 38.4, 0.0, 7680.0) == math.inf


@given(st.integers(-3, 36), st.floats(233.15, 373.15), st.floats(0.1, 20))
def test_thinner_and_hotter_copper_drops_more(gauge: int, kelvin: float, length: float) -> None:
    thick, thin = conductors.gauge_area(gauge), conductors.gauge_area(gauge + 1)
    assert conductors.resistance(length, thin, kelvin) > conductors.resistance(
        length, thick, kelvin
    )
    assert conductors.resistivity(kelvin + 1) > conductors.resistivity(kelvin)
    drop = conductors.voltage_drop(50.0, length, thick, kelvin)
    assert conductors.area_for_drop(50.0, length, drop, kelvin) == pytest.approx(thick)


@given(st.floats(1, 3000), st.floats(12, 100))
def test_a_device_never_exceeds_half_more_than_its_conductor(
    ampacity: float, voltage: float
) -> None:
    ratings = [15, 20, 30, 50, 100, 200, 400, 800, 4000]
    limit = protection.device_upper_limit(ampacity, voltage, ratings)
    assert ampacity <= limit <= 1.5 * ampacity
    assert protection.next_standard_rating(ampacity, ratings) >= ampacity


@given(st.floats(0, 0.5), st.floats(100, 3000))
def test_grade_force_is_below_weight_times_grade(grade: float, mass: float) -> None:
    assert road.grade_sine(grade) == pytest.approx(math.sin(math.atan(grade)), abs=1e-12)
    assert road.grade_force(mass, grade) <= mass * 9.80665 * grade + 1e-9


@given(st.floats(1.0, 500.0))
def test_overcharge_test_voltage_is_above_full_and_bounded(full: float) -> None:
    test = charging.overcharge_test_voltage(full)
    assert 1.2 * full <= test + 1e-9
    assert test <= 2 * full
