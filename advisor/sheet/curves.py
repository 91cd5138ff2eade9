"""The time-current curve of a device as a person writes it, such as `2 x 60 s, 10 x 1 s`."""

from __future__ import annotations

import re
from itertools import pairwise

from advisor.problems import shown
from advisor.sheet.build import Instance
from advisor.sheet.notes import Notes
from advisor.sheet.values import ValueProblemError
from advisor.units import DIMENSIONS, Quantity, UnitError, parse

_FORM = "write points such as 1.35 x 3600 s, 2 x 60 s, 10 x 0.02 s"
_TIMES = re.compile(r"\s*[x×]\s*")
_LARGEST = 1000.0


def read_curve(text: str) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Rising multiples of the rating and the falling times (s) in which the device opens.

    Raises ValueProblemError for fewer than two points, for a multiple of 1 or less (a device
    carries its rating), and where the multiples do not rise or the times do not fall.
    """
    points = [_point(one.strip()) for one in text.split(",")]
    if len(points) < 2:
        raise ValueProblemError(f"{shown(text)} is one point of a curve", f"{_FORM}: two or more")
    for (multiple, time, one), (higher, shorter, other) in pairwise(points):
        if higher <= multiple:
            problem = f"{shown(other)} comes after {shown(one)}, which is as high or higher"
            raise ValueProblemError(problem, "write the points by rising multiple, each once")
        if shorter >= time:
            problem = f"{shown(other)} takes as long as {shown(one)}, or longer"
            raise ValueProblemError(problem, "check both points: more current opens it sooner")
    return tuple(one[0] for one in points), tuple(one[1] for one in points)


def _point(text: str) -> tuple[float, float, str]:
    """Multiple, time (s) and text of one point."""
    parts = _TIMES.split(text)
    if len(parts) != 2 or not all(parts):
        raise ValueProblemError(f"{shown(text)} is no point of a curve", _FORM)
    multiple = _plain(parts[0], "pure", "", "a multiple of the rating")
    time = _plain(parts[1], "time", "s", "an opening time")
    if multiple > _LARGEST:
        problem = f"{shown(parts[0])} is too much for a multiple of the rating"
        raise ValueProblemError(problem, "write current / rating, such as 10 x 0.02 s")
    if multiple <= 1.0:
        problem = f"{shown(parts[0])} is no multiple of the rating at which it opens"
        raise ValueProblemError(problem, "write current / rating, above 1, such as 1.35 x 3600 s")
    if time <= 0.0:
        raise ValueProblemError(f"{shown(parts[1])} is no opening time", "write a time above 0 s")
    return multiple, time, text


def _plain(text: str, dimension: str, unit: str, what: str) -> float:
    """One number without a tolerance."""
    try:
        found: Quantity = parse(text, DIMENSIONS[dimension], unit)
    except UnitError as error:
        advice = error.advice if dimension == "time" else ""
        raise ValueProblemError(f"{shown(text)} is not {what}", advice or _FORM) from None
    if found.low is not None:
        raise ValueProblemError(f"{shown(text)} has a tolerance", "write the longest time it takes")
    return found.value


def check_curve(one: Instance, path: str, notes: Notes) -> None:
    """Note a curve of a part that cannot be read, wherever it is written."""
    for written in (
        *(values["curve"] for values in (one.values, one.settings) if "curve" in values),
        *one.readings.get("curve", ()),
    ):
        try:
            read_curve(str(written.value))
        except ValueProblemError as error:
            notes.add(written.place, path, error.problem, error.advice)
