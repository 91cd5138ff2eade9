"""Standing: how long a battery lasts that nobody charges."""

from __future__ import annotations

from advisor.physics.choose import Numbers, divide

__all__ = ["charge_drained", "drain_of_power", "time_to_empty"]


def time_to_empty(
    available: Numbers, drain: Numbers, self_discharge: Numbers, capacity: Numbers
) -> Numbers:
    """Time until the available charge is gone, s: Q / (I + s C).

    available charge in C; drain in A; self-discharge as a fraction of the rated capacity per
    second; rated capacity in C. A constant drain and a self-discharge that stays that of a full
    battery: the latter slows down as a battery empties, so the time comes out short.
    Infinite if nothing draws. Source: charge balance, the usual arithmetic of the trade.
    """
    return divide(available, drain + self_discharge * capacity)


def charge_drained(
    drain: Numbers, self_discharge: Numbers, capacity: Numbers, time: Numbers
) -> Numbers:
    """Charge lost while standing, C: (I + s C) t, in the terms of `time_to_empty`."""
    return (drain + self_discharge * capacity) * time


def drain_of_power(power: Numbers, voltage: Numbers) -> Numbers:
    """Current of a constant power at battery voltage, A: P / V, with W and V."""
    return divide(power, voltage)
