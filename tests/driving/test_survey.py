"""Trips of a sheet driven: what is missing, what stops where, what changes with load and grade."""

from __future__ import annotations

import csv
import io

import pytest

from advisor.driving.courses import PERSON, Trip
from advisor.driving.road import Road
from advisor.driving.survey import surveyed
from advisor.driving.vehicle_results import top_speed
from advisor.facts.origins import Fact, Unknown
from advisor.report.driving import render_road, trace_rows
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet_bytes
from advisor.wiring.found import Found
from tests.driving.sheets import TWIN, facts, text_of, value

WITH_TRIPS = [name for name in example_sheets() if name != "three-facts"]


@pytest.mark.parametrize("name", WITH_TRIPS)
def test_every_example_with_trips_can_be_driven(name: str) -> None:
    found = facts(name)
    road = Road(found)
    assert not isinstance(road.inputs, Found)
    assert road.trips and all(isinstance(one, Trip) for one in road.trips.values())
    for trip in road.trips:
        assert isinstance(value(found, trip, "energy"), float)
    left = value(found, "battery", "charge_after_day")
    if any(one.ended for one in road.driven.values()):
        assert left is None, "a day is not told where a trip ends early"
    else:
        assert isinstance(left, float) and 0 <= left < 1
    assert "The day and the vehicle" in render_road(found, road, "us", 100)


def test_a_heavier_trailer_fails_where_the_numbers_say() -> None:
    """Of 450 A x 0.153 N m/A x 14 x 0.95 / 0.26 m = 3.52 kN the ramp of 12 % on gravel takes

    (0.1191 + 0.04 x 0.9929) of the weight: it starts with up to 2260 kg, and not with more.
    """
    ramp = "pit ramp"
    light, heavy = (
        facts(
            "seventy-two-volt-hauler",
            (
                "    cargo: 350 kg\n    pause",
                f"    cargo: 350 kg\n    trailer_mass: {kg} kg\n    pause",
            ),
        )
        for kg in (600, 1700)
    )
    assert value(light, "gravel", "stalls") is False
    assert value(heavy, "gravel", "stalls") is True
    assert str(value(heavy, "gravel", "stalls_where")).startswith(ramp)
    found = Road(light).inputs
    assert not isinstance(found, Found)
    constant = 7500 / (3600 * 2 * 3.141592653589793 / 60) / 130
    assert found.vehicle.pull == pytest.approx(450 * constant * 14 * 0.95 / 0.26, rel=1e-6)


def test_more_load_takes_more_and_goes_less_far() -> None:
    usual = facts(TWIN)
    more = facts(TWIN, ("    cargo: 600 lb\n    pause", "    cargo: 700 lb\n    pause"))
    for part, name, sign in (
        ("beds-and-back", "energy", 1),
        ("battery", "range_warm", -1),
        ("battery", "charge_after_day", -1),
        ("vehicle", "hold_force", 1),
        ("vehicle", "grade_start_predicted", -1),
    ):
        a, b = value(usual, part, name), value(more, part, name)
        assert isinstance(a, float) and isinstance(b, float)
        assert sign * (b - a) > 0, name


def test_people_and_cargo_are_added() -> None:
    """2 people of 80 kg and 600 lb: 160 + 272.16 kg, by definition."""
    trip = Road(facts(TWIN)).trips["beds-and-back"]
    assert isinstance(trip, Trip)
    assert trip.load.value == pytest.approx(2 * PERSON + 600 * 0.45359237)


def test_what_is_missing_is_named_and_nothing_guessed() -> None:
    found = facts(TWIN, ('  gear_ratio: "12.4"\n', ""))
    unknown = found.fact("beds-and-back", "energy")
    assert isinstance(unknown, Unknown) and "vehicle.gear_ratio" in unknown.facts
    text = render_road(found, Road(found), "si", 100)
    assert "vehicle.gear_ratio" in text and "The day" not in text


def test_results_rest_on_assumptions_and_say_so() -> None:
    fact = facts(TWIN).fact("beds-and-back", "energy")
    assert isinstance(fact, Fact) and fact.assumed


def test_a_small_main_fuse_opens_on_the_trip() -> None:
    """Class T at 150 A carries 109 A over a minute; one of 50 A has twice its rating for long."""
    found = facts(
        TWIN,
        ("role: main, kind: class-t, rating: 150 A", "role: main, kind: class-t, rating: 50 A"),
    )
    assert value(found, "beds-and-back", "device_opens") is True
    assert "field path" in str(value(found, "beds-and-back", "device_opens_where")) or value(
        found, "beds-and-back", "device_opens_where"
    )
    assert value(facts(TWIN), "beds-and-back", "device_opens") is False


def test_a_board_that_only_watches_opens_nothing() -> None:
    assert value(facts("bargain-parts"), "lake-road", "management_opens") is False


def test_the_top_speed_is_where_drive_and_drag_meet() -> None:
    """On the level at that speed the power at the wheels is what the limit gives, within 1 %."""
    inputs = Road(facts(TWIN)).inputs
    assert not isinstance(inputs, Found)
    vehicle = inputs.vehicle
    speed = top_speed(vehicle)
    mass = vehicle.mass + PERSON
    force = mass * 9.80665 * 0.02 + 0.5 * vehicle.density * vehicle.drag_area * speed**2
    volts = 57.5  # full and lightly loaded, 16 cells
    most = min(vehicle.limit * volts * vehicle.efficiency, vehicle.weakened * volts)
    bound = min(vehicle.top_speed, most / force)
    assert speed == pytest.approx(bound, rel=0.03)


