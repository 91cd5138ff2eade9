"""Copper conductors: gauge, resistance, voltage drop."""

from __future__ import annotations

import math

from advisor.physics.choose import Numbers, divide, power

__all__ = [
    "area_for_drop",
    "gauge_area",
    "gauge_diameter",
    "resistance",
    "resistivity",
    "temperature_factor",
    "voltage_drop",
]

_COPPER_20 = 1e-6 / 58  # ohm m, annealed copper at 20 °C: 58 MS/m, IEC 60028:1925
_COEFFICIENT_20 = 0.00393  # 1/K, NBS Handbook 100 (1966)
_KELVIN_20 = 293.15


def gauge_diameter(gauge: Numbers) -> Numbers:
    """Diameter of a solid American Wire Gauge conductor, m: 0.127 mm x 92^((36 - n) / 39).

    gauge as a number: 0 for 1/0, -1 for 2/0, -2 for 3/0, -3 for 4/0. Valid from 4/0 to 40.
    Source: ASTM B258.
    """
    return 0.127e-3 * power(92.0, (36 - gauge) / 39)


def gauge_area(gauge: Numbers) -> Numbers:
    """Copper area of an American Wire Gauge conductor, m2: pi d^2 / 4. Source: ASTM B258."""
    diameter = gauge_diameter(gauge)
    return math.pi / 4 * diameter * diameter


def temperature_factor(temperature: Numbers, reference: Numbers = _KELVIN_20) -> Numbers:
    """Resistance of copper at one temperature over that at another.

    (1 + 0.00393 (T - 20 °C)) / (1 + 0.00393 (T_ref - 20 °C)), temperatures in K. Valid from about
    -50 to 200 °C. Source: NBS Handbook 100 (1966).
    """
    hot = 1 + _COEFFICIENT_20 * (temperature - _KELVIN_20)
    return divide(hot, 1 + _COEFFICIENT_20 * (reference - _KELVIN_20))


def resistivity(temperature: Numbers = _KELVIN_20) -> Numbers:
    """Resistivity of annealed copper, ohm m, at a temperature in K. Source: IEC 60028:1925."""
    return _COPPER_20 * temperature_factor(temperature)


def resistance(length: Numbers, area: Numbers, temperature: Numbers = _KELVIN_20) -> Numbers:
    """Resistance of a copper conductor, ohm: rho l / A.

    length of the conductor in m (out and back for a pair); area in m2; temperature in K. For solid
    annealed copper; stranded is about 2 % higher. Source: IEC 60028:1925, NBS Handbook 100.
    """
    return divide(resistivity(temperature) * length, area)


def voltage_drop(
    current: Numbers, length: Numbers, area: Numbers, temperature: Numbers = _KELVIN_20
) -> Numbers:
    """Voltage lost along a copper conductor, V: I rho l / A.

    current in A, length out and back in m, area in m2, temperature in K. Source: Ohm's law.
    """
    return current * resistance(length, area, temperature)


def area_for_drop(
    current: Numbers, length: Numbers, drop: Numbers, temperature: Numbers = _KELVIN_20
) -> Numbers:
    """Copper area that keeps a voltage drop, m2: rho I l / V.

    current in A, length out and back in m, drop in V, temperature in K. Source: ABYC E-11 form
    CM = K I L / E, with K the resistivity.
    """
    return divide(resistivity(temperature) * current * length, drop)
