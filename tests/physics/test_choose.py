"""Choosing, bounding and dividing without losing an unknown."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics.choose import (
    bounded,
    choose,
    divide,
    exponential,
    exponential_rest,
    interpolated,
    least,
    logarithm,
    most,
    next_above,
    power,
)

NAN = math.nan
NUMBER = st.floats(allow_nan=False, allow_infinity=False)


@pytest.mark.parametrize(
    ("left", "relation", "right", "expected"),
    [
        (1, "<", 2, 10.0),
        (2, "<", 2, 20.0),
        (2, "<=", 2, 10.0),
        (3, ">", 2, 10.0),
        (2, ">", 2, 20.0),
        (2, ">=", 2, 10.0),
    ],
)
def test_choose_takes_the_first_where_the_relation_holds(
    left: float, relation: str, right: float, expected: float
) -> None:
    found = choose(left, relation, right, 10.0, 20.0)
    assert found == expected
    assert type(found) is float


def test_choose_keeps_an_unknown_condition_unknown() -> None:
    assert math.isnan(choose(NAN, "<", 1.0, 10.0, 20.0))
    assert math.isnan(choose(1.0, ">", NAN, 10.0, 20.0))
    np.testing.assert_array_equal(
        choose(np.array([1.0, NAN, 3.0]), "<", 2.0, 10.0, 20.0), [10.0, NAN, 20.0]
    )


def test_choose_does_not_mind_an_unknown_in_the_branch_not_taken() -> None:
    assert choose(1.0, "<", 2.0, 10.0, NAN) == 10.0
    assert math.isnan(choose(3.0, "<", 2.0, 10.0, NAN))


@given(NUMBER, NUMBER)
def test_least_and_most_are_those_of_known_numbers(a: float, b: float) -> None:
    assert least(a, b) == min(a, b)
    assert most(a, b) == max(a, b)


@given(st.lists(NUMBER, max_size=3), st.lists(NUMBER, max_size=3))
def test_least_and_most_keep_an_unknown_in_any_place(before: list, after: list) -> None:
    assert math.isnan(least(*before, NAN, *after))
    assert math.isnan(most(*before, NAN, *after))


def test_bounded() -> None:
    assert [bounded(x, 0.0, 1.0) for x in (-1.0, 0.5, 2.0)] == [0.0, 0.5, 1.0]
    assert math.isnan(bounded(NAN, 0.0, 1.0))
    assert math.isnan(bounded(0.5, NAN, 1.0))
    assert math.isnan(bounded(0.5, 0.0, NAN))


def test_divide_follows_ieee_754_for_numbers_and_arrays() -> None:
    assert divide(1.0, 4.0) == 0.25
    assert divide(1.0, 0.0) == math.inf
    assert divide(-1.0, 0.0) == -math.inf
    assert math.isnan(divide(0.0, 0.0))
    np.testing.assert_array_equal(
        divide(np.array([1.0, -1.0, 0.0]), 0.0), [math.inf, -math.inf, NAN]
    )


def test_power_keeps_unknowns_that_ieee_754_would_lose() -> None:
    assert power(2.0, 10.0) == 1024.0
    assert math.isnan(power(NAN, 0.0))
    assert math.isnan(power(1.0, NAN))
    assert math.isnan(power(-1.0, 0.5))
    assert power(1e300, 2.0) == math.inf


def test_logarithm_and_exponential_neither_raise_nor_warn() -> None:
    assert logarithm(0.0) == -math.inf
    assert math.isnan(logarithm(-1.0))
    assert exponential(-1e9) == 0.0
    assert exponential(1e9) == math.inf
    assert type(exponential(0.0)) is float
    assert exponential_rest(-1e-12) == pytest.approx(1e-12, rel=1e-9)
    assert exponential_rest(1e9) == -math.inf


def test_interpolated_is_unknown_outside_of_the_points() -> None:
    points, values = [0.0, 1.0, 3.0], [10.0, 20.0, 0.0]
    assert interpolated(2.0, points, values) == 10.0
    np.testing.assert_array_equal(
        interpolated(np.array([-0.1, 0.0, 3.0, 3.1, NAN]), points, values),
        [NAN, 10.0, 0.0, NAN, NAN],
    )


def test_next_above_includes_the_step_itself_and_ends_unknown() -> None:
    assert [next_above(x, [15, 20, 25]) for x in (0.0, 15.0, 15.1, 25.0)] == [15, 15, 20, 25]
    assert math.isnan(next_above(25.1, [15, 20, 25]))
    assert math.isnan(next_above(NAN, [15, 20, 25]))
