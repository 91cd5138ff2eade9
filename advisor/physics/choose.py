"""Arithmetic that treats numbers and arrays alike and never loses a NaN.

`np.where`, `fmin` and `clip`, a comparison in an `if`, and the two-argument `min` all turn an
unknown number into a known one. The other files of this package use the functions below instead;
a test refuses the rest.

Plain numbers are worked with `math`. Numpy is not imported here, because that costs a sixth of the
time of a whole screening; whoever passes an array has imported it.
"""

from __future__ import annotations

import math
import sys
from bisect import bisect_left
from collections.abc import Callable, Sequence
from functools import reduce
from operator import ge, gt, le, lt
from typing import Any, Literal, TypeAlias

__all__ = [
    "Numbers",
    "bounded",
    "choose",
    "divide",
    "exponential",
    "exponential_rest",
    "interpolated",
    "least",
    "logarithm",
    "most",
    "next_above",
    "power",
]

Numbers: TypeAlias = Any
"""A float, or a numpy array of floats. Numbers in, a float out; otherwise an array."""

Relation = Literal["<", "<=", ">", ">="]
_RELATIONS: dict[str, Callable[[Any, Any], Any]] = {"<": lt, "<=": le, ">": gt, ">=": ge}


def _plain_numbers(*values: Any) -> bool:
    """True when no value is an array."""
    for one in values:  # noqa: SIM110 - half the time of a generator, on the busiest path
        if not isinstance(one, (float, int)):
            return False
    return True


def _numpy() -> Any:
    """Numpy, which is loaded whenever an array exists."""
    return sys.modules["numpy"]


def _or_nan(result: Any, *inputs: Any) -> Numbers:
    """`result`, with NaN wherever an input is NaN."""
    np = _numpy()
    unknown = reduce(np.logical_or, (np.isnan(one) for one in inputs))
    return _as_plain(np.where(unknown, np.nan, result))


def _as_plain(result: Any) -> Numbers:
    return float(result) if _numpy().ndim(result) == 0 else result


def choose(left: Numbers, relation: Relation, right: Numbers, a: Numbers, b: Numbers) -> Numbers:
    """`a` where `left relation right` holds, else `b`; NaN where `left` or `right` is NaN.

    A NaN in the branch that is not taken does not matter.
    """
    if _plain_numbers(left, right, a, b):
        if math.isnan(left) or math.isnan(right):
            return math.nan
        return float(a if _RELATIONS[relation](left, right) else b)
    np = _numpy()
    holds = _RELATIONS[relation](np.asarray(left), np.asarray(right))
    return _or_nan(np.where(holds, a, b), left, right)


def least(*values: Numbers) -> Numbers:
    """The smallest of the values; NaN if one of them is NaN."""
    if _plain_numbers(*values):
        return math.nan if any(math.isnan(one) for one in values) else float(min(values))
    return _as_plain(reduce(_numpy().minimum, values))


def most(*values: Numbers) -> Numbers:
    """The largest of the values; NaN if one of them is NaN."""
    if _plain_numbers(*values):
        return math.nan if any(math.isnan(one) for one in values) else float(max(values))
    return _as_plain(reduce(_numpy().maximum, values))


def bounded(value: Numbers, low: Numbers, high: Numbers) -> Numbers:
    """`value`, but no less than `low` and no more than `high`; NaN if one of them is NaN."""
    return least(most(value, low), high)


def divide(a: Numbers, b: Numbers) -> Numbers:
    """a / b; infinite for b = 0, NaN for 0 / 0."""
    if _plain_numbers(a, b):
        if b == 0:
            sign = math.copysign(1.0, a) * math.copysign(1.0, b)
            return math.nan if a == 0 or math.isnan(a) else math.copysign(math.inf, sign)
        return float(a / b)
    np = _numpy()
    with np.errstate(divide="ignore", invalid="ignore", over="ignore", under="ignore"):
        return _as_plain(np.divide(a, b))


def power(base: Numbers, exponent: Numbers) -> Numbers:
    """base ** exponent; NaN for a negative base with a broken exponent."""
    if _plain_numbers(base, exponent):
        return _power(float(base), float(exponent))
    np = _numpy()
    with np.errstate(divide="ignore", invalid="ignore", over="ignore", under="ignore"):
        return _or_nan(np.float_power(base, exponent), base, exponent)


def _power(base: float, exponent: float) -> float:
    if math.isnan(base) or math.isnan(exponent):
        return math.nan
    try:
        return math.pow(base, exponent)
    except OverflowError:
        odd = exponent % 2 == 1
        return -math.inf if base < 0 and odd else math.inf
    except ValueError:
        if base != 0:
            return math.nan
        odd = exponent % 2 == 1
        return math.copysign(math.inf, base) if odd else math.inf


def logarithm(value: Numbers) -> Numbers:
    """Natural logarithm; minus infinite for 0, NaN below."""
    if _plain_numbers(value):
        if value == 0:
            return -math.inf
        return math.nan if value < 0 or math.isnan(value) else math.log(value)
    np = _numpy()
    with np.errstate(divide="ignore", invalid="ignore"):
        return _as_plain(np.log(value))


def exponential(value: Numbers) -> Numbers:
    """e ** value."""
    if _plain_numbers(value):
        try:
            return math.exp(value)
        except OverflowError:
            return math.inf
    np = _numpy()
    with np.errstate(over="ignore", under="ignore"):
        return _as_plain(np.exp(value))


def exponential_rest(value: Numbers) -> Numbers:
    """1 - e ** value, exact also for a value near 0."""
    if _plain_numbers(value):
        try:
            return -math.expm1(value)
        except OverflowError:
            return -math.inf
    np = _numpy()
    with np.errstate(over="ignore", under="ignore"):
        return _as_plain(-np.expm1(value))


def interpolated(at: Numbers, points: Sequence[float], values: Sequence[float]) -> Numbers:
    """Straight lines between `values` at the rising `points`; NaN outside of the points."""
    if not _plain_numbers(at):
        np = _numpy()
        return _as_plain(np.interp(at, points, values, left=np.nan, right=np.nan))
    if math.isnan(at) or not len(points) or at < points[0] or at > points[-1]:
        return math.nan
    above = bisect_left(points, at)
    if points[above] == at:
        return float(values[above])
    low, high = points[above - 1], points[above]
    share = (at - low) / (high - low)
    return float(values[above - 1] + share * (values[above] - values[above - 1]))


def next_above(value: Numbers, steps: Sequence[float]) -> Numbers:
    """The smallest of the rising `steps` that is not below `value`; NaN above the last one."""
    if _plain_numbers(value):
        found = bisect_left(steps, value)
        return math.nan if math.isnan(value) or found == len(steps) else float(steps[found])
    np = _numpy()
    longer = np.append(np.asarray(steps, dtype=float), np.nan)
    return _or_nan(longer[np.searchsorted(longer[:-1], value)], value)
