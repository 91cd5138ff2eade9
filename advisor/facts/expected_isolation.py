"""Isolation between battery and frame by a voltmeter, and the bond of metal parts."""

from __future__ import annotations

from advisor.facts.derivation import Derivation, Result, Worded, derive
from advisor.physics import isolation
from advisor.tables.reader import table

_METER_RESISTANCE = 10e6  # ohm, as the isolation measurement wants it
_RESOLUTION = 0.01  # V, last digit of a multimeter at battery voltage


def _isolation(
    plus: float, minus: float, after: float, resistor: float, joined: float | None
) -> Result:
    """By the voltmeter; a meter of 10 megohm tells no more than its own resistance."""
    before = max(plus, minus)
    if before <= _RESOLUTION:
        return Worded(
            _METER_RESISTANCE, "neither pole shows a voltage to the frame: more than the meter has"
        )
    if after > before:
        return None
    held = max(after, min(_RESOLUTION, before))
    battery = _battery(plus + minus, before, held, resistor, joined)
    found = float(isolation.isolation_resistance(battery, before, held, resistor))
    return min(found, _METER_RESISTANCE)


def _battery(
    total: float, before: float, held: float, resistor: float, joined: float | None
) -> float:
    """The voltage of the battery at that moment, V.

    Both voltages to the frame add to it, less what the meter itself pulls down: with leaks of
    conductance G and a meter of g, to G / (G + g) of it (Kirchhoff), and the resistor tells G + g.
    The voltage read after joining may be of another day; it counts only between these two.
    """
    if joined is None:
        return total
    seen = 1 / (resistor * (before / held - 1)) if held < before else float("inf")
    leaks = seen - 1 / _METER_RESISTANCE
    most = total * (seen / leaks if seen != float("inf") else 1.0) if leaks > 0 else joined
    return min(max(joined, total), max(most, total))


def _needed(voltage: float) -> Result:
    entry = table("isolation-limits").value("direct-current", "per_volt")
    per_volt = entry.value if entry is not None else None
    return isolation.isolation_needed(voltage, per_volt) if isinstance(per_volt, float) else None


def _bond_limit() -> Result:
    entry = table("isolation-limits").value("bonding", "bond")
    return entry.value if entry is not None else None


def _bond(drop: float, current: float) -> Result:
    """Only from a current that breaks through a film of dirt: 0.2 A or more."""
    return isolation.bonding_resistance(drop, current) if current >= 0.2 else None


_VOLTMETER = (
    "battery.voltage_plus_frame battery.voltage_minus_frame battery.voltage_with_resistor "
    "battery.isolation_resistor battery.voltage_joined?"
)

DERIVATIONS: list[Derivation] = [
    derive(
        "battery.isolation_measured",
        _VOLTMETER,
        _isolation,
        "R0 x V x (1 / V with resistor - 1 / V without), at most the meter's own 10 MΩ; V is the "
        "sum of both voltages to the frame, or that after joining where the meter explains it",
        "UN R100 Annex 5A, voltmeter method",
    ),
    derive(
        "provisions.isolation_tested",
        "battery.isolation_measured",
        lambda _: True,
        "the reading is there",
        fallback=True,
    ),
    derive(
        "battery.isolation_expected_min",
        "battery.nominal_voltage",
        _needed,
        "100 Ω for each volt of the battery",
        "UN R100 5.1.3.1; binding above 60 V, good practice below",
    ),
    derive(
        "battery.bonding_measured",
        "battery.bonding_drop battery.bonding_current",
        _bond,
        "drop over current, where that is 0.2 A or more",
        "AIS-156 draft 5.1.2.2, same words as UN R100 5.1.2.2",
    ),
    derive(
        "battery.bonding_expected_max",
        "",
        _bond_limit,
        "below 0.1 Ω between metal parts and the frame",
        "AIS-156 draft 5.1.2.2, same words as UN R100 5.1.2.2",
    ),
]
