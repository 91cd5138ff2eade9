"""Trips: what the owner drives, and what the vehicle does on them."""

from __future__ import annotations

from advisor.vocabulary.attribute import (
    Ask,
    Subject,
    choice,
    count,
    flag,
    quantity,
    text,
)
from advisor.vocabulary.wiring import way

O, R = Ask.OWNER, Ask.DRIVE  # noqa: E741
SURFACES = "asphalt gravel hard-soil turf mud sand"

TRIP = Subject(
    "trip",
    "trip",
    "trips",
    True,
    (
        text("name", "what the owner calls it"),
        count("repeats", "how often it is driven on a day", O, at_least=1, at_most=200),
        count("passengers", "people carried, the driver among them", O, at_most=40),
        quantity("cargo", "kg", "cargo carried", O),
        quantity("trailer_mass", "kg", "mass of the trailer with its load", O),
        quantity("pause", "min", "time it stands after the trip", O),
        choice("season", "winter summer", "season in which it is driven; all year if not said", O),
        quantity("ambient", "degC", "temperature of the air on the trip", O),
        text("trace", "file with time, speed and grade, beside the sheet", O),
        # computed by driving it
        quantity("distance", "km", "length of the trip"),
        quantity("duration", "min", "time it takes"),
        quantity("energy", "kWh", "energy out of the battery, once"),
        quantity("consumption", "Wh/km", "energy for each kilometre"),
        quantity("current_peak", "A", "highest battery current"),
        quantity("current_10s", "A", "largest battery current over 10 s, root mean square"),
        quantity("current_1min", "A", "largest battery current over 1 min, root mean square"),
        quantity("current_10min", "A", "largest battery current over 10 min, root mean square"),
        quantity("current_hour", "A", "largest battery current over 60 min, root mean square"),
        quantity("time_above_continuous", "s", "longest time above the battery's continuous limit"),
        quantity("time_above_peak", "s", "longest time above the battery's peak limit"),
        quantity("time_above_device", "s", "longest time above the rating of the main device"),
        quantity("time_above_motor", "s", "longest time above the rated motor current"),
        quantity("voltage_least", "V", "lowest battery voltage"),
        quantity("motor_temperature", "degC", "highest temperature of the motor", at_most=1000),
        quantity("motor_temperature_allowed", "degC", "temperature its insulation stands"),
        quantity("speed_least", "%", "speed reached over speed wanted, least"),
        way("slow_where", "where it is slowest"),
        flag("stalls", "the drive cannot move it on a part of the trip", R, worse="high"),
        way("stalls_where", "where it stands still"),
        flag("management_opens", "the management opens on the way", R, worse="high"),
        way("management_opens_where", "where and when the management opens"),
        flag("controller_cuts_back", "the controller must cut its current back", worse="high"),
        way("controller_cuts_back_where", "where the controller cuts back"),
        flag("device_opens", "the main fuse or breaker opens on the way", R, worse="high"),
        way("device_opens_where", "where and when the main device opens"),
        flag(
            "runs_empty",
            "the battery is empty, or too low for the controller, before the end",
            R,
            worse="high",
        ),
        way("runs_empty_where", "where the battery no longer drives it"),
        flag("regeneration_refused", "regeneration is refused on a descent", worse="high"),
        way("regeneration_refused_why", "why and where regeneration is refused"),
        quantity("brake_heat", "kJ", "heat left for the friction brakes, once"),
        quantity("brake_power", "kW", "most that friction brakes must take on a descent"),
        way("brake_power_where", "where the friction brakes must take most"),
        quantity("downhill_power", "kW", "most that must be braked away on a descent"),
        quantity("downhill_speed", "km/h", "fastest speed on a descent"),
        quantity("cable_temperature", "degC", "highest temperature of a cable", at_most=1000),
        quantity(
            "cable_temperature_allowed",
            "degC",
            "temperature that the hottest cable stands",
            R,
            worse="low",
        ),
        quantity(
            "cable_temperature_after",
            "degC",
            "temperature of the hottest cable, read after the trip",
            R,
        ),
        quantity("cable_temperature_after_expected_max", "degC", "most that reading should be"),
        way("cable_hottest", "the cable that comes closest to what it stands, and where"),
    ),
)

SEGMENT = Subject(
    "segment",
    "part of a trip",
    "trips.segments",
    True,
    (
        text("name", "what the owner calls it"),
        quantity("distance", "m", "length of the part", O, at_most=200000),
        quantity("grade", "%", "grade, down is negative", O, at_least=-100, at_most=100),
        quantity("speed", "km/h", "speed the driver wants", O, at_most=120),
        choice("surface", SURFACES, "surface", O),
        count("stops", "stops on it, its end not counted", O, at_most=500),
        quantity("stop_time", "s", "time of each stop", O),
    ),
)

SUBJECTS = (TRIP, SEGMENT)
