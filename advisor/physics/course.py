"""A course as arrays over time: what a driver wants, one step after another.

A course is made of pieces, each with a distance, a grade, a speed and a number of stops. Between
pieces, and from and to a stop, the speed changes at a steady rate.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Row = tuple[float, float, float, int]

STEP = 1.0
"""Step, s: halving it changes no reported number by more than 1 %."""
ACCELERATION = 0.8
"""How fast a driver changes speed, m/s2. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A stretch of road: m, rise over run, m/s, rolling coefficient, load in kg, stops in s.

    `towed` is the part of the load, kg, that stands on a trailer; `grip` what the surface lets
    tyres hold, as a share of a dry road.
    """

    distance: float
    grade: float
    speed: float
    rolling: float
    load: float = 0.0
    stops: int = 0
    stop_time: float = 10.0
    towed: float = 0.0
    grip: float = 1.0


@dataclass(frozen=True, slots=True)
class Course:
    """Arrays over the steps: s, m/s at the middle of a step, m/s2, rise over run, -, kg, number.

    `distance` is the way of a step, m; `piece` the number of its piece, -1 while standing between
    trips; `trip` the number of the trip.
    """

    time: Floats
    speed: Floats
    acceleration: Floats
    grade: Floats
    rolling: Floats
    load: Floats
    towed: Floats
    grip: Floats
    piece: NDArray[np.int64]
    trip: NDArray[np.int64]

    @property
    def distance(self) -> Floats:
        """Way of every step, m."""
        return self.speed * self.time


def course_of(pieces: Sequence[Piece], step: float = STEP, rate: float = ACCELERATION) -> Course:
    """A trip over some pieces, from rest to rest, in steps of about `step` s.

    A piece that is too short for its speed is driven as fast as its length lets the driver speed up
    and slow down again. Each piece keeps its distance exactly.
    """
    speeds = [*(one.speed for one in pieces), 0.0]
    rows: list[tuple[float, float, float, int]] = []
    at = 0.0
    for number, one in enumerate(pieces):
        after = min(speeds[number + 1], one.speed)
        runs = max(one.stops, 0) + 1
        for run in range(runs):
            leave = after if run == runs - 1 else 0.0
            rows += _stretch(one.distance / runs, at, one.speed, leave, step, rate, number)
            at = max(rows[-1][1] + rows[-1][2] * rows[-1][0] / 2, 0.0)
            if run < runs - 1 and one.stop_time > 0:
                rows.append((one.stop_time, 0.0, 0.0, number))
                at = 0.0
    time, speed, acceleration = (np.array([row[n] for row in rows], float) for n in range(3))
    piece = np.array([row[3] for row in rows], int)
    grade, rolling, load, towed, grip = (
        np.array([getattr(pieces[n], name) for n in piece], float)
        for name in ("grade", "rolling", "load", "towed", "grip")
    )
    trip = np.zeros_like(piece)
    return Course(time, speed, acceleration, grade, rolling, load, towed, grip, piece, trip)


def _stretch(
    distance: float,
    start: float,
    target: float,
    leave: float,
    step: float,
    rate: float,
    number: int,
) -> list[Row]:
    """Steps over a distance from one speed to another, cruising in between."""
    target = max(target, 1e-3)
    leave = min(leave, target)
    top = target
    needed = (abs(top * top - start * start) + top * top - leave * leave) / (2 * rate)
    if needed > distance and start <= target:  # too short: as fast as it goes
        top = math.sqrt(max((2 * rate * distance + start * start + leave * leave) / 2, 1e-6))
        top = min(max(top, leave, start), target)
    parts = [
        (low, high, abs(high * high - low * low) / (2 * rate))
        for low, high in ((start, top), (top, leave))
        if abs(high - low) > 1e-9
    ]
    changing = sum(length for _, _, length in parts)
    if changing > distance:  # it brakes harder than usual
        parts = [(low, high, length * distance / changing) for low, high, length in parts]
    elif distance - changing > 1e-9:
        before = 1 if abs(start - top) > 1e-9 else 0
        parts.insert(before, (top, top, distance - changing))
    return [row for part in parts for row in _ramp(*part, step, number)]


def _ramp(low: float, high: float, length: float, step: float, number: int) -> list[Row]:
    """Steps of a steady change of speed; the last one of a rise is short, as power peaks there."""
    whole = 2 * length / (low + high)
    change = (high - low) / whole
    steps = max(1, round(whole / step))
    edges = [whole * n / steps for n in range(steps + 1)]
    if change > 0:
        edges.insert(-1, whole - min(0.1 * step, 0.5 * whole / steps))
    return [
        (end - begin, low + change * (begin + end) / 2, change, number)
        for begin, end in pairwise(edges)
    ]


def recorded(
    time: Sequence[float],
    speed: Sequence[float],
    grade: Sequence[float],
    rolling: float,
    load: float,
    towed: float = 0.0,
    grip: float = 1.0,
) -> Course:
    """A drive as it was recorded: s, m/s and rise over run at some moments, joined by lines.

    rolling, load, the towed part of it and the grip hold for all of it.
    """
    at, fast, slope = (np.asarray(one, float) for one in (time, speed, grade))
    steps = np.diff(at)
    number = np.zeros(len(steps), int)
    return Course(
        steps,
        (fast[1:] + fast[:-1]) / 2,
        np.diff(fast) / steps,
        (slope[1:] + slope[:-1]) / 2,
        np.full(len(steps), rolling),
        np.full(len(steps), load),
        np.full(len(steps), towed),
        np.full(len(steps), grip),
        number,
        number,
    )


def day_of(trips: Sequence[tuple[Course, int, float]], step: float = STEP) -> Course:
    """A day: courses in order, each driven some times, with a pause in s after each."""
    kept: list[Course] = []
    number = 0
    for course, times, pause in trips:
        for _ in range(times):
            kept.append(_numbered(course, number))
            if pause > 0:
                kept.append(_pause(course, pause, step, number))
            number += 1
    joined = [np.concatenate([getattr(one, name) for one in kept]) for name in _NAMES]
    return Course(*joined)


_NAMES = tuple(one.name for one in fields(Course))


def _numbered(course: Course, number: int) -> Course:
    return replace(course, trip=np.full_like(course.piece, number))


def _pause(course: Course, pause: float, step: float, number: int) -> Course:
    steps = max(1, round(pause / max(60.0 * step, 1.0)))
    still = np.zeros(steps)
    last = course.load[-1] if len(course.load) else 0.0
    return Course(
        np.full(steps, pause / steps),
        still,
        still,
        still,
        still,
        np.full(steps, last),
        still,
        still + 1.0,
        np.full(steps, -1),
        np.full(steps, number),
    )
