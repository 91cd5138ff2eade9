"""Motors against textbooks. Examples read as worked notebooks of their companions."""

from __future__ import annotations

import math

import pytest

from advisor.physics.motor_heat import (
    insulation_life,
    intermittent_factor,
    rise_after,
    rise_by_resistance,
    short_time_factor,
    steady_rise,
)
from advisor.physics.motors import (
    armature_current,
    back_voltage,
    base_speed,
    constant_from_plate,
    constant_from_speed,
    induction_current,
    induction_slip,
    induction_torque,
    series_constant,
    series_current,
    series_torque,
    synchronous_speed,
    torque,
    turning_speed,
    weakened_torque,
)

RPM = 2 * math.pi / 60


def test_fitzgerald_motor_and_generator() -> None:
    """Fitzgerald, Electric Machinery, example 7.1: 125 V at 3000 rpm, 0.02 ohm.

    At 128 V 150 A, 18.75 kW converted, 59.7 N.m; at 124 V 50 A generating, 19.9 N.m.
    """
    constant = constant_from_speed(125.0, 3000 * RPM)
    current = armature_current(128.0, constant, 3000 * RPM, 0.02)
    assert current == pytest.approx(150)
    assert back_voltage(128.0, current, 0.02) * current == pytest.approx(18750)
    assert torque(constant, current) == pytest.approx(59.7, abs=0.05)
    back = armature_current(124.0, constant, 3000 * RPM, 0.02)
    assert back == pytest.approx(-50)
    assert torque(constant, -back) == pytest.approx(19.9, abs=0.05)


def test_fitzgerald_speed() -> None:
    """Fitzgerald, example 7.2: 123 V, 21.9 kW in, 0.02 ohm, 125 V at 3000 rpm: 2867 rpm."""
    constant = constant_from_speed(125.0, 3000 * RPM)
    speed = turning_speed(123.0, 21.9e3 / 123.0, 0.02, constant)
    assert speed / RPM == pytest.approx(2867, abs=1)


def test_series_motor_with_less_field() -> None:
    """Dubey, example 5.2: 220 V, 100 A, 1000 rpm, 0.05 + 0.05 ohm, 80 % of the turns: 1117.7 rpm.

    Same torque, so c I^2 is the same with c at 80 %; the field has 80 % of its resistance.
    """
    whole = series_constant(220.0, 100.0, 0.1, 1000 * RPM)
    part = 0.8 * whole
    current = 100.0 / math.sqrt(0.8)
    assert series_torque(part, current) == pytest.approx(series_torque(whole, 100.0))
    resistance = 0.05 + 0.8 * 0.05
    speed = (220.0 - current * resistance) / (part * current)
    # Dubey reverses the field, which costs nothing more; printed with the field at 0.05 ohm whole.
    assert series_current(220.0, part, speed, resistance) == pytest.approx(current)
    assert speed / RPM == pytest.approx(1117.7, rel=2e-3)


def test_series_braking() -> None:
    """Dubey, example 5.4: twice the rated torque is 141.4 A; at 800 rpm 1.58 ohm in all outside."""
    constant = series_constant(220.0, 100.0, 0.1, 1000 * RPM)
    current = math.sqrt(2) * 100.0
    assert series_torque(constant, current) == pytest.approx(2 * series_torque(constant, 100.0))
    made = constant * current * 800 * RPM
    assert made / current - 0.1 == pytest.approx(1.58, abs=0.005)


def test_series_resistance_for_less_speed() -> None:
    """Theraja, example 44.13: 200 V, 1000 rpm, 20 A, 0.4 ohm; torque as n^3, 800 rpm: + 5.9 ohm."""
    constant = series_constant(200.0, 20.0, 0.4, 1000 * RPM)
    current = 20.0 * math.sqrt(0.8**3)
    whole = 200.0 / current - constant * 800 * RPM
    assert series_current(200.0, constant, 800 * RPM, whole) == pytest.approx(current)
    assert whole - 0.4 == pytest.approx(5.9, abs=0.05)


