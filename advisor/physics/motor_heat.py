"""How hot a motor gets: first order, with one time constant, and what its winding says."""

from __future__ import annotations

from advisor.physics.choose import Numbers, divide, exponential, exponential_rest, power

__all__ = [
    "insulation_life",
    "intermittent_factor",
    "rise_after",
    "rise_by_resistance",
    "short_time_factor",
    "steady_rise",
]


def rise_after(steady: Numbers, start: Numbers, time: Numbers, constant: Numbers) -> Numbers:
    """Rise over the air after a time, K: steady + (start - steady) exp(-t / tau).

    steady and start in K, time and constant in s. Source: first-order heating.
    """
    return steady + (start - steady) * exponential(divide(-time, constant))


def steady_rise(rated: Numbers, load: Numbers, constant_losses: Numbers = 0.0) -> Numbers:
    """Steady rise at a load, K: rated rise x (alpha + load^2) / (alpha + 1).

    load as current over rated current; constant_losses alpha as constant over copper losses at the
    rating. Source: losses of a machine; Dubey, Fundamentals of Electrical Drives, chapter 4.
    """
    return rated * divide(constant_losses + load * load, constant_losses + 1.0)


def short_time_factor(time: Numbers, constant: Numbers, constant_losses: Numbers = 0.0) -> Numbers:
    """Load over the rating that a cold motor stands for a time: sqrt((1+a)/(1-exp(-t/tau)) - a).

    time and constant in s. Source: Dubey, Fundamentals of Electrical Drives, chapter 4.
    """
    rest = exponential_rest(divide(-time, constant))
    return power(divide(1 + constant_losses, rest) - constant_losses, 0.5)


def intermittent_factor(
    time_on: Numbers,
    time_off: Numbers,
    constant: Numbers,
    constant_off: Numbers,
    constant_losses: Numbers = 0.0,
) -> Numbers:
    """Load over the rating that a motor stands for ever, some time on and some time off.

    times and constants (heating, cooling) in s. Source: Dubey, Fundamentals of Electrical Drives,
    chapter 4.
    """
    both = divide(time_on, constant) + divide(time_off, constant_off)
    rest = exponential_rest(divide(-time_on, constant))
    share = divide((1 + constant_losses) * exponential_rest(-both), rest)
    return power(share - constant_losses, 0.5)


def rise_by_resistance(
    cold: Numbers, hot: Numbers, start: Numbers, ambient: Numbers, zero: Numbers = 235.0
) -> Numbers:
    """Mean rise of a winding over the air by its resistance, K.

    (R2 - R1) / R1 (k + T1) + T1 - Ta. Resistances in ohm; start (winding, cold) and ambient in K;
    zero: 235 for copper, 225 for aluminium, 234.5 in older US texts. Source: IEC 60034-1, from
    memory; the formula is that of a linear resistance.
    """
    celsius = start - 273.15
    return divide(hot - cold, cold) * (zero + celsius) + start - ambient


def insulation_life(rated_life: Numbers, excess: Numbers) -> Numbers:
    """Life of insulation, in the unit of rated_life: halved by every 10 K above its temperature.

    excess in K. Source: 10 K rule, as in explanations of IEC 60085 and Hubert, Electric Machines.
    """
    return rated_life * power(2.0, -excess / 10.0)
