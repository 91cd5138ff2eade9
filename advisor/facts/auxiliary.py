"""Derivations about the 12 V side and the monitor."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.facts.derivation import Derivation, Result, assume, derive
from advisor.physics import protection

Maybe = Sequence[float | None] | None


def _rows(
    bus: Sequence[str], current: Sequence[float], number: Maybe, together: Sequence[bool | None]
) -> list[float]:
    """Currents of the 12 V loads that run together."""
    times = number or [None] * len(current)
    return [
        amps * (count or 1.0)
        for where, amps, count, joint in zip(bus, current, times, together, strict=True)
        if where == "12v" and joint is not False
    ]


def _load_peak(
    bus: Sequence[str],
    current: Sequence[float],
    peak: Sequence[float | None],
    number: Maybe,
    together: Sequence[bool | None],
) -> Result:
    """All loads that run together, and on top the largest step of one that starts."""
    step = 0.0
    for where, amps, highest, joint in zip(bus, current, peak, together, strict=True):
        if where == "12v" and highest is not None:
            step = max(step, highest - amps if joint is not False else highest)
    return sum(_rows(bus, current, number, together)) + step


_SAFETY_KINDS = ("headlamp", "tail-lamp", "brake-lamp", "turn-signal", "horn")

DERIVATIONS: list[Derivation] = [
    derive(
        "load.safety",
        "load.kind",
        lambda kind: kind in _SAFETY_KINDS,
        "lamps that others must see, and the horn, are needed for safety",
        "equipment of low-speed vehicles, 49 CFR 571.500 S5(b), as reproduced",
        fallback=True,
    ),
    derive(
        "battery.feeds_safety_loads",
        "load[].safety",
        any,
        "at least one listed load is needed for safety",
    ),
    derive(
        "battery.charge_counted",
        "monitor[].kind",
        lambda kinds: "coulomb" in kinds,
        "at least one listed monitor counts coulombs",
    ),
    derive(
        "converter.stops_at",
        "converter.low_cutoff",
        lambda voltage: voltage,
        "its cut-off",
    ),
    derive(
        "converter.stops_at",
        "converter.input_min",
        lambda voltage: voltage,
        "its lowest input voltage, as no cut-off is stated",
        fallback=True,
    ),
    derive(
        "converter.load_continuous",
        "load[].bus load[].current load[].count? load[].used_together?",
        lambda bus, current, number, together: sum(_rows(bus, current, number, together)),
        "currents of the 12 V loads that run together, added",
    ),
    derive(
        "converter.load_peak",
        "load[].bus load[].current load[].peak_current? load[].count? load[].used_together?",
        _load_peak,
        "continuous loads plus the largest starting step",
    ),
    derive(
        "converter.load_needed",
        "converter.load_continuous",
        lambda current: protection.continuous_rating(current),
        "1.25 x continuous loads",
        "125 % rule for continuous loads (NEC 215.2), used as a yardstick",
    ),
    derive(
        "converter.peak_allowed",
        "converter.peak_current",
        lambda current: current,
        "as stated",
    ),
    assume(
        "converter.peak_allowed",
        "converter.output_current",
        lambda current: current,
        "no peak is stated, so the continuous output counts as the peak",
        "common practice, no source",
    ),
    assume(
        "buffer.short_circuit_current",
        "buffer.capacity",
        lambda capacity: 20 * capacity / 3600,
        "short-circuit current of the buffer battery taken as 20 x its capacity per hour",
        "DC distribution technical sheet (k about 10, always below 20)",
    ),
    derive("converter.buffered", "buffer.present", lambda present: present, "a buffer is listed"),
    derive(
        "load.needs_buffer",
        "load.bus load.peak_current converter.peak_allowed",
        lambda bus, peak, allowed: bus == "12v" and peak > allowed,
        "its peak against the converter's",
    ),
    derive(
        "load.bus_voltage_max",
        "load.bus battery.full_voltage",
        lambda bus, full: full if bus == "traction" else None,
        "full battery, as it hangs on the traction battery",
    ),
    derive(
        "load.bus_voltage_max",
        "load.bus converter.output_voltage buffer.present",
        lambda bus, output, buffered: output if bus == "12v" and not buffered else None,
        "converter output, as there is no buffer battery",
    ),
    derive(
        "load.bus_voltage_max",
        "load.bus converter.output_voltage buffer.charge_voltage_max",
        lambda bus, output, charge: max(output, charge) if bus == "12v" else None,
        "the higher of converter output and charge voltage of the buffer battery",
    ),
    derive(
        "load.bus_voltage_max",
        "load.bus converter.present buffer.charge_voltage_max",
        lambda bus, converted, charge: charge if bus == "12v" and not converted else None,
        "charge voltage of the buffer battery, as there is no converter",
    ),
    derive(
        "load.bus_voltage_min",
        "load.bus battery.sag_voltage",
        lambda bus, sag: sag if bus == "traction" else None,
        "sagging battery, as it hangs on the traction battery",
    ),
    derive(
        "load.bus_voltage_min",
        "load.bus converter.output_voltage",
        lambda bus, output: output if bus == "12v" else None,
        "converter output",
    ),
    derive(
        "monitor.shunt_resistance",
        "monitor.shunt_rating monitor.shunt_millivolts",
        lambda rating, voltage: protection.shunt_resistance(rating, voltage) if rating else None,
        "voltage over current at its rating",
        "Ohm's law",
    ),
    derive(
        "monitor.shunt_continuous_limit",
        "monitor.shunt_rating",
        lambda rating: rating * 2 / 3,
        "two thirds of its rating for more than two minutes",
        "three shunt makers' notes",
    ),
    derive(
        "monitor.reading_scale",
        "monitor.shunt_resistance monitor.set_shunt_rating monitor.set_shunt_millivolts",
        lambda ohm, rating, voltage: ohm * rating / voltage if voltage else None,
        "shunt resistance over the resistance set in the monitor",
        "Ohm's law",
    ),
    derive(
        "monitor.shunt_power",
        "monitor.shunt_resistance battery.demand_continuous",
        lambda ohm, current: protection.shunt_power(ohm, current),
        "resistance x current squared",
        "Ohm's law",
    ),
]
