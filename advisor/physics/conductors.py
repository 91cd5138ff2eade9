"""Copper and aluminium conductors: gauge, resistance, voltage drop."""

from __future__ import annotations

import math

from advisor.physics.choose import Numbers, divide, power

__all__ = [
    "aluminium_resistance",
    "aluminium_resistivity",
    "aluminium_temperature_factor",
    "area_for_drop",
    "boat_area_for_drop",
    "building_area_for_drop",
    "coefficient",
    "gauge_area",
    "gauge_diameter",
    "measured_to_20",
    "resistance",
    "resistivity",
    "round_trip_drop",
    "temperature_factor",
    "voltage_drop",
]

_COPPER_20 = 1e-6 / 58  # ohm m, annealed copper at 20 °C: 58 MS/m, IEC 60028:1925
_COEFFICIENT_20 = 0.00393  # 1/K, NBS Handbook 100 (1966)
_KELVIN_20 = 293.15
_ALUMINIUM_20 = 2.8264e-8  # ohm m, 61 % of annealed copper: IEC 60889, from memory
_ALUMINIUM_COEFFICIENT_20 = 0.00403  # 1/K, IEC 60889, from memory; NEC prints 0.00330 at 75 °C
_CIRCULAR_MIL_PER_FOOT = math.pi / 4 * 0.0254e-3 * 0.0254e-3 / 0.3048  # m
_BOAT_K = 10.75  # ohm-cmil/ft, annealed copper at 29 °C: ABYC E-11, as reproduced
_BUILDING_K = 12.9  # ohm-cmil/ft, stranded copper at 75 °C: practice with NEC chapter 9 Table 8


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


def coefficient(reference: Numbers = _KELVIN_20) -> Numbers:
    """Temperature coefficient of copper on the base of a temperature in K, 1/K.

    0.00393 / (1 + 0.00393 (T_ref - 20 °C)): 0.00393 on 20 °C and 0.00323 on 75 °C are the same
    copper; never mix the bases. Source: NBS Handbook 100 (1966); NEC chapter 9 Table 8 note 2.
    """
    return divide(_COEFFICIENT_20, 1 + _COEFFICIENT_20 * (reference - _KELVIN_20))


def measured_to_20(temperature: Numbers) -> Numbers:
    """Factor that turns a resistance measured at a temperature in K into that at 20 °C.

    250 / (230 + T), T in °C; for copper and aluminium, 5 to 90 °C. Its coefficient is a round
    0.004, so it differs from `temperature_factor` by up to 0.5 %. Source: IEC 60228 annex, as
    reproduced, its closed form fitted.
    """
    return divide(250.0, 230.0 + (temperature - 273.15))


def aluminium_temperature_factor(temperature: Numbers, reference: Numbers = _KELVIN_20) -> Numbers:
    """Resistance of aluminium at one temperature over that at another, both in K.

    (1 + 0.00403 (T - 20 °C)) / (1 + 0.00403 (T_ref - 20 °C)). Valid from about -50 to 200 °C.
    Source: IEC 60889, from memory; on 75 °C it gives the 0.00330 of NEC chapter 9 Table 8.
    """
    hot = 1 + _ALUMINIUM_COEFFICIENT_20 * (temperature - _KELVIN_20)
    return divide(hot, 1 + _ALUMINIUM_COEFFICIENT_20 * (reference - _KELVIN_20))


def aluminium_resistivity(temperature: Numbers = _KELVIN_20) -> Numbers:
    """Resistivity of conductor aluminium, ohm m, at a temperature in K. Source: IEC 60889,
    28.264 nanoohm m at 20 °C, from memory.
    """
    return _ALUMINIUM_20 * aluminium_temperature_factor(temperature)


def aluminium_resistance(
    length: Numbers, area: Numbers, temperature: Numbers = _KELVIN_20
) -> Numbers:
    """Resistance of a solid aluminium conductor, ohm: rho l / A, with m, m2 and K.

    length of the conductor (out and back for a pair). Source: IEC 60889, from memory.
    """
    return divide(aluminium_resistivity(temperature) * length, area)


def round_trip_drop(current: Numbers, one_way: Numbers, per_metre: Numbers) -> Numbers:
    """Voltage lost out and back in a pair of conductors, V: 2 I l r.

    current in A, one way length in m, resistance of one conductor in ohm/m at its temperature (from
    a table of its class). Source: NEC practice VD = 2 L I R / 1000.
    """
    return 2 * current * one_way * per_metre


def boat_area_for_drop(current: Numbers, there_and_back: Numbers, drop: Numbers) -> Numbers:
    """Copper area that keeps a voltage drop by boat practice, m2: CM = K I L / E, K = 10.75.

    current in A, length out AND back in m, drop in V. Cool copper (29 °C): the drop of a hot cable
    is larger. Source: ABYC E-11, as reproduced.
    """
    return divide(_BOAT_K * _CIRCULAR_MIL_PER_FOOT * current * there_and_back, drop)


def building_area_for_drop(current: Numbers, one_way: Numbers, drop: Numbers) -> Numbers:
    """Copper area that keeps a voltage drop by building practice, m2: CM = 2 K I L / VD, K = 12.9.

    current in A, length ONE WAY in m, drop in V. Stranded copper at 75 °C. Source: practice with
    NEC chapter 9 Table 8.
    """
    return divide(2 * _BUILDING_K * _CIRCULAR_MIL_PER_FOOT * current * one_way, drop)
