"""A drive that was driven before is the same trace, and one that differs in any number is not."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest

from advisor.driving.inputs import Inputs
from advisor.driving.kept import driven
from advisor.driving.road import Road
from advisor.physics.trip import drive
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet
from advisor.wiring.survey import surveyed


@pytest.fixture(scope="module")
def road() -> Road:
    return Road(surveyed(read_sheet(example_sheets()["bargain-parts"])))


def test_it_goes_as_it_would_have_gone(road: Road) -> None:
    assert isinstance(road.inputs, Inputs)
    vehicle = road.inputs.vehicle
    course = next(iter(road.driven.values())).trip.course
    fresh, kept = drive(vehicle, course), driven(vehicle, course)
    assert driven(vehicle, course) is kept
    for one in fields(kept):
        if one.name != "course":
            np.testing.assert_array_equal(getattr(kept, one.name), getattr(fresh, one.name))


def test_every_number_tells_drives_apart(road: Road) -> None:
    assert isinstance(road.inputs, Inputs)
    vehicle = road.inputs.vehicle
    course = next(iter(road.driven.values())).trip.course
    first = driven(vehicle, course)
    for one in fields(vehicle):
        value = getattr(vehicle, one.name)
        other = not value if isinstance(value, bool) else value * 1.001 + 1e-6
        with np.errstate(all="ignore"):
            changed = driven(replace(vehicle, **{one.name: other}), course)
        assert changed is not first, one.name
    for one in fields(course):
        other = getattr(course, one.name) + 1
        assert driven(vehicle, replace(course, **{one.name: other})) is not first, one.name
    assert driven(vehicle, course, np.full(len(course.time), 0.9)) is not first


def test_a_kept_trace_cannot_be_written_to(road: Road) -> None:
    trace = next(iter(road.driven.values())).trace
    with pytest.raises(ValueError, match="read-only"):
        trace.speed[0, 0] = 1.0
