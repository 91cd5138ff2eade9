"""Derivations about one pack: what its chemistry, label and management system imply."""

from __future__ import annotations

from advisor.facts.derivation import Derivation, Result, assume, derive, look_up
from advisor.physics import cells
from advisor.tables.reader import curve

_AMP_HOUR = 3600.0
LEAD = ("lead-flooded", "lead-agm", "lead-gel")

# Resistance times capacity of one cell, ohm x coulomb: the lowest that is plausible, so that the
# fault current comes out high. Lithium from "LFP prismatic 100 Ah cell 0.2 to 0.5 mΩ" (from memory)
# and "LTO 40 Ah cell 0.29 mΩ at 1 Hz" (cell sheet); lead-acid from "2 to 4 mΩ for a 6 V 225 Ah
# block" (from memory).
_RESISTANCE_TIMES_CHARGE = {
    "lfp": 0.3e-3 * 100 * _AMP_HOUR,
    "nmc": 0.4e-3 * 100 * _AMP_HOUR,
    "nca": 0.4e-3 * 100 * _AMP_HOUR,
    "lmo": 0.4e-3 * 100 * _AMP_HOUR,
    "lto": 0.29e-3 * 40 * _AMP_HOUR,
    "lead-flooded": 0.67e-3 * 225 * _AMP_HOUR,
    "lead-agm": 0.45e-3 * 225 * _AMP_HOUR,
    "lead-gel": 0.6e-3 * 225 * _AMP_HOUR,
}
_INTERCONNECT = 1e-3


def _cells_from_nominal(nominal: float, cell: float, chemistry: str) -> Result:
    """Cells in series from the nominal voltage, unless the label is only a class of voltage.

    A lithium pack sold as "48 V" may have 15 or 16 cells in series; such a label decides nothing.
    """
    if chemistry not in LEAD and nominal % 12 == 0:
        return None
    number = round(nominal / cell)
    return number if number and abs(number * cell - nominal) <= 0.03 * nominal else None


def _cells_from_full(full: float, cell: float) -> Result:
    number = round(full / cell)
    return number if number and abs(number * cell - full) <= 0.02 * full else None


def _at_reserve(chemistry: str, reserve: float) -> Result:
    return curve("open-circuit", chemistry, reserve)


def _fault_current(chemistry: str, number: float, capacity: float, resting: float) -> Result:
    product = _RESISTANCE_TIMES_CHARGE.get(chemistry)
    if product is None or capacity <= 0:
        return None
    resistance = number * product / capacity + _INTERCONNECT
    return float(cells.short_circuit_current(number * resting, resistance))


def _usual_resistance(chemistry: str, number: float, capacity: float) -> Result:
    """Resistance of a usual pack: lithium five times its bare cells, lead-acid twice."""
    product = _RESISTANCE_TIMES_CHARGE.get(chemistry)
    if product is None or capacity <= 0:
        return None
    return (2.0 if chemistry in LEAD else 5.0) * number * product / capacity


def _opens_charge_path(kind: str) -> Result:
    return {"internal-switch": True, "sense-only": False, "none": False}.get(kind)


