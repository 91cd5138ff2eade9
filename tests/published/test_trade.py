"""Facts of the trade that nobody has printed: common practice, no source."""

from __future__ import annotations

import pytest

from advisor.physics.cells import loaded_voltage, parallel_current, series_voltage
from advisor.physics.charging import charge_power
from advisor.physics.road import grade_force, grade_sine, mass_change
from advisor.tables.reader import curve, table

POUND = 0.45359237


def cell(chemistry: str, column: str) -> float:
    entry = table("chemistry").value(chemistry, column)
    assert entry is not None
    assert isinstance(entry.value, float)
    return entry.value


def test_two_packs_for_six_lead_blocks_save_310_pounds() -> None:
    """Six blocks of 63 lb out, two packs of 34 lb in; common practice, no source."""
    change = mass_change(2 * 34 * POUND, 6 * 63 * POUND)
    assert change / POUND == pytest.approx(-310)


def test_two_24_volt_packs_in_series_make_a_48_volt_system() -> None:
    """Common practice, no source. Eight LFP cells a pack: 25.6 V each, 51.2 V together."""
    pack = series_voltage(8, cell("lfp", "nominal"))
    assert series_voltage(2, pack) == pytest.approx(51.2)
    assert series_voltage(2, 24.0) == 48.0


def test_reading_of_a_15_ampere_charger() -> None:
    """15.2 to 15.3 A while a 48 V system stood at 55.8 V: about 0.85 kW.

    Common practice, no source. 0.85 kW has two digits, so 5 W either way.
    """
    for current in (15.2, 15.3):
        assert charge_power(55.8, current) == pytest.approx(850, abs=5)


def test_fourteen_cells_at_that_voltage_are_not_full() -> None:
    """58.8 V would be full; 55.8 V is 3.986 V a cell; common practice, no source."""
    full = series_voltage(14, cell("nmc", "charge_max"))
    assert full == pytest.approx(58.8)
    assert full - 55.8 == pytest.approx(3.0)
    three_quarters = curve("open-circuit", "nmc", 0.75)  # of a cell model, within 10 mV
    assert three_quarters == pytest.approx(55.8 / 14, abs=0.01)


def test_an_old_lead_acid_pack_sags_by_ten_volts() -> None:
    """48 V falls to 38 V at 300 A, so 33 milliohm; common practice, no source."""
    assert loaded_voltage(48.0, 300.0, 0.0333) == pytest.approx(38.0, abs=0.05)
    # regeneration lifts by the same law: 100 A into 20 milliohm at 54.4 V
    assert loaded_voltage(54.4, -100.0, 0.020) == pytest.approx(56.4)


def test_two_packs_in_parallel_carry_twice_the_current() -> None:
    """Two packs of 100 A carry 200 A together, one alone no more than 100 A; common practice."""
    assert parallel_current(2, 100.0) == 200.0
    assert parallel_current(1, 100.0) == 100.0


def test_a_steep_drive_pulls_with_a_fifth_of_the_weight() -> None:
    """20 % grade: sine 0.196 (definition), 500 kg pull with 962 N; common practice, no source."""
    assert grade_sine(0.20) == pytest.approx(0.1961, abs=0.00005)
    assert grade_force(500.0, 0.20) == pytest.approx(961.6, abs=0.5)
