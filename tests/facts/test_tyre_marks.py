"""What the marks on a sidewall say, and how a weighing tells the height of gravity."""

from __future__ import annotations

import math

import pytest

from advisor.tables.reader import table
from advisor.vocabulary.vehicle import TYRE_SPEEDS
from tests.facts.making import facts, known, number, unknown

LOADS = {50: 190, 60: 250, 65: 290, 70: 335, 73: 365, 80: 450, 85: 515, 88: 560, 95: 690, 100: 800}
"""kg by load index: the table that the UN Regulations 30 and 106 print, from memory."""


@pytest.mark.parametrize(("index", "load"), LOADS.items())
def test_a_load_index_never_promises_more_than_the_table(index: int, load: float) -> None:
    """Within 2.5 % below it: the series of ISO 3 less its rounding."""
    told = number(facts(f"vehicle: {{tyre_load_index: {index}}}\n"), "vehicle.tyre_load_max")
    assert 0.975 * load <= told <= load


def test_a_stated_load_comes_before_the_index() -> None:
    text = "vehicle: {tyre_load_index: 70, tyre_load_max: 300 kg}\n"
    assert number(facts(text), "vehicle.tyre_load_max") == 300


def test_the_letter_tells_the_speed() -> None:
    """A8 40 km/h, B 50 km/h, J 100 km/h (UN Regulations 30 and 106, from memory)."""
    for letter, speed in (("a3", 15), ("a8", 40), ("b", 50), ("j", 100)):
        told = known(facts(f"vehicle: {{tyre_speed_symbol: {letter}}}\n"), "vehicle.tyre_speed_max")
        assert told.value == pytest.approx(speed / 3.6)


def test_every_letter_has_a_speed_and_they_rise() -> None:
    assert list(table("tyre-speed").rows) == TYRE_SPEEDS.split()
    found = [table("tyre-speed").value(one, "speed") for one in TYRE_SPEEDS.split()]
    speeds = [float(one.value) for one in found if one is not None]
    assert len(speeds) == len(found) and speeds == sorted(set(speeds))


def test_no_mark_is_asked_for_as_the_speed_itself() -> None:
    lacking = unknown(facts("vehicle: {seats: 2}\n"), "vehicle.tyre_speed_max").facts
    assert lacking == {"vehicle.tyre_speed_max"}


@pytest.mark.parametrize("rise", [0.25, 0.40])
@pytest.mark.parametrize("height", [0.45, 0.55, 0.75])
def test_two_weighings_tell_the_height_of_the_centre_of_gravity(rise: float, height: float) -> None:
    """The sum that the step of the guide does, on a vehicle turned by plane geometry.

    Hubs, wheels and scales: each wheel stands straight below its hub, so the front scales carry
    weight x (way from the rear hub to the centre) / (way from hub to hub), both level. The step
    takes the wheelbase for its level length: at most 4 % too high above the hubs, never too low.
    """
    mass, wheelbase, hub, from_rear = 500.0, 1.65, 0.22, 0.75
    tilt = math.asin(rise / wheelbase)
    # the centre, seen from the rear hub, forward and up; the nose turns down by the tilt
    forward, up = from_rear, height - hub
    level_way = forward * math.cos(tilt) + up * math.sin(tilt)
    front_tilted = mass * level_way / (wheelbase * math.cos(tilt))
    gained = front_tilted - mass * from_rear / wheelbase
    told = gained * wheelbase**2 / (mass * rise) + hub
    assert height <= told <= hub + 1.04 * (height - hub)
