"""Opening times of generic classes of fuses and breakers, for devices whose curve is not stated."""

from __future__ import annotations

from functools import cache

from advisor.tables.reader import table


@cache
def curve_of(kind: str) -> tuple[tuple[float, ...], tuple[float, ...]] | None:
    """Rising multiples of the rating and falling opening times (s) of a class of device.

    None for a kind that the table lacks. The curves are invented for the demo: they show the shape
    of a class, and the device itself may open much sooner or later. Source: table `device-curves`.
    """
    found = table("device-curves")
    points = [
        (found.value(row, "multiple"), found.value(row, "time"))
        for row in found.rows
        if (named := found.value(row, "kind")) is not None and named.value == kind
    ]
    pairs = [(float(at.value), float(time.value)) for at, time in points if at and time]
    if not pairs:
        return None
    return tuple(at for at, _ in pairs), tuple(time for _, time in pairs)
