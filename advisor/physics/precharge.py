"""Precharge: a capacitor charged through a resistor before a contactor closes."""

from __future__ import annotations

from advisor.physics.choose import Numbers, divide, exponential_rest, logarithm, most

__all__ = [
    "bus_energy",
    "charged_voltage",
    "inrush_current",
    "peak_power",
    "resistance_for_time",
    "resistor_energy",
    "time_constant",
    "time_to_fraction",
]


def time_constant(resistance: Numbers, capacitance: Numbers) -> Numbers:
    """Time constant, s: R C, with ohm and F. Source: RC circuit."""
    return resistance * capacitance


def time_to_fraction(resistance: Numbers, capacitance: Numbers, fraction: Numbers) -> Numbers:
    """Time until the capacitor has this fraction of its final voltage, s: -R C ln(1 - q).

    resistance in ohm, capacitance in F, fraction 0 to below 1 (infinite at 1, NaN above). The final
    voltage is lower than the battery's when something draws current meanwhile; see
    `charged_voltage`. Source: RC circuit.
    """
    return -resistance * capacitance * logarithm(1 - fraction)


def resistance_for_time(time: Numbers, capacitance: Numbers, constants: Numbers = 5.0) -> Numbers:
    """Resistance that precharges in a time, ohm: t / (n C), with n time constants.

    time in s, capacitance in F. Five time constants leave 0.7 %. Source: TIDUF73 (2024), a
    semiconductor maker's reference design.
    """
    return divide(time, constants * capacitance)


def charged_voltage(
    voltage: Numbers,
    resistance: Numbers,
    capacitance: Numbers,
    time: Numbers,
    standing_current: Numbers = 0.0,
) -> Numbers:
    """Voltage of the capacitor after a time, V: (V - I R) (1 - exp(-t / R C)).

    voltage of the battery in V, resistance in ohm, capacitance in F, time in s, starting empty.
    standing_current I in A is drawn all the while behind the resistor (an idling converter): the
    voltage ends I R short of the battery's, for ever. No less than 0. Source: RC circuit with a
    constant-current load.
    """
    final = most(voltage - standing_current * resistance, 0.0)
    return final * exponential_rest(divide(-time, resistance * capacitance))


def inrush_current(voltage: Numbers, resistance: Numbers) -> Numbers:
    """Highest current into an empty capacitor, A: V / R.

    voltage in V, resistance of the whole loop in ohm. Inductance is left out, so it comes out high.
    Source: Ohm's law.
    """
    return divide(voltage, resistance)


def peak_power(voltage: Numbers, resistance: Numbers) -> Numbers:
    """Highest power in the precharge resistor, W: V^2 / R; what it takes for ever into a short.

    voltage in V, resistance in ohm. Source: Ohm's law.
    """
    return divide(voltage * voltage, resistance)


def bus_energy(capacitance: Numbers, voltage: Numbers) -> Numbers:
    """Energy in the charged capacitor, J: C V^2 / 2, with F and V."""
    return 0.5 * capacitance * voltage * voltage


def resistor_energy(capacitance: Numbers, voltage: Numbers) -> Numbers:
    """Heat in the resistor for each precharge, J: C V^2 / 2, whatever its resistance.

    capacitance in F, voltage in V. Valid for a full precharge from empty without a standing load.
    Source: TIDUF73 (2024), equations 3 and 4.
    """
    return bus_energy(capacitance, voltage)
