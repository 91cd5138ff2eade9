"""Two points of a motor on the bench: `48 V 60 A 3100 rpm, 48 V 150 A 2400 rpm`."""

from __future__ import annotations

from typing import NamedTuple

from advisor.problems import shown
from advisor.sheet.build import Instance
from advisor.sheet.notes import Notes
from advisor.sheet.values import ValueProblemError
from advisor.units import DIMENSIONS, UnitError, parse

_FORM = "write two points such as 48 V 60 A 3100 rpm, 48 V 150 A 2400 rpm"


class Point(NamedTuple):
    """Terminal voltage (V), current (A) and speed (rad/s) at one load."""

    volts: float
    amps: float
    turning: float


def read_points(text: str) -> tuple[Point, Point]:
    """Two points of a motor at different loads. Raises ValueProblemError."""
    listed = [one.strip() for one in text.split(",")]
    if len(listed) != 2:
        raise ValueProblemError(f"{shown(text)} is not two points", _FORM)
    first, second = (_point(one) for one in listed)
    if first.amps == second.amps or first.turning == second.turning:
        problem = f"{shown(listed[1])} is at the same load as {shown(listed[0])}"
        raise ValueProblemError(problem, "measure at another current, so that the speed differs")
    same_voltage = abs(first.volts - second.volts) <= 0.02 * first.volts
    if same_voltage and (first.amps < second.amps) == (first.turning < second.turning):
        problem = f"{shown(text)} turns faster at more current"
        raise ValueProblemError(problem, "check both: more load makes it slower at one voltage")
    return first, second


def _point(text: str) -> Point:
    words = text.split()
    if len(words) != 6:
        raise ValueProblemError(f"{shown(text)} is no point of a motor", _FORM)
    pairs = [" ".join(words[n : n + 2]) for n in (0, 2, 4)]
    found = []
    for pair, dimension, spelling in zip(
        pairs, ("voltage", "current", "rotation speed"), ("V", "A", "rpm"), strict=True
    ):
        try:
            value = parse(pair, DIMENSIONS[dimension], spelling).value
        except UnitError as error:
            raise ValueProblemError(f"{shown(pair)}: {error.problem}", _FORM) from None
        if value <= 0:
            raise ValueProblemError(f"{shown(pair)} is not above zero", _FORM)
        found.append(value)
    return Point(*found)


def check_points(one: Instance, path: str, notes: Notes) -> None:
    """Note bench points of a motor that cannot be read."""
    written = one.values.get("bench_points")
    if written is None:
        return
    try:
        read_points(str(written.value))
    except ValueProblemError as error:
        notes.add(written.place, path, error.problem, error.advice)
