"""What readings on packs and battery should be, and what several readings together come to."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.facts.assembly import along_string
from advisor.facts.derivation import Derivation, Formula, Result, derive
from advisor.tables.reader import curve

_METER = 0.005  # of a reading, of a usual multimeter
_MODEL = 0.010  # V per cell, between the published curves and a real cell
_UNRESTED = 0.030  # V per cell, after less than two hours
_REST = 7200.0
_PRACTICE = "common practice, no source"
_CURVES = "open-circuit tables of the chemistry"


def _cell_at(chemistry: str, charge: float) -> float | None:
    return curve("open-circuit", chemistry, min(max(charge, 0.0), 1.0))


def _charge(stated: float | None, charged_full: bool | None) -> float | None:
    return stated if stated is not None else 1.0 if charged_full else None


def _least_resting(
    chemistry: str, number: float, stated: float | None, charged_full: bool | None
) -> Result:
    charge = _charge(stated, charged_full)
    if charge is None or charge < 0.2:
        return None
    cell = _cell_at(chemistry, charge - 0.1)
    return None if cell is None else number * (cell - _MODEL) * (1 - _METER)


def _most_resting(
    chemistry: str, number: float, stated: float | None, charged_full: bool | None
) -> Result:
    charge = _charge(stated, charged_full)
    cell = None if charge is None else _cell_at(chemistry, charge + 0.1)
    return None if cell is None else number * (cell + _MODEL) * (1 + _METER)


def _charges(chemistry: str, number: float, voltage: float, rested: float | None) -> list[float]:
    """The charges, in steps of 1 %, whose resting voltage is within tolerance of a reading."""
    cell = voltage / number
    near = _MODEL if rested is not None and rested >= _REST else _UNRESTED
    found = [
        (percent / 100, known)
        for percent in range(101)
        if (known := _cell_at(chemistry, percent / 100)) is not None
    ]
    if not found:
        return []
    fitting = [charge for charge, known in found if abs(known - cell) <= near]
    if fitting:
        return fitting
    below = [charge for charge, known in found if known < cell]
    return [below[-1]] if below else [found[0][0]]


def _least_charge(
    chemistry: str, number: float, voltage: float, rested: float | None
) -> float | None:
    return min(_charges(chemistry, number, voltage, rested), default=None) if number else None


def _most_charge(
    chemistry: str, number: float, voltage: float, rested: float | None
) -> float | None:
    return max(_charges(chemistry, number, voltage, rested), default=None) if number else None


def _sum(share: float) -> Formula:
    """Resting voltages along a string, and a share of them for the meter."""

    def formula(
        values: Sequence[float], number: Sequence[float | None], series: float, parallel: float
    ) -> Result:
        found = along_string(max if share > 1 else min)(values, number, series, parallel)
        return found * share if isinstance(found, float) else None

    return formula


_RESTING = "pack.chemistry pack.cells_in_series pack.charge_stated? battery.packs_charged_full?"
_AT_REST = "battery.chemistry battery.cells_in_series battery.voltage_at_rest battery.rested_time?"
_SAG = "battery.voltage_before_load battery.current_loaded battery.internal_resistance"
_ALL_PACKS = (
    "pack[].resting_voltage pack[].count? battery.packs_in_series battery.packs_in_parallel"
)
_RESTING_WORDS = (
    "open-circuit voltage of its stated charge (full if it was charged to the end), 10 points of "
    "charge and 10 mV for each cell {}, and the meter's 0.5 %"
)
DERIVATIONS: list[Derivation] = [
    derive(
        "pack.resting_voltage_expected_min",
        _RESTING,
        _least_resting,
        _RESTING_WORDS.format("down"),
        _CURVES,
    ),
    derive(
        "pack.resting_voltage_expected_max",
        _RESTING,
        _most_resting,
        _RESTING_WORDS.format("up"),
        _CURVES,
    ),
    derive(
        "pack.resting_voltage_expected_min",
        "pack.cells_in_series pack.cell_cutoff",
        lambda number, cell: number * cell,
        "cells x voltage at which discharge must stop, as its charge is not stated",
        fallback=True,
    ),
    derive(
        "pack.resting_voltage_expected_max",
        "pack.cells_in_series pack.cell_charge_max",
        lambda number, cell: number * cell,
        "cells x highest charge voltage, as its charge is not stated",
        fallback=True,
    ),
    derive(
        "pack.cell_spread_expected_max",
        "",
        lambda: 0.100,
        "cells of a healthy pack end a charge within 100 mV",
        _PRACTICE,
    ),
    derive(
        "pack.temperature_after_drive_expected_max",
        "pack.discharge_temperature_max",
        lambda limit: limit - 10.0,
        "10 K below what the pack may have on discharge, for a warmer day",
        _PRACTICE,
    ),
    derive(
        "battery.voltage_joined_expected_min",
        _ALL_PACKS,
        _sum(1 - 2 * _METER),
        "resting voltages of the packs of a string, added, less 1 % for two readings",
        "Kirchhoff's voltage law",
    ),
    derive(
        "battery.voltage_joined_expected_max",
        _ALL_PACKS,
        _sum(1 + 2 * _METER),
        "resting voltages of the packs of a string, added, and 1 % for two readings",
        "Kirchhoff's voltage law",
    ),
    derive(
        "battery.voltage_joined_expected_min",
        "battery.empty_voltage",
        lambda voltage: voltage,
        "the empty battery, as the packs were not read singly",
        fallback=True,
    ),
    derive(
        "battery.voltage_joined_expected_max",
        "battery.full_voltage",
        lambda voltage: voltage,
        "the full battery, as the packs were not read singly",
        fallback=True,
    ),
    derive(
        "battery.charge_at_rest_min",
        _AT_REST,
        _least_charge,
        "least charge whose open-circuit voltage is within 10 mV of a cell (30 mV before two hours "
        "of rest)",
        _CURVES,
    ),
    derive(
        "battery.charge_at_rest_max",
        _AT_REST,
        _most_charge,
        "most charge whose open-circuit voltage is within 10 mV of a cell (30 mV before two hours "
        "of rest)",
        _CURVES,
    ),
    derive(
        "battery.resistance_measured",
        "battery.voltage_before_load battery.voltage_loaded battery.current_loaded",
        lambda before, loaded, current: (before - loaded) / current if current else None,
        "fall of voltage over current",
        "Ohm's law",
    ),
    derive(
        "battery.voltage_loaded_expected_min",
        _SAG,
        lambda before, current, resistance: before - 1.5 * current * resistance,
        "voltage before the load less current x one and a half times the battery's resistance",
        "Ohm's law; half more for cold cells and lugs: common practice, no source",
    ),
    derive(
        "battery.voltage_loaded_expected_max",
        _SAG,
        lambda before, current, resistance: before - 0.3 * current * resistance,
        "voltage before the load less current x 0.3 of the battery's resistance",
        "Ohm's law; packs are often better than stated: common practice, no source",
    ),
    derive(
        "battery.hottest_joint_expected_max",
        "use.air_temperature",
        lambda air: air + 30.0,
        "30 K above the air: a joint that rises more at sustained load is a stop",
        _PRACTICE,
    ),
    derive(
        "battery.standby_expected_min",
        "battery.drain_key_off",
        lambda drain: 0.5 * drain,
        "half the sum of the drains with the key off",
        _PRACTICE,
    ),
    derive(
        "battery.standby_expected_max",
        "battery.drain_key_off",
        lambda drain: 1.5 * drain,
        "one and a half times the sum of the drains with the key off",
        _PRACTICE,
    ),
    derive(
        "battery.standby_disconnected_expected_max",
        "battery.drain_disconnected",
        lambda drain: 1.5 * drain + 0.002,
        "one and a half times the sum of the drains with the disconnect open, and 2 mA",
        _PRACTICE,
    ),
]
