"""A vehicle whose sheet lists no trips, or whose drive cannot be simulated: worked by hand."""

from __future__ import annotations

import math
import re

import pytest

from advisor.driving.survey import surveyed
from advisor.facts import Facts
from advisor.facts.origins import Unknown
from advisor.sheet.reading import read_sheet_bytes
from tests.driving.sheets import TWIN, facts, number, text_of, value

USUAL = "  passengers: 2\n  cargo: 150 kg\n  trailer_mass: 100 kg\n"


def without_trips(*lines: str, use: str = USUAL) -> Facts:
    """The sheet without its trips, with a load of its use and other lines about the vehicle."""
    text = re.sub(r"^trips:\n.*?(?=^\S)", "", text_of(TWIN), flags=re.M | re.S)
    text = re.sub(r"^  (passengers|cargo|trailer_mass):.*\n", "", text, flags=re.M)
    text = text.replace("use:\n", "use:\n" + use, 1)
    text = text.replace("vehicle:\n", "vehicle:\n" + "".join(f"  {one}\n" for one in lines), 1)
    return surveyed(read_sheet_bytes(text.encode(), "sheet.yaml"))


def missing(found: Facts, part: str, name: str) -> frozenset[str]:
    fact = found.fact(part, name)
    assert isinstance(fact, Unknown), fact
    return fact.facts


def test_the_load_of_its_use_stands_for_that_of_trips() -> None:
    """2 x 80 kg + 150 kg + a tenth of the trailer (common practice, no source)."""
    found = without_trips()
    assert number(found, "vehicle", "payload_carried") == pytest.approx(2 * 80 + 150 + 10)
    empty, added = number(found, "vehicle", "mass_empty"), number(found, "vehicle", "mass_added")
    assert number(found, "vehicle", "mass_loaded") == pytest.approx(empty + added + 320)


def test_the_brakes_hold_all_of_the_trailer_on_the_grade() -> None:
    """Weight x sine of the slope (Newton): the part on the hitch and the part on its own wheels."""
    found = without_trips()
    all_of_it = number(found, "vehicle", "mass_loaded") + 90
    grade = number(found, "use", "grade_max")
    sine = grade / math.hypot(1, grade)
    pull = number(found, "vehicle", "hold_force")
    assert pull == pytest.approx(all_of_it * 9.80665 * sine)


def test_what_is_missing_for_the_load_is_named() -> None:
    found = without_trips(use="")
    lacking = {"use.passengers", "use.cargo", "use.trailer_mass"}
    assert missing(found, "vehicle", "payload_carried") == lacking
    assert missing(found, "vehicle", "mass_loaded") == lacking


def test_no_person_is_taken_for_granted_without_trips() -> None:
    found = without_trips(use="  cargo: 150 kg\n  trailer_mass: 0 kg\n")
    assert missing(found, "vehicle", "payload_carried") == {"use.passengers"}


def test_without_trips_it_stands_still_on_none() -> None:
    assert value(without_trips(), "vehicle", "stalls_on_a_trip") is False


def test_the_load_does_not_wait_for_a_drive_that_can_be_simulated() -> None:
    whole = facts(TWIN)
    bare = facts(TWIN, ("  gear_ratio:", "  # gear_ratio:"))
    assert value(bare, "vehicle", "grade_start_predicted") is None
    for name in ("payload_carried", "mass_loaded", "hold_force"):
        assert number(bare, "vehicle", name) == number(whole, "vehicle", name)


@pytest.mark.parametrize(
    ("air", "cold", "left"),
    [
        ("5 .. 35 degC", "", 1 - 12 / 30),  # no frost: the warm way alone counts
        ("-10 .. 35 degC", "  range_cold: 24 km\n", 1 - 12 / 24),
        ("-10 .. 35 degC", "", None),  # in frost the cold way must be known
        ("5 .. 35 degC", "  range_cold: 24 km\n", 1 - 12 / 30),
    ],
)
def test_a_tried_range_tells_what_a_day_leaves(air: str, cold: str, left: float | None) -> None:
    """12 km of 30 km take two fifths of the charge."""
    text = (
        "sheet: 1\nuse:\n  distance_per_day: 12 km\n"
        f"  ambient: {air}\nbattery:\n  range_warm: 30 km\n{cold}"
    )
    found = surveyed(read_sheet_bytes(text.encode(), "sheet.yaml"))
    after = value(found, "battery", "charge_after_day")
    assert after == (None if left is None else pytest.approx(left))


def test_a_day_longer_than_the_range_leaves_nothing() -> None:
    text = (
        "sheet: 1\nuse: {distance_per_day: 40 km, ambient: 5 .. 35 degC}\n"
        "battery: {range_warm: 30 km}\n"
    )
    found = surveyed(read_sheet_bytes(text.encode(), "sheet.yaml"))
    assert number(found, "battery", "charge_after_day") == 0


def test_a_cable_that_cannot_be_computed_is_read_after_the_trip() -> None:
    """Without the warmest use no cable temperature can be told; what would tell it is named."""
    text = re.sub(r"^  ambient:.*\n", "", text_of(TWIN), flags=re.M)
    found = surveyed(read_sheet_bytes(text.encode(), "sheet.yaml"))
    lacking = missing(found, "beds-and-back", "cable_temperature")
    assert "beds-and-back.cable_temperature_after" in lacking
    assert "use.ambient_max" in lacking
