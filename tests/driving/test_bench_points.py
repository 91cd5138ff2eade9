"""A motor by two loads on the bench: the constants come back, and the trip is driven with them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.driving.motor_inputs import GEAR
from advisor.driving.road import Road
from advisor.physics.motors import (
    constant_from_points,
    resistance_from_point,
    series_constant,
    series_constant_from_points,
    turning_speed,
)
from advisor.problems import ProblemsFoundError
from advisor.sheet.bench import read_points
from advisor.sheet.values import ValueProblemError
from tests.driving.sheets import facts, number

RPM = 2 * 3.141592653589793 / 60


@given(st.floats(0.02, 1.0), st.floats(0.005, 0.2), st.floats(24, 96), st.floats(0.1, 0.5))
def test_points_of_a_known_motor_give_its_constants(
    constant: float, ohm: float, volts: float, share: float
) -> None:
    """Two points made by V = c w + I R; solved back to the c and R that made them."""
    amps = (share * volts / ohm * 0.1, share * volts / ohm * 0.5)
    w1, w2 = ((volts - one * ohm) / constant for one in amps)
    found = constant_from_points(volts, amps[0], w1, volts, amps[1], w2)
    assert found == pytest.approx(constant, rel=1e-6)
    assert resistance_from_point(volts, amps[0], w1, found) == pytest.approx(ohm, rel=1e-4)
    w1, w2 = ((volts / one - ohm) / constant for one in amps)
    found = series_constant_from_points(volts, amps[0], w1, volts, amps[1], w2)
    assert found == pytest.approx(constant, rel=1e-6)
    assert series_constant(volts, amps[0], ohm, w1) == pytest.approx(constant, rel=1e-6)


def test_the_constant_and_the_resistance_of_points_drive_the_trip() -> None:
    """48 V 20 A 3000 rpm and 48 V 120 A 2600 rpm, field steady, by hand.

    c = (48 x 120 - 48 x 20) / (314.2 x 120 - 272.3 x 20) = 0.1489 V s, R = (48 - c w) / I.
    """
    base = facts("orchard-four-seater")
    w1, w2 = 3000 * RPM, 2600 * RPM
    constant = (48 * 120 - 48 * 20) / (w1 * 120 - w2 * 20)
    plate = "      rated_power: 3.7 kW\n"
    points = "      bench_points: 48 V 20 A 3000 rpm, 48 V 120 A 2600 rpm\n"
    found = facts("orchard-four-seater", (plate, plate + points))
    inputs = next(iter(Road(found).driven.values())).inputs
    ratio, radius = number(base, "vehicle", "gear_ratio"), number(base, "vehicle", "rolling_radius")
    assert inputs.per_amp == pytest.approx(constant * ratio * GEAR / radius)
    # what they say of the speed at the second load agrees with the model of the motor
    ohm = (48 - constant * w1) / 20
    assert turning_speed(48, 120, ohm, constant) == pytest.approx(w2, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("48 V 20 A 3000 rpm", "is not two points"),
        ("48 V 20 A, 48 V 30 A", "is no point of a motor"),
        ("48 V 20 A 3000 rpm, 48 V 20 A 2600 rpm", "at the same load"),
        ("48 V 20 A 3000 rpm, 48 V 120 A 3100 rpm", "turns faster at more current"),
        ("48 V 20 kg 3000 rpm, 48 V 120 A 2600 rpm", "20 kg"),
        ("48 V -20 A 3000 rpm, 48 V 120 A 2600 rpm", "not above zero"),
    ],
)
def test_points_that_make_no_sense_are_refused(text: str, words: str) -> None:
    with pytest.raises(ValueProblemError) as caught:
        read_points(text)
    assert words in caught.value.problem
    with pytest.raises(ProblemsFoundError, match="bench_points"):
        facts("orchard-four-seater", ("      rated_power: 3.7 kW\n",
              f"      rated_power: 3.7 kW\n      bench_points: {text}\n"))  # fmt: skip
