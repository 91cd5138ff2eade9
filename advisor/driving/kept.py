"""Drives that were driven before: the same vehicle on the same course goes the same way.

A trial of a fix changes one number; most trips are then driven as before.
"""

from __future__ import annotations

from dataclasses import fields

import numpy as np

from advisor.physics.course import Course, Floats
from advisor.physics.trip import Trace, Vehicle, drive

_MOST = 256
_Key = tuple[object, ...]
_kept: dict[_Key, Trace] = {}


def driven(vehicle: Vehicle, course: Course, share: Floats | None = None) -> Trace:
    """As `advisor.physics.trip.drive`; the arrays of the trace may be read, not written."""
    key = _key(vehicle, course, share)
    trace = _kept.get(key)
    if trace is None:
        trace = drive(vehicle, course, share)
        for one in fields(trace):
            value = getattr(trace, one.name)
            if isinstance(value, np.ndarray):
                value.setflags(write=False)
        if len(_kept) >= _MOST:
            del _kept[next(iter(_kept))]
        _kept[key] = trace
    return trace


def _key(vehicle: Vehicle, course: Course, share: Floats | None) -> _Key:
    """Every number of the drive, arrays with their shape."""
    numbers = [getattr(vehicle, name) for name in _OF_VEHICLE]
    numbers += [getattr(course, name) for name in _OF_COURSE]
    return tuple(_hashed(one) for one in (*numbers, share))


_OF_VEHICLE = tuple(one.name for one in fields(Vehicle))
_OF_COURSE = tuple(one.name for one in fields(Course))


def _hashed(value: object) -> object:
    if isinstance(value, np.ndarray):
        return value.dtype.str, value.shape, value.tobytes()
    return type(value), value


__all__ = ["driven"]
