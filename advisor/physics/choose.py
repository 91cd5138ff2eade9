"""Arithmetic that treats numbers and arrays alike and never loses a NaN.

`np.where`, `fmin` and `clip`, a comparison in an `if`, and the two-argument `min` all turn an
unknown number into a known one. The other files of this package use the functions below instead;
a test refuses the rest.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import reduce
from typing import Any, Literal, TypeAlias

import numpy as np

__all__ = [
    "Numbers",
    "bounded",
    "choose",
    "divide",
    "exponential",
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
_RELATIONS: dict[str, Callable[..., Any]] = {
    "<": np.less,
    "<=": np.less_equal,
    ">": np.greater,
    ">=": np.greater_equal,
}


def _plain(result: Any) -> Numbers:
    return float(result) if np.ndim(result) == 0 else result


def _or_nan(result: Any, *inputs: Any) -> Numbers:
    """`result`, with NaN wherever an input is NaN."""
    unknown = reduce(np.logical_or, (np.isnan(one) for one in inputs))
    return _plain(np.where(unknown, np.nan, result))


def choose(left: Numbers, relation: Relation, right: Numbers, a: Numbers, b: Numbers) -> Numbers:
    """`a` where `left relation right` holds, else `b`; NaN where `left` or `right` is NaN.

    A NaN in the branch that is not taken does not matter.
    """
    return _or_nan(np.where(_RELATIONS[relation](left, right), a, b), left, right)


def least(*values: Numbers) -> Numbers:
    """The smallest of the values; NaN if one of them is NaN."""
    return _plain(reduce(np.minimum, values))


def most(*values: Numbers) -> Numbers:
    """The largest of the values; NaN if one of them is NaN."""
    return _plain(reduce(np.maximum, values))


def bounded(value: Numbers, low: Numbers, high: Numbers) -> Numbers:
    """`value`, but no less than `low` and no more than `high`; NaN if one of them is NaN."""
    return least(most(value, low), high)


def divide(a: Numbers, b: Numbers) -> Numbers:
    """a / b; infinite for b = 0, NaN for 0 / 0."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore", under="ignore"):
        return _plain(np.divide(a, b))


def power(base: Numbers, exponent: Numbers) -> Numbers:
    """base ** exponent; NaN for a negative base with a broken exponent."""
    with np.errstate(divide="ignore", invalid="ignore", over="ignore", under="ignore"):
        return _or_nan(np.float_power(base, exponent), base, exponent)


def logarithm(value: Numbers) -> Numbers:
    """Natural logarithm; minus infinite for 0, NaN below."""
    with np.errstate(divide="ignore", invalid="ignore"):
        return _plain(np.log(value))


def exponential(value: Numbers) -> Numbers:
    """e ** value."""
    with np.errstate(over="ignore", under="ignore"):
        return _plain(np.exp(value))


def interpolated(at: Numbers, points: Numbers, values: Numbers) -> Numbers:
    """Straight lines between `values` at the rising `points`; NaN outside of the points."""
    return _plain(np.interp(at, points, values, left=np.nan, right=np.nan))


def next_above(value: Numbers, steps: Numbers) -> Numbers:
    """The smallest of the rising `steps` that is not below `value`; NaN above the last one."""
    longer = np.append(np.asarray(steps, dtype=float), np.nan)
    return _or_nan(longer[np.searchsorted(longer[:-1], value)], value)