def test_induction_motor() -> None:
    """Dubey, example 6.1: 440 V star, 50 Hz, 6 poles, 950 rpm: 30.5 A at full load."""
    field = synchronous_speed(50.0, 6.0)
    assert field / RPM == pytest.approx(1000)
    slip = induction_slip(field, 950 * RPM)
    assert slip == pytest.approx(0.05)
    current = induction_current(440 / math.sqrt(3), slip, 0.5, 0.4, 2.4, 50.0)
    assert current == pytest.approx(30.5, abs=0.05)
    assert induction_torque(440 / math.sqrt(3), slip, field, 0.5, 0.4, 2.4) == pytest.approx(
        3 * abs(440 / math.sqrt(3) / (0.5 + 8.0 + 2.4j)) ** 2 * 8.0 / field
    )


def test_units_of_the_constant() -> None:
    """12 V per 1000 rpm is 0.11459 N.m/A: 60 / (2 pi 1000) of it."""
    assert constant_from_speed(12.0, 1000 * RPM) == pytest.approx(0.1145916, rel=1e-6)


def test_constant_of_a_plate() -> None:
    """3.7 kW at 2800 rpm and 95 A: 12.62 N.m over 95 A (definition)."""
    assert constant_from_plate(3700.0, 2800 * RPM, 95.0) == pytest.approx(12.619 / 95, rel=1e-4)


def test_field_weakening_keeps_the_power() -> None:
    constant, volts, limit = 0.1, 48.0, 300.0
    base = base_speed(volts, constant)
    assert weakened_torque(limit, constant, volts, 0.5 * base) == pytest.approx(30.0)
    for times in (1.0, 1.5, 3.0):
        found = weakened_torque(limit, constant, volts, times * base)
        assert found * times * base == pytest.approx(limit * volts)


def test_short_time_and_intermittent_rating() -> None:
    """Dubey, example 4.4: 20 kW, tau 60 min on and 90 min off, no constant losses.

    10 min on and full cooling: 51 kW; 10 min on, 10 off: 25.14 kW.
    """
    assert 20 * short_time_factor(600.0, 3600.0) == pytest.approx(51, abs=0.5)
    factor = intermittent_factor(600.0, 600.0, 3600.0, 5400.0)
    assert 20 * factor == pytest.approx(25.14, abs=0.005)


def test_rise_between_two_loads() -> None:
    """Dubey, example 4.1: tau 60 s, 10 s load, 20 s none; least rise 40 K, no load 15 K.

    Highest rise 49.9 K, 104.4 K if loaded for ever.
    """
    highest = 15 + (40 - 15) / math.exp(-20 / 60)
    assert rise_after(15.0, highest, 20.0, 60.0) == pytest.approx(40)
    assert highest == pytest.approx(49.9, abs=0.05)
    steady = (highest - 40 * math.exp(-10 / 60)) / (1 - math.exp(-10 / 60))
    assert rise_after(steady, 40.0, 10.0, 60.0) == pytest.approx(highest)
    assert steady == pytest.approx(104.4, abs=0.05)


def test_rise_with_the_square_of_the_load() -> None:
    """Copper losses alone: twice the current, four times the rise; by definition."""
    assert steady_rise(80.0, 2.0) == pytest.approx(320)
    assert steady_rise(80.0, 1.0, 0.5) == pytest.approx(80)


@pytest.mark.parametrize(
    ("cold", "hot", "start", "ambient", "zero", "rise"),
    [
        (45.0, 48.5, 293.15, 273.15 + 20, 250.0, 41.0 - 20.0),  # Patil, example 1.6: 41 °C mean
        (45.0, 48.5, 293.15, 273.15 + 20, 235.0, 39.83 - 20.0),  # the same with copper's 235
        (45.0, 52.94, 293.15, 293.15, 1 / 0.0043, 44.57),  # Muthusubramanian 1.8: 4 A to 3.4 A
    ],
)
def test_rise_by_resistance(
    cold: float, hot: float, start: float, ambient: float, zero: float, rise: float
) -> None:
    """The last row: 180 V / 4 A = 45 ohm, 180 V / 3.4 A = 52.94 ohm; the book rounds to 44.57 K."""
    assert rise_by_resistance(cold, hot, start, ambient, zero) == pytest.approx(rise, rel=0.01)


def test_life_of_insulation() -> None:
    """Hubert, Electric Machines, example 5.14: 20 years at 110 °C, at 124.64 °C 7.25 years."""
    assert insulation_life(20.0, 14.64) == pytest.approx(7.25, abs=0.005)
