"""Ratings of fuses and breakers, and current shunts."""

from __future__ import annotations

from advisor.physics.choose import Numbers, choose, divide, least, next_above

__all__ = [
    "building_device_limit",
    "continuous_load",
    "continuous_rating",
    "device_distance_limit",
    "device_upper_limit",
    "next_standard_rating",
    "shunt_continuous_limit",
    "shunt_power",
    "shunt_resistance",
    "shunt_scale",
]

_INCH = 0.0254  # m


def continuous_rating(current: Numbers, factor: Numbers = 1.25) -> Numbers:
    """Least rating for a continuous current, A: 1.25 I.

    A building rule for loads of three hours or more; on a vehicle a yardstick. Source: NEC
    210.20(A), 215.3, as reproduced.
    """
    return current * factor


def continuous_load(rating: Numbers, factor: Numbers = 1.25) -> Numbers:
    """Highest continuous current of a rating, A: I / 1.25, that is 80 %.

    Source: NEC 210.23(A)(1) and Table 210.21(B)(2), as reproduced.
    """
    return divide(rating, factor)


def next_standard_rating(current: Numbers, ratings: Numbers) -> Numbers:
    """The smallest of the rising standard ratings that is not below a current, A.

    NaN above the largest one. Source of the ratings: NEC 240.6(A).
    """
    return next_above(current, ratings)


def device_upper_limit(ampacity: Numbers, voltage: Numbers, ratings: Numbers) -> Numbers:
    """Largest device that may protect a conductor on a boat, A.

    ampacity of the conductor in A; nominal circuit voltage in V; rising standard ratings in A.
    Below 50 V: 150 % of the ampacity. From 50 V: the ampacity, or the next standard rating if that
    is no more than 150 %. NaN above the largest rating. Source: 33 CFR 183.455.
    """
    half_more = 1.5 * ampacity
    rating = next_above(ampacity, ratings)
    from_50 = choose(rating, "<=", half_more, rating, ampacity)
    return choose(voltage, "<", 50.0, half_more, from_50)


def building_device_limit(ampacity: Numbers, ratings: Numbers) -> Numbers:
    """Largest device that may protect a conductor in a building, A.

    ampacity in A; rising standard ratings in A. The next standard rating up to 800 A, above that no
    more than the ampacity. 14, 12 and 10 AWG have their own limits (15, 20 and 30 A). NaN above the
    largest rating up to 800 A. Source: NEC 240.4(B) and (C), from memory.
    """
    return choose(ampacity, "<=", 800.0, next_above(ampacity, ratings), ampacity)


def device_distance_limit(sheathed: Numbers, from_battery: Numbers) -> Numbers:
    """Longest unprotected conductor between a source and its device, m: 7, 40 or 72 in.

    sheathed: 1 for a conductor in a sheath, conduit or enclosure all the way, else 0; from_battery:
    1 where the source is a battery terminal, else 0. 7 in unsheathed; sheathed 40 in, or 72 in from
    a battery terminal. Starter circuits are excepted, and the law (33 CFR 183.455) has no 72 in and
    wants the device at the source where that is practical. Sources disagree whether 72 in needs
    the sheath; the stricter reading is taken. Source: ABYC E-11, as reproduced; 33 CFR 183.455.
    """
    by_source = choose(from_battery, ">", 0.5, 72 * _INCH, 40 * _INCH)
    return least(by_source, choose(sheathed, ">", 0.5, 72 * _INCH, 7 * _INCH))


def shunt_resistance(rating: Numbers, voltage: Numbers) -> Numbers:
    """Resistance of a shunt, ohm: voltage over current at its rating (V, A). Source: Ohm's law."""
    return divide(voltage, rating)


def shunt_scale(resistance: Numbers, set_rating: Numbers, set_voltage: Numbers) -> Numbers:
    """What a monitor shows over what flows: R I_set / V_set; 1 when it is set for its shunt.

    resistance of the shunt in ohm; rating in A and voltage in V that are set in the monitor.
    Source: Ohm's law.
    """
    return divide(resistance * set_rating, set_voltage)


def shunt_power(resistance: Numbers, current: Numbers) -> Numbers:
    """Heat in a shunt, W: R I^2, with ohm and A. Source: Ohm's law."""
    return resistance * current * current


def shunt_continuous_limit(rating: Numbers) -> Numbers:
    """Current a shunt carries for more than two minutes, A: two thirds of its rating.

    Source: three shunt makers' notes; no standard was found.
    """
    return rating * 2 / 3
