"""What a conductor withstands for a short time: heat that stays in the metal."""

from __future__ import annotations

import math

from advisor.physics.choose import Numbers, divide, exponential_rest, logarithm, power

__all__ = [
    "aluminium_withstand_factor",
    "area_for_fault",
    "fusing_time",
    "let_through",
    "short_time_temperature",
    "withstand",
    "withstand_factor",
    "withstand_margin",
    "withstand_time",
]

# IEC 60949:1988, as reproduced: K in A s^0.5/m2, and minus the temperature, K, at which the
# resistance would vanish. Aluminium (148 and 228 °C) from memory of the same standard.
_COPPER_K, _COPPER_ZERO = 226e6, 273.15 - 234.5
_ALUMINIUM_K, _ALUMINIUM_ZERO = 148e6, 273.15 - 228.0
_MELTING = 1083 + 273.15  # K, copper, Copper Development Association
_ONDERDONK_ZERO = 273.15 - 234.0
_CIRCULAR_MIL = math.pi / 4 * 0.0254e-3 * 0.0254e-3  # m2
_LN_10 = math.log(10.0)


def withstand_factor(initial: Numbers, final: Numbers) -> Numbers:
    """k of a copper conductor, A s^0.5/m2: 226e6 sqrt(ln((234.5 + Tf) / (234.5 + Ti))).

    initial and final temperature in K (in °C in the printed formula). No heat leaves the metal:
    valid to about 5 s. NaN for a final temperature below the initial one. Source: IEC 60949:1988,
    as reproduced; IEC 60364-5-54.
    """
    return _factor(initial, final, _COPPER_K, _COPPER_ZERO)


def aluminium_withstand_factor(initial: Numbers, final: Numbers) -> Numbers:
    """k of an aluminium conductor, A s^0.5/m2: 148e6 sqrt(ln((228 + Tf) / (228 + Ti))).

    initial and final temperature in K (in °C in the printed formula); valid to about 5 s. Source:
    IEC 60949:1988, its constants for aluminium from memory.
    """
    return _factor(initial, final, _ALUMINIUM_K, _ALUMINIUM_ZERO)


def _factor(initial: Numbers, final: Numbers, constant: float, zero: float) -> Numbers:
    return constant * power(logarithm(divide(final - zero, initial - zero)), 0.5)


def withstand(factor: Numbers, area: Numbers) -> Numbers:
    """I^2 t that a conductor withstands, A2 s: (k S)^2.

    factor k in A s^0.5/m2, area S in m2; valid to about 5 s. Source: IEC 60364-4-43.
    """
    return factor * area * factor * area


def withstand_time(current: Numbers, factor: Numbers, area: Numbers) -> Numbers:
    """Time until a conductor reaches the final temperature of its k, s: (k S / I)^2.

    current in A, factor in A s^0.5/m2, area in m2. Above 5 s it is shorter than the true time,
    because the heat that leaves is not counted. Source: IEC 60364-4-43.
    """
    ratio = divide(factor * area, current)
    return ratio * ratio


def area_for_fault(current: Numbers, time: Numbers, factor: Numbers) -> Numbers:
    """Least area for a fault current that flows for a time, m2: I sqrt(t) / k.

    current in A, time in s (0.1 to 5 s), factor in A s^0.5/m2. Source: IEC 60364-5-54.
    """
    return divide(current * power(time, 0.5), factor)


def short_time_temperature(
    current: Numbers, time: Numbers, area: Numbers, initial: Numbers
) -> Numbers:
    """Temperature of a copper conductor after a short time, K.

    (234.5 + Ti) exp((I / (226 S))^2 t) - 234.5, in °C, A, mm2, s. current in A, time in s, area in
    m2, initial temperature in K. No heat leaves the metal: valid to about 5 s. Source: IEC
    60949:1988, solved for the final temperature.
    """
    density = divide(current, _COPPER_K * area)
    rise = -exponential_rest(density * density * time)
    return initial + (initial - _COPPER_ZERO) * rise


def let_through(current: Numbers, time: Numbers) -> Numbers:
    """I^2 t of a steady current, A2 s, with current in A and time in s. Source: definition."""
    return current * current * time


def withstand_margin(withstood: Numbers, passed: Numbers) -> Numbers:
    """I^2 t that the conductor withstands over what its device lets through; safe from 1 up.

    Both in A2 s. Source: IEC 60364-4-43: I^2 t of the device no more than k^2 S^2.
    """
    return divide(withstood, passed)


def fusing_time(current: Numbers, area: Numbers, ambient: Numbers) -> Numbers:
    """Time until a bare copper conductor melts, s.

    log10((1083 - Ta) / (234 + Ta) + 1) / 33 (A / I)^2, printed for circular mils and °C. current in
    A, area in m2, ambient in K. Valid to about 5 s; a conductor is ruined long before. Source:
    Onderdonk's equation, E. R. Stauffacher, General Electric Review (1928).
    """
    ratio = divide(area, _CIRCULAR_MIL * current)
    rise = logarithm(divide(_MELTING - ambient, ambient - _ONDERDONK_ZERO) + 1)
    return rise * ratio * ratio / (33 * _LN_10)
