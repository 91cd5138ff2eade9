"""Isolation between battery and chassis, and bonding."""

from __future__ import annotations

from advisor.physics.choose import Numbers, divide

__all__ = [
    "body_current",
    "bonding_resistance",
    "isolation_needed",
    "isolation_per_volt",
    "isolation_resistance",
]


def isolation_resistance(
    battery: Numbers, before: Numbers, after: Numbers, resistor: Numbers
) -> Numbers:
    """Isolation resistance from voltmeter readings, ohm: R0 V_b (1/V' - 1/V).

    battery V_b: voltage of the battery, V. before V: the higher of the voltages between a pole and
    the chassis, V. after V': the same with the resistor R0 (ohm) between that pole and the
    chassis. Gives the lower of the two leaks. Infinite when nothing leaks (V' = 0).
    The meter must have 10 megohm or more. Source: UN R100 Annex 5A; AIS-156 Annex B.
    """
    return resistor * battery * (divide(1.0, after) - divide(1.0, before))


def isolation_per_volt(resistance: Numbers, voltage: Numbers) -> Numbers:
    """Isolation for each volt, ohm/V: R / V, with the working voltage in V.

    Source: UN R100 5.1.3.
    """
    return divide(resistance, voltage)


def isolation_needed(voltage: Numbers, per_volt: Numbers = 100.0) -> Numbers:
    """Least isolation resistance, ohm: 100 ohm/V (DC) or 500 ohm/V (AC) times the voltage in V.

    Binding above 60 V DC; below, good practice. Source: UN R100 5.1.3; ISO 6469-3.
    """
    return voltage * per_volt


def body_current(voltage: Numbers, resistance: Numbers) -> Numbers:
    """Current through a body that bridges the other pole, A: V / R, body resistance left out.

    voltage in V, isolation resistance in ohm. 100 ohm/V caps it at 10 mA. Source: Ohm's law.
    """
    return divide(voltage, resistance)


def bonding_resistance(drop: Numbers, current: Numbers) -> Numbers:
    """Resistance of a bond, ohm: V / I, tested with 0.2 A or more; below 0.1 ohm passes.

    drop in V, current in A. Source: UN R100 5.1.2.2.
    """
    return divide(drop, current)
