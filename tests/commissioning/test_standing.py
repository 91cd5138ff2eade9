"""A reading against its band: only a whole band can take it, one end can refuse it."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from advisor.commissioning.standing import Band

numbers = st.floats(-1e6, 1e6)


def band(low: float | None, high: float | None, unknown: bool = False) -> Band:
    return Band(low, high, None, (), unknown)


@given(numbers, numbers, numbers)
def test_inside_is_taken_and_outside_refused(value: float, one: float, other: float) -> None:
    low, high = min(one, other), max(one, other)
    held = band(low, high).holds(value)
    near = 1e-9 * max(abs(low), abs(high), abs(value))
    if low <= value <= high:
        assert held is True
    elif value < low - near or value > high + near:
        assert held is False


@given(numbers, numbers)
def test_an_end_that_is_wanted_and_unknown_never_takes_a_reading(value: float, low: float) -> None:
    assert band(low, None, unknown=True).holds(value) is not True
    assert band(None, low, unknown=True).holds(value) is not True
    assert band(None, None, unknown=True).holds(value) is None


@given(numbers, numbers)
def test_an_open_end_takes_everything_on_its_side(value: float, low: float) -> None:
    assert band(low, None).holds(value) is (value >= low or abs(value - low) <= 1e-9 * abs(low))


def test_a_limit_itself_is_inside_whatever_its_binary_form() -> None:
    """0.1 x 3 is not 0.3 in binary; a reading at its limit is inside."""
    assert band(0.1 * 3, 0.7).holds(0.3) is True
    assert band(0.0, 0.3).holds(0.1 * 3) is True


def test_words_are_compared_as_words() -> None:
    word = Band(None, None, "nothing", (), False)
    assert word.holds("nothing") is True and word.holds("plus") is False
    yes = Band(None, None, True, (), False)
    assert yes.holds(True) is True and yes.holds(False) is False
    assert band(1.0, 2.0).holds("yes") is None
