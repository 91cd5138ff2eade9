"""A run that gets hotter than 75 °C has the resistance of its temperature, also in the network."""

from __future__ import annotations

import pytest

from advisor.wiring.warmth import WORKING_TEMPERATURE, hotter
from tests.wiring.test_miswired import moved, value

TWIN = "twin-packs-in-parallel"


def test_resistance_rises_by_the_coefficient_of_copper() -> None:
    """IEC 60028: 0.00393 per kelvin at 20 °C; 105 °C over 75 °C is 1.33405 / 1.21615."""
    assert hotter(105 + 273.15) == pytest.approx(1.33405 / 1.21615, rel=1e-4)
    assert hotter(WORKING_TEMPERATURE) == 1.0
    assert hotter(300.0) == 1.0


def test_a_thin_run_gets_hot_and_loses_more_voltage() -> None:
    old = "to: low-fuse.in, circuit: auxiliary, protected_by: low-fuse, gauge: 10 AWG"
    thin = moved((old, old.replace("10 AWG", "24 AWG")), sheet=TWIN)
    kelvin = value(thin, "low-lead", "temperature")
    assert isinstance(kelvin, float) and kelvin > 75 + 273.15
    ohm, drop = value(thin, "low-lead", "resistance"), value(thin, "low-lead", "drop")
    amps = value(thin, "low-lead", "current_carried")
    assert isinstance(ohm, float) and isinstance(amps, float)
    # 5 in of 24 AWG (0.2047 mm2, ASTM B258), 1.7241e-8 ohm m at 20 °C (IEC 60028), 2 % for strands
    cold = 1.02 * 1.7241e-8 * 5 * 0.0254 / 0.2047e-6
    assert ohm == pytest.approx(cold * (1 + 0.00393 * (kelvin - 293.15)), rel=1e-3)
    assert drop == pytest.approx(amps * ohm)


def test_a_cool_run_counts_as_75_degrees() -> None:
    ohm = value(moved(sheet=TWIN), "low-lead", "resistance")
    # 10 AWG is 5.261 mm2 (ASTM B258)
    warm = 1.02 * 1.7241e-8 * (1 + 0.00393 * 55) * 5 * 0.0254 / 5.261e-6
    assert ohm == pytest.approx(warm, rel=1e-3)
