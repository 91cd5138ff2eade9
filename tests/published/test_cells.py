"""Peukert's rule, fault current and joining current against printed examples."""

from __future__ import annotations

import pytest

from advisor.physics import cells
from advisor.tables.reader import curve

AMP_HOUR = 3600.0
HOUR = 3600.0
RATED = 20 * HOUR

# capacity A·h, exponent, current A -> hours, A·h; tolerance is half of the last printed digit
PEUKERT = [
    (100, 1.20, 5, 20.000, 100.00, "identity: the rated current lasts the rated time"),
    (100, 1.20, 10, 8.706, 87.06, "textbook example, prints 8.7 h"),
    (100, 1.20, 50, 1.262, 63.10, "t = H (C / I H)^k by hand"),
    (100, 1.25, 25, 2.675, 66.87, "same"),
    (100, 1.30, 25, 2.468, 61.70, "same"),
    (100, 1.05, 50, 1.783, 89.13, "same, exponent of a lithium cell"),
]


@pytest.mark.parametrize(("capacity", "exponent", "current", "hours", "charge", "source"), PEUKERT)
def test_peukert_time_and_charge(
    capacity: float, exponent: float, current: float, hours: float, charge: float, source: str
) -> None:
    time = cells.peukert_time(RATED, capacity * AMP_HOUR, current, exponent)
    assert time / HOUR == pytest.approx(hours, abs=0.0006), source
    taken = cells.peukert_charge(RATED, capacity * AMP_HOUR, current, exponent)
    assert taken / AMP_HOUR == pytest.approx(charge, abs=0.006), source


# time 1 h, current 1 A, time 2 h, current 2 A -> exponent
EXPONENTS = [
    (20, 5, 7.5, 10, 1.415, 0.001, "battery knowledge base: 100 A·h, 20 h at 5 A, 7.5 h at 10 A"),
    (20, 225 / 20, 5, 185 / 5, 1.164, 0.001, "225 A·h at 20 h and 185 A·h at 5 h"),
    (20, 225 / 20, 115 / 60, 75, 1.236, 0.001, "225 A·h at 20 h and 115 min at 75 A"),
]


@pytest.mark.parametrize(("t1", "i1", "t2", "i2", "published", "tolerance", "source"), EXPONENTS)
def test_peukert_exponent(
    t1: float, i1: float, t2: float, i2: float, published: float, tolerance: float, source: str
) -> None:
    found = cells.peukert_exponent(t1 * HOUR, i1, t2 * HOUR, i2)
    assert found == pytest.approx(published, abs=tolerance), source
    assert 1.05 <= found <= 1.6  # flooded 1.2 to 1.6, AGM from 1.05: same knowledge base


def test_bank_of_six_blocks_adds_its_three_strings_only() -> None:
    """ABYC E-11 rule, quoted by a fuse maker: six 6 V blocks, 2 in series, 3 parallel: 7200 A."""
    assert cells.bank_fault_current(3, 2400.0) == 7200.0
    resistance = cells.bank_resistance(2, 3, 6.0 / 2400.0)
    voltage = cells.series_voltage(2, 6.0)
    assert cells.short_circuit_current(voltage, resistance) == pytest.approx(7200.0)


# cells, ohm a cell, ohm of joints and cables -> A, at 3.33 V a cell; figures are whole amperes
FAULTS = [(4, 0.5e-3, 0.0, 6660), (4, 0.5e-3, 1e-3, 4440), (16, 0.25e-3, 2e-3, 8880),
          (16, 0.5e-3, 2e-3, 5328), (24, 0.5e-3, 3e-3, 5328)]  # fmt: skip


@pytest.mark.parametrize(("number", "cell", "joints", "published"), FAULTS)
def test_fault_current_of_a_string(
    number: int, cell: float, joints: float, published: float
) -> None:
    """Isc = V_oc / R (IEEE-type text at electrical-riddles.com), by hand."""
    resistance = cells.bank_resistance(number, 1, cell) + joints
    found = cells.short_circuit_current(cells.series_voltage(number, 3.33), resistance)
    assert found == pytest.approx(published, abs=0.5)


def test_fault_current_from_an_impedance_a_pack_sheet_allows() -> None:
    """12.8 V 100 A·h pack sheet: 20 milliohm at most, so at least 0.64 to 0.67 kA (13.3 V full)."""
    assert cells.short_circuit_current(13.3, 0.020) == pytest.approx(665, abs=5)


@pytest.mark.parametrize(
    ("difference", "r1", "r2", "cable", "published"),
    [
        (1.0, 0.012, 0.012, 0.001, 40),
        (0.8, 0.004, 0.004, 0.002, 80),
        (3.2, 0.020, 0.020, 0.002, 76),
    ],
)
def test_joining_current(
    difference: float, r1: float, r2: float, cable: float, published: float
) -> None:
    """Ohm's law, by hand: 1 V over 25 milliohm; 13.6 and 12.8 V; 3.2 V over 42 milliohm."""
    found = cells.joining_current(difference, r1, r2, cable)
    assert found == pytest.approx(published, abs=0.5)  # whole amperes are printed


def test_equal_voltage_proves_little_for_lfp() -> None:
    """Two 4-cell packs, 50 and 70 % full: 13.064 and 13.096 V (PyBaMM, Prada2013), within 50 mV."""
    half, more = (curve("open-circuit", "lfp", charge) for charge in (0.5, 0.7))
    assert half is not None
    assert more is not None
    packs = [cells.series_voltage(4, one) for one in (half, more)]
    assert packs == pytest.approx([13.064, 13.096], abs=0.0005)
    assert packs[1] - packs[0] < 0.050
    nmc = [curve("open-circuit", "nmc", charge) or 0.0 for charge in (0.5, 0.7)]
    assert nmc[1] - nmc[0] == pytest.approx(0.197, abs=0.0005)  # PyBaMM, Chen2020: 197 mV a cell


def test_energy_of_a_pack() -> None:
    """51.2 V x 105 A·h = 5.376 kWh, the arithmetic on every label."""
    assert cells.energy(105 * AMP_HOUR, 51.2) / 3.6e6 == pytest.approx(5.376)
