"""Opening times between the points a standard sets, and two devices in series."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import curves, withstand

# UL 248-14, as a fuse guide prints it, for 30 A: opens at 135 % within 1 h, at 200 % within 2 min
SUPPLEMENTAL = ([40.5, 60.0], [3600.0, 120.0])


def test_points_of_a_supplemental_fuse() -> None:
    """The curve passes its points; below the first one the fuse need not open."""
    assert curves.opening_time(40.5, *SUPPLEMENTAL) == pytest.approx(3600.0)
    assert curves.opening_time(60.0, *SUPPLEMENTAL) == pytest.approx(120.0)
    assert curves.opening_time(30.0, *SUPPLEMENTAL) == math.inf  # it carries 100 %
    assert 120.0 < curves.opening_time(50.0, *SUPPLEMENTAL) < 3600.0
    assert curves.opening_time(1e4, *SUPPLEMENTAL) == pytest.approx(120.0)


@given(st.floats(50, 5000))
def test_constant_let_through_is_a_straight_line(current: float) -> None:
    """t = (k S / I)^2 of IEC 60364-4-43 is a line on log-log paper: two points give the whole."""
    factor, area = 115e6, 10e-6
    ends = [50.0, 5000.0]
    times = [withstand.withstand_time(one, factor, area) for one in ends]
    found = curves.opening_time(current, ends, times)
    assert found == pytest.approx(withstand.withstand_time(current, factor, area), rel=1e-9)
    assert withstand.let_through(current, found) == pytest.approx(
        withstand.withstand(factor, area), rel=1e-9
    )


@given(st.floats(1, 1e4), st.floats(1, 1e4))
def test_more_current_never_opens_later(one: float, other: float) -> None:
    less, more = sorted((one, other))
    points = ([40.0, 60.0, 200.0, 2000.0], [3600.0, 120.0, 1.0, 0.01])
    assert curves.opening_time(more, *points) <= curves.opening_time(less, *points)


def test_selectivity_of_two_devices() -> None:
    """Curves t = c / I^2 with c of 4 to 1: the load's device opens in a quarter of the time."""
    load = ([100.0, 1000.0], [10.0, 0.1])
    source = ([100.0, 1000.0], [40.0, 0.4])
    assert curves.selectivity(300.0, *load, *source) == pytest.approx(4.0)
    assert curves.selectivity(300.0, *source, *load) == pytest.approx(0.25)


def test_selectivity_where_a_device_does_not_open() -> None:
    load = ([100.0, 1000.0], [10.0, 0.1])
    source = ([400.0, 4000.0], [10.0, 0.1])
    found = curves.selectivity(np.array([50.0, 200.0, 400.0, math.nan]), *load, *source)
    assert math.isnan(found[0])  # neither
    assert found[1] == math.inf  # the load's device alone
    assert found[2] == pytest.approx(16.0)
    assert math.isnan(found[3])
    assert curves.selectivity(200.0, *source, *load) == 0.0  # only the source's: not selective
