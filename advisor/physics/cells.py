"""Cells, strings and banks: voltage, resistance, fault current, Peukert's rule."""

from __future__ import annotations

from advisor.physics.choose import Numbers, divide, interpolated, logarithm, power

__all__ = [
    "acid_voltage",
    "bank_fault_current",
    "bank_resistance",
    "energy",
    "joining_current",
    "loaded_voltage",
    "open_circuit_voltage",
    "parallel_current",
    "peukert_charge",
    "peukert_exponent",
    "peukert_time",
    "series_voltage",
    "short_circuit_current",
]


def series_voltage(number: Numbers, cell_voltage: Numbers) -> Numbers:
    """Voltage of cells in series, V: n V_cell.

    number of cells; cell_voltage in V. Valid for equal cells; with unequal ones the sum hides the
    weakest. Source: Kirchhoff's voltage law.
    """
    return number * cell_voltage


def open_circuit_voltage(charge: Numbers, points: Numbers, voltages: Numbers) -> Numbers:
    """Voltage of a rested cell, V, between the points of a table.

    charge as a fraction 0 to 1; points rising, voltages in V. NaN outside of the table, because
    the curves bend most at their ends. Source: the table that is passed in.
    """
    return interpolated(charge, points, voltages)


def acid_voltage(specific_gravity: Numbers, offset: Numbers = 0.84) -> Numbers:
    """Voltage of a rested lead-acid cell, V: specific gravity of its acid + 0.84.

    Valid for 1.10 to 1.30 at 25 °C after hours of rest, within about 0.025 V (best when full).
    Source: trade rule; DOE-HDBK-1084-95 page 18 gives the offset 0.845.
    """
    return specific_gravity + offset


def loaded_voltage(resting: Numbers, current: Numbers, resistance: Numbers) -> Numbers:
    """Voltage under load, V: V_oc - I R.

    resting in V; current in A, positive on discharge and negative on charge; resistance in ohm, as
    measured over the time of the load. Source: Ohm's law.
    """
    return resting - current * resistance


def parallel_current(strings: Numbers, current: Numbers) -> Numbers:
    """Current of equal strings in parallel, A: n I.

    Valid for strings that share equally; unequal ones share as their resistances allow.
    Source: Kirchhoff's current law.
    """
    return strings * current


def bank_resistance(in_series: Numbers, in_parallel: Numbers, resistance: Numbers) -> Numbers:
    """Resistance of a bank of equal packs, ohm: n_series R / n_parallel, joints left out.

    Source: series adds, parallel divides (Kirchhoff's laws).
    """
    return divide(in_series * resistance, in_parallel)


def short_circuit_current(voltage: Numbers, resistance: Numbers) -> Numbers:
    """Prospective short-circuit current, A: V_oc / R, all resistances of the loop added.

    voltage in V, resistance in ohm. Infinite for a loop without resistance. Valid for the first
    milliseconds to seconds, before cells heat or run out of ions; inductance is left out, so it
    comes out high. Source: Ohm's law.
    """
    return divide(voltage, resistance)


def bank_fault_current(in_parallel: Numbers, current: Numbers) -> Numbers:
    """Short-circuit current of a bank, A: strings in parallel x that of one pack.

    Packs in series add no current, as voltage and resistance grow together.
    Source: marine rule for battery banks (ABYC E-11, as quoted by a fuse maker).
    """
    return in_parallel * current


def joining_current(
    difference: Numbers, resistance_1: Numbers, resistance_2: Numbers, cable: Numbers
) -> Numbers:
    """Current between two packs when they are joined in parallel, A: dV / (R1 + R2 + R_cable).

    difference of resting voltages in V, resistances in ohm. A small current proves little: an LFP
    cell moves 8 mV between half and 70 % charge. Source: Ohm's law.
    """
    return divide(difference, resistance_1 + resistance_2 + cable)


def energy(capacity: Numbers, voltage: Numbers) -> Numbers:
    """Energy of a charge at a voltage, J: Q V, with capacity in C and the mean voltage in V."""
    return capacity * voltage


def peukert_time(
    rated_time: Numbers, capacity: Numbers, current: Numbers, exponent: Numbers
) -> Numbers:
    """Time a constant current lasts, s: H (C / (I H))^k.

    rated_time H in s (72000 for the 20-hour rate), capacity C in C at that rate, current I in A,
    exponent k about 1.1 to 1.4 for lead-acid. Valid near the rated rate only: lithium follows it
    between 0.2 and 2 times its capacity per hour (Energies 2022, 15(8), 2825), lead-acid departs
    at both ends. Source: Peukert 1897, in the form of handbook texts.
    """
    return rated_time * power(divide(capacity, current * rated_time), exponent)


def peukert_charge(
    rated_time: Numbers, capacity: Numbers, current: Numbers, exponent: Numbers
) -> Numbers:
    """Charge a constant current takes out until empty, C: I times `peukert_time`."""
    return current * peukert_time(rated_time, capacity, current, exponent)


def peukert_exponent(
    time_1: Numbers, current_1: Numbers, time_2: Numbers, current_2: Numbers
) -> Numbers:
    """Peukert's exponent from two ratings: ln(t1 / t2) / ln(I2 / I1).

    times in s, currents in A. NaN or infinite for equal currents. Source: Peukert's rule solved.
    """
    return divide(logarithm(divide(time_1, time_2)), logarithm(divide(current_2, current_1)))
