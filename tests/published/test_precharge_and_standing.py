"""Precharge against a published reference design; standing against the usual arithmetic."""

from __future__ import annotations

import pytest

from advisor.physics import precharge, storage

AMP_HOUR = 3600.0
DAY = 86400.0
MONTH = 30.4375 * DAY


def test_reference_design_of_a_precharge() -> None:
    """TIDUF73 (Sept 2024): 800 V, 2 mF, 0.5 s, five time constants: 50 ohm; 640 J, 16 A follow."""
    resistance = precharge.resistance_for_time(0.5, 2e-3)
    assert resistance == pytest.approx(50.0)
    assert precharge.resistor_energy(2e-3, 800.0) == pytest.approx(640.0)
    assert precharge.bus_energy(2e-3, 800.0) == pytest.approx(640.0)
    assert precharge.inrush_current(800.0, resistance) == pytest.approx(16.0)


@pytest.mark.parametrize(
    ("constants", "percent"),
    [(1, 63.212), (2, 86.466), (3, 95.021), (4, 98.168), (5, 99.326)],
)
def test_share_after_time_constants(constants: int, percent: float) -> None:
    """Textbook values of 1 - exp(-n), printed to 0.001 %."""
    tau = precharge.time_constant(50.0, 2e-3)
    found = precharge.charged_voltage(100.0, 50.0, 2e-3, constants * tau)
    assert found == pytest.approx(percent, abs=0.0005)
    assert precharge.time_to_fraction(50.0, 2e-3, percent / 100) == pytest.approx(
        constants * tau, rel=2e-4
    )


@pytest.mark.parametrize(
    ("resistance", "standing", "missing"), [(100.0, 0.100, 10.0), (250.0, 0.030, 7.5)]
)
def test_an_idle_converter_leaves_the_bus_low_for_ever(
    resistance: float, standing: float, missing: float
) -> None:
    """100 mA behind 100 ohm leaves 10 V, 30 mA through 250 ohm 7.5 V: Ohm's law, by hand."""
    found = precharge.charged_voltage(54.4, resistance, 0.01, 1e6, standing)
    assert 54.4 - found == pytest.approx(missing)


def test_power_of_a_resistor_into_a_shorted_bus() -> None:
    """58.4 V / 50 ohm is 68 W, printed in whole watts."""
    assert precharge.peak_power(58.4, 50.0) == pytest.approx(68, abs=0.5)


def test_inrush_without_precharge() -> None:
    """54 V / 20 milliohm = 2.7 kA; a battery-management guide says about 1000 A and more."""
    assert precharge.inrush_current(54.0, 0.020) == pytest.approx(2700)


@pytest.mark.parametrize(
    ("milliamperes", "amp_hours"), [(1, 0.73), (5, 3.65), (10, 7.3), (30, 21.9), (100, 73.0)]
)
def test_drain_for_a_month(milliamperes: float, amp_hours: float) -> None:
    """mA x 0.73 = A·h a month: 730 h of a month, ours has 730.5 h (0.07 %)."""
    found = storage.charge_drained(milliamperes / 1000, 0.0, 0.0, MONTH)
    assert found / AMP_HOUR == pytest.approx(amp_hours, rel=0.001)


def test_last_fifth_of_a_pack_behind_a_30_milliampere_drain() -> None:
    """105 A·h, 20 % left, 30 mA: 29.2 days, printed to 0.1 day."""
    found = storage.time_to_empty(0.2 * 105 * AMP_HOUR, 0.030, 0.0, 105 * AMP_HOUR)
    assert found / DAY == pytest.approx(29.2, abs=0.05)


def test_drain_and_self_discharge_together() -> None:
    """105 A·h at 50 %, 30 mA and 2 % a month: 50 / (2 + 20.9) = 2.2 months, printed to 0.1."""
    capacity = 105 * AMP_HOUR
    found = storage.time_to_empty(0.5 * capacity, 0.030, 0.02 / MONTH, capacity)
    assert found / MONTH == pytest.approx(2.2, abs=0.05)


def test_two_packs_drained_ahead_of_the_disconnect() -> None:
    """2 x 105 A·h at 55 %, 89 mA, 2 % a month: about 51 days of supply, in whole days.

    115.5 A·h / (2.136 + 0.138 A·h a day) = 50.8 days.
    """
    capacity = 210 * AMP_HOUR
    found = storage.time_to_empty(0.55 * capacity, 0.089, 0.02 / MONTH, capacity)
    assert found / DAY == pytest.approx(51, abs=0.5)


def test_current_of_an_idle_converter() -> None:
    """2.5 W at 52 V is 48 mA: trade note says 50 mW to a few watts for a converter at idle."""
    assert storage.drain_of_power(2.5, 52.0) == pytest.approx(0.0481, abs=0.0001)
