"""Time-current curves of fuses and breakers, as points joined on logarithmic scales."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.physics.choose import (
    Numbers,
    choose,
    divide,
    exponential,
    interpolated,
    least,
    logarithm,
)

__all__ = ["opening_time", "selectivity"]


def opening_time(current: Numbers, currents: Sequence[float], times: Sequence[float]) -> Numbers:
    """Time in which a device opens at a current, s: straight lines between points on log-log paper.

    current in A; rising currents in A and their times in s, all above zero. Below the first current
    infinite: the device need not open. Above the last one the last time, which is the longer side
    of a falling curve. Source: log-log plots of IEC 60269-1 and UL 248; a power law t = c I^n is
    a straight line there.
    """
    points = [logarithm(one) for one in currents]
    values = [logarithm(one) for one in times]
    at = least(logarithm(current), points[-1])
    time = exponential(interpolated(at, points, values))
    return choose(current, "<", currents[0], float("inf"), time)


def selectivity(
    current: Numbers,
    currents: Sequence[float],
    times: Sequence[float],
    source_currents: Sequence[float],
    source_times: Sequence[float],
) -> Numbers:
    """Opening time of the device nearer the source over that of the device nearer the load.

    Above 1 the load's device opens first at this current; a margin of at least 2 is common
    practice, no source. Infinite where only the load's device opens, NaN where neither does.
    current in A, curves as for `opening_time`. Below 0.01 s compare the I^2 t of the devices
    instead: their times say nothing there. Source: IEC 60269-1, selectivity by time.
    """
    nearer_source = opening_time(current, source_currents, source_times)
    return divide(nearer_source, opening_time(current, currents, times))