def test_the_trace_opens_in_a_spreadsheet() -> None:
    rows = list(csv.reader(io.StringIO(trace_rows(Road(facts(TWIN))))))
    assert rows[0][:4] == ["trip", "part", "time s", "distance m"]
    assert {len(row) for row in rows} == {12}
    distance = [float(row[3]) for row in rows[1:]]
    assert distance == sorted(distance)
    whole = 2 * 300 * 0.9144 + 2 * 200 * 0.9144 + 2 * 0.4 * 1609.344
    assert distance[-1] == pytest.approx(whole, rel=1e-5)


def test_what_is_towed_does_not_press_on_the_driven_wheels() -> None:
    """Grip is that of the vehicle alone, on mud 0.75 x 0.6 of the 55 % on its driven axle."""
    light = facts("winter-hauler")
    road = Road(light)
    inputs, trip = road.inputs, road.trips["gully"]
    assert not isinstance(inputs, Found) and isinstance(trip, Trip)
    alone = inputs.vehicle.mass + PERSON
    whole = inputs.vehicle.mass + trip.load.value
    assert trip.towed == pytest.approx(900 * 0.45359237)
    grip = 0.75 * 0.6 * 0.55 * 9.80665 * alone  # from memory; common practice
    mud = 0.15  # rolling coefficient of the surface of `use`, from memory
    sine = min(inputs.vehicle.pull, grip) / (whole * 9.80665) - mud
    assert value(light, "vehicle", "grade_start_predicted") == pytest.approx(
        sine / (1 - sine * sine) ** 0.5, rel=1e-3
    )


def test_the_slow_trip_of_the_management_opens_after_its_delay() -> None:
    """Two packs share the current: at 50 A each for 5 s the field path at 140 A is too much."""
    text = text_of(TWIN).replace("over_current_1: 250 A, over_current_1_time: 30 s",
                                 "over_current_1: 50 A, over_current_1_time: 5 s")  # fmt: skip
    found = surveyed(read_sheet_bytes(text.encode(), "sheet.yaml"))
    assert value(found, "beds-and-back", "management_opens") is True
    assert value(facts(TWIN), "beds-and-back", "management_opens") is False


def test_a_controller_with_little_for_the_hour_cuts_back() -> None:
    """(350^2 - 40^2) A2 x 2 s above the hour are used up where the motor takes 100 A long."""
    old = "motor_current_peak_time: 60 s, motor_current_hour: 140 A"
    found = facts(TWIN, (old, "motor_current_peak_time: 2 s, motor_current_hour: 40 A"))
    assert value(found, "beds-and-back", "controller_cuts_back") is True
    assert value(found, "beds-and-back", "controller_cuts_back_where")
    assert value(facts(TWIN), "beds-and-back", "controller_cuts_back") is False


def test_the_voltage_of_a_magnet_motor_at_the_fastest_speed() -> None:
    """k w: 7 kW / 3000 rpm / 170 A = 0.1311 V s; 12 mph, 12.4 to 1, 11 in: 238.1 rad/s, 31.2 V."""
    found = value(facts("winter-hauler"), "ac-motor", "back_voltage_fastest")
    constant = 7000 / (3000 * 2 * 3.141592653589793 / 60) / 170
    assert found == pytest.approx(constant * 12 * 0.44704 * 12.4 / (11 * 0.0254), rel=0.01)


def test_behind_an_early_end_nothing_is_said_to_be_well() -> None:
    """The trip stands still in the gully: whether a fuse would open later is not known."""
    found = facts("winter-hauler")
    assert value(found, "gully", "stalls") is True
    for name in ("device_opens", "management_opens", "runs_empty", "controller_cuts_back"):
        assert value(found, "gully", name) is None, name
    assert value(found, "battery", "range_warm") is None


@pytest.mark.parametrize(
    "change",
    [
        (
            "foldback_start: 46 V, undervoltage_cutoff: 43 V",
            "foldback_start: 57 V, undervoltage_cutoff: 56 V",
        ),
        ("capacity: 100 Ah", "capacity: 3 Ah"),
    ],
)
def test_a_battery_that_is_too_low_or_empty_ends_the_trip(change: tuple[str, str]) -> None:
    """Rested and full the pack has 57.6 V (16 x 3.6 V): below 56 V at a few amperes or soon."""
    old, new = change
    text = text_of(TWIN)
    found = surveyed(read_sheet_bytes(text.replace(old, new).encode(), "sheet.yaml"))
    assert text.count(old) >= 1
    assert value(found, "beds-and-back", "runs_empty") is True
    assert value(found, "beds-and-back", "runs_empty_where")


def test_rounds_of_a_day_heat_the_motor_more_than_one() -> None:
    """Six rounds with pauses too short to cool; the first alone is cooler."""
    short = ("    pause: 20 min\n", "    pause: 1 min\n")
    once = facts(TWIN, short, ("    repeats: 6\n", "    repeats: 1\n"))
    often = facts(TWIN, short)
    one, six = (value(one, "beds-and-back", "motor_temperature") for one in (once, often))
    assert isinstance(one, float) and isinstance(six, float) and six > one + 5