DERIVATIONS: list[Derivation] = [
    *(
        look_up(f"pack.{name}", "pack.chemistry", "chemistry", column)
        for name, column in (
            ("cell_nominal", "nominal"),
            ("cell_charge_max", "charge_max"),
            ("cell_cutoff", "discharge_cutoff"),
            ("cell_damage", "damage_voltage"),
            ("cell_float_max", "float_max"),
            ("cell_balance_start", "balance_start"),
            ("cell_rested_full", "rest_full_voltage"),
        )
    ),
    *(
        look_up(f"pack.{name}", "pack.chemistry", "chemistry", column, fallback=True)
        for name, column in (
            ("charge_temperature_min", "charge_temp_min"),
            ("charge_temperature_max", "charge_temp_max"),
            ("discharge_temperature_min", "discharge_temp_min"),
            ("discharge_temperature_max", "discharge_temp_max"),
            ("self_discharge", "self_discharge"),
        )
    ),
    derive(
        "pack.cell_at_reserve",
        "pack.chemistry battery.reserve",
        _at_reserve,
        "open-circuit voltage of the chemistry at the reserve",
        "open-circuit tables of the chemistry",
    ),
    assume(
        "pack.cell_at_reserve",
        "pack.cell_nominal pack.cell_cutoff battery.reserve",
        lambda nominal, cutoff, reserve: (nominal + cutoff) / 2 if reserve >= 0.1 else cutoff,
        "no curve of this chemistry is known; halfway between the nominal voltage and the voltage "
        "at which discharge must stop is used, that voltage itself for a reserve below 10 %",
        "common practice, no source",
    ),
    derive(
        "pack.cells_in_series",
        "pack.nominal_voltage pack.cell_nominal pack.chemistry",
        _cells_from_nominal,
        "nominal voltage over nominal cell voltage, if it comes out whole",
    ),
    derive(
        "pack.cells_in_series",
        "pack.full_voltage pack.cell_charge_max",
        _cells_from_full,
        "full voltage over highest cell charge voltage, if it comes out whole",
    ),
    derive(
        "pack.nominal_voltage",
        "pack.cells_in_series pack.cell_nominal",
        cells.series_voltage,
        "cells in series x nominal cell voltage",
        fallback=True,
    ),
    derive(
        "pack.full_voltage",
        "pack.cells_in_series pack.cell_charge_max",
        cells.series_voltage,
        "cells in series x highest cell charge voltage",
    ),
    derive(
        "pack.empty_voltage",
        "pack.cells_in_series bms.cell_under_voltage_trip",
        cells.series_voltage,
        "cells in series x cell voltage at which the management opens",
        fallback=True,
    ),
    derive(
        "pack.empty_voltage",
        "pack.cells_in_series pack.cell_cutoff",
        cells.series_voltage,
        "cells in series x cell voltage at which discharge must stop",
        fallback=True,
    ),
    derive(
        "pack.capacity",
        "pack.energy pack.nominal_voltage",
        lambda energy, voltage: energy / voltage if voltage else None,
        "energy over nominal voltage",
        fallback=True,
    ),
    derive(
        "pack.energy",
        "pack.capacity pack.nominal_voltage",
        lambda capacity, voltage: capacity * voltage,
        "capacity x nominal voltage",
    ),
    assume(
        "pack.discharge_peak",
        "pack.discharge_continuous",
        lambda current: current,
        "no peak is stated, so the continuous current counts as the peak",
        "common practice, no source",
    ),
    assume(
        "pack.charge_current_max",
        "pack.charge_current_recommended",
        lambda current: current,
        "only a recommended charge current is stated, so it counts as the limit",
        "common practice, no source",
    ),
    assume(
        "pack.charge_current_max_cold",
        "pack.chemistry pack.capacity",
        lambda chemistry, capacity: 0.2 * capacity / 3600 if chemistry == "lfp" else None,
        "0.2 of the capacity per hour between 0 and 15 °C, as an indication",
        "data sheet of a small LFP cell (charge rate 0 to 15 °C)",
    ),
    assume(
        "pack.short_circuit_current",
        "pack.chemistry pack.cells_in_series pack.capacity pack.cell_rested_full",
        _fault_current,
        "the lowest plausible cell resistance for this chemistry and capacity, plus 1 mΩ; the "
        "resistance a seller states includes the management switch, which may weld",
        "cell resistances from memory and one cell sheet",
    ),
    assume(
        "pack.internal_resistance",
        "pack.chemistry pack.cells_in_series pack.capacity",
        _usual_resistance,
        "a usual pack of this chemistry and capacity with its management switch, about five times "
        "its bare cells",
        "from memory: packs of 16 LFP cells and 100 A·h show 15 to 40 mΩ",
    ),
    derive(
        "bms.cell_under_voltage_trip",
        "pack.empty_voltage? pack.cells_in_series",
        lambda empty, number: empty / number if empty and number else None,
        "cut-off voltage of the pack over its cells",
        fallback=True,
    ),
    *(
        derive(
            f"bms.protects_{what}",
            f"bms.{trip}",
            lambda trip: True if trip > 0 else None,
            "a trip value is stated for it",
            fallback=True,
        )
        for what, trip in (
            ("over_voltage", "cell_over_voltage_trip"),
            ("under_voltage", "cell_under_voltage_trip"),
            ("over_current", "over_current_1"),
            ("short_circuit", "short_circuit_trip"),
        )
    ),
    derive(
        "bms.can_stop_charger",
        "bms.kind",
        _opens_charge_path,
        "a management system with its own switch opens the charge path",
        fallback=True,
    ),
    derive(
        "bms.can_open_discharge",
        "bms.kind",
        _opens_charge_path,
        "a management system with its own switch opens the discharge path",
        fallback=True,
    ),
    derive(
        "bms.low_temperature_charge_block",
        "bms.kind",
        lambda kind: False if kind == "none" else None,
        "without a management system nothing refuses charge",
        fallback=True,
    ),
    assume(
        "bms.standby_current",
        "bms.kind",
        lambda kind: 0.0 if kind == "none" else 0.010,
        "management boards draw 1 to 5 mA, with a radio or display 10 to 30 mA; 10 mA is used",
        "trade note on management boards; from memory",
    ),
    derive(
        "pack.joining_current",
        "battery.resting_spread pack.internal_resistance",
        lambda spread, resistance: cells.joining_current(spread, resistance, resistance, 2e-3),
        "spread of resting voltages over two pack resistances and 2 mΩ of leads",
        "Ohm's law",
    ),
]
