"""What the vehicle does on its trips, as text and as rows for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

import numpy as np

from advisor.driving.courses import Trip
from advisor.driving.road import Driven, Road
from advisor.driving.vehicle_results import top_speed
from advisor.facts import Facts
from advisor.facts.origins import Unknown
from advisor.findings.wording import fact_text
from advisor.report.page import Page, table_rows
from advisor.report.sentences import CAUTIONS
from advisor.units import show
from advisor.wiring.found import Found, chosen

_HEADS = ("part", "length", "grade", "wanted", "reached", "most", "energy", "charge left", "")
_ENDS = {
    "stalls": "the drive cannot move it here",
    "management_opens": "the management opens",
    "device_opens": "the main device opens",
    "runs_empty": "the battery no longer drives it",
}
_LINES = (
    ("battery", "range_warm", "One charge lasts for, warm"),
    ("battery", "range_cold", "One charge lasts for, at the coldest use"),
    ("vehicle", "top_speed_predicted", "Top speed the drive gives on the level, driver alone"),
    ("vehicle", "grade_start_predicted", "Steepest grade it starts on, loaded"),
    ("vehicle", "hold_force", "Force that the parking brake needs on the steepest grade"),
    ("vehicle", "mass_ratio", "Mass now against before"),
    ("vehicle", "mass_loaded", "Mass with the heaviest load"),
    ("vehicle", "axle_rear_loaded", "Load on the rear axle with it"),
    (
        "vehicle",
        "front_share_uphill",
        "Share of the weight on the front axle, steepest climb",
    ),
    ("vehicle", "stability_factor", "It tips at this sideways acceleration, in units of gravity"),
    (
        "vehicle",
        "stopping_distance",
        "Stopping distance from the fastest speed, level",
    ),
    ("vehicle", "stopping_distance_downhill", "The same down the steepest grade"),
    ("vehicle", "stopping_distance_before", "The same before the change, at the speed of then"),
)
_GRADES = (0.0, 0.05, 0.10, 0.15, 0.20)
_CHARGER_LINES = (
    ("day_charge_time", "Charge after that day takes"),
    ("day_energy", "Energy from the mains for it"),
)
_TRIP_LINES = (
    ("energy", "energy"),
    ("consumption", "that is"),
    ("current_peak", "highest current"),
    ("current_1min", "over 1 min"),
    ("current_10min", "over 10 min"),
    ("time_above_continuous", "above the continuous limit of the battery for"),
    ("time_above_motor", "above the rated motor current for"),
    ("voltage_least", "lowest voltage"),
    ("motor_temperature", "motor up to"),
    ("cable_temperature", "warmest cable"),
    ("downhill_power", "to be braked away downhill up to"),
    ("brake_power", "of it by the friction brakes up to"),
)


def render_road(facts: Facts, road: Road, system: str, width: int) -> str:
    """The trips of a build as text. `system` is "si" or "us"; `width` in columns."""
    page = Page(width)
    build = facts.build
    page.para(build.title or build.file)
    if isinstance(road.inputs, Found):
        page.heading("The trips cannot be driven yet")
        page.para("Missing, in the words of the sheet:")
        for key in sorted(road.inputs.missing or ()) or ["one motor and one controller"]:
            page.para(key, label="-")
    for name, one in road.trips.items():
        if isinstance(one, Found):
            page.heading(name)
            page.para(f"Missing: {', '.join(sorted(one.missing or ()))}")
    for name, driven in road.driven.items():
        _trip(page, facts, name, driven, system)
    if road.driven:
        page.heading("The day and the vehicle")
        _days(page, road, system)
        chargers = facts.instances("charger")
        for attribute, words in _CHARGER_LINES if len(chargers) == 1 else ():
            _line(page, facts, chargers[0], attribute, words, system)
        _grades(page, road, system)
        for part, attribute, words in _LINES:
            _line(page, facts, part, attribute, words, system)
    page.heading("How to read this")
    for text in (
        "Each trip is driven with a full battery, step by step of one second. Wanted is the speed "
        "of the sheet; reached is the least of the part, without starts and stops. Most is the "
        "highest battery current. A trip ends where the drive stands still, something opens, or "
        "the battery no longer drives it; what lies behind that place is not judged, and no day.",
        "Air drag, efficiency, grip of the tyres, rolling resistance and heating of the motor are "
        "partly assumed: take a fifth more or less. Try a new hill empty, at walking pace, with "
        "nobody below.",
        *CAUTIONS,
    ):
        page.para(text)
        page.line()
    return page.text()


def _days(page: Page, road: Road, system: str) -> None:
    """What is left after the day of each season."""
    if not road.days:
        page.para("Charge left after the day: not known, for a trip ends early", label="-")
    for season, day in road.days.items():
        left = show(max(float(day.trace.charge[-1, 0]), 0.0), "%", system, 3)
        air = show(day.inputs.air, "degC", system, 3)
        words = f"a {season} day at {air}" if season else "the day"
        page.para(f"Charge left after {words}: {left}", label="-")


def _grades(page: Page, road: Road, system: str) -> None:
    """Speeds that the drive holds on some grades with the heaviest load of the trips."""
    trips = [one for one in road.trips.values() if isinstance(one, Trip)]
    if isinstance(road.inputs, Found) or not trips:
        return
    heaviest = max(trips, key=lambda one: one.load.value)
    held = []
    for grade in _GRADES:
        speed = top_speed(road.inputs.vehicle, heaviest.load.value, grade, heaviest.towed)
        words = show(speed, "km/h", system, 2) if speed > 0.1 else "none"
        held.append(f"{words} at {show(grade, '%', system, 2)}")
    page.para(f"Speed it holds with its heaviest load, asphalt: {', '.join(held)}", label="-")


def _line(page: Page, facts: Facts, part: str, attribute: str, words: str, system: str) -> None:
    """One result; what the sheet gives no numbers for is left out."""
    fact = facts.fact(part, attribute)
    if not isinstance(fact, Unknown):
        page.para(f"{words}: {fact_text(fact, system)}", label="-")


def _trip(page: Page, facts: Facts, name: str, driven: Driven, system: str) -> None:
    words = chosen(facts, name, "name")
    page.heading(f"{name}: {words}" if words else name)
    rows: list[Sequence[str]] = [_HEADS]
    ended, last = driven.ended, driven.steps
    for number, part in enumerate(driven.trip.parts):
        steps = np.nonzero(driven.trace.course.piece[:last] == number)[0]
        if len(steps) == 0:
            rows.append((part, *("-",) * 6, "-", "not reached"))
            continue
        note = _ENDS[ended.what] if ended is not None and ended.step in steps else ""
        rows.append((part, *_cells(driven, steps, system), note))
    for text in table_rows(rows, (0, len(_HEADS) - 1)):
        page.row(text)
    page.line()
    facts_of_trip = [
        f"{words} {fact_text(fact, system)}"
        for attribute, words in _TRIP_LINES
        if not isinstance(fact := facts.fact(name, attribute), Unknown)
        and not (attribute in ("brake_power", "downhill_power") and fact.value == 0)
    ]
    page.para(f"Once: {'; '.join(facts_of_trip)}.")
    if driven.cut is not None:
        page.para(f"The controller cuts its current back: {driven.where(driven.cut)}.")
    if ended is not None:
        page.para(f"It ends early: {_ENDS[ended.what]}, {driven.where(ended)}.")


def _cells(driven: Driven, steps: np.ndarray, system: str) -> tuple[str, ...]:
    trace, course = driven.trace, driven.trace.course
    first = int(steps[0])
    energy = trace.energy[steps[-1], 0] - (trace.energy[first - 1, 0] if first else 0.0)
    steady = [k for k in steps if abs(course.acceleration[k]) < 1e-9 and course.speed[k] > 0]
    kept = steady or list(steps)
    slowest = min(kept, key=lambda k: trace.speed[k, 0] / max(course.speed[k], 1e-6))
    return (
        show(float(course.distance[steps].sum()), "m", system, 3),
        show(float(course.grade[slowest]), "%", system, 3),
        show(float(course.speed[slowest]), "km/h", system, 3),
        show(float(trace.speed[slowest, 0]), "km/h", system, 3),
        show(float(trace.current[steps, 0].max()), "A", system, 3),
        show(float(energy), "Wh", system, 3),
        show(float(max(trace.charge[steps[-1], 0], 0.0)), "%", system, 3),
    )


def trace_rows(road: Road) -> str:
    """Every step of every trip as comma-separated text, SI and plain units in the heads."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(
        [
            *("trip", "part", "time s", "distance m", "wanted km/h", "speed km/h", "grade %"),
            *("force N", "current A", "voltage V", "charge %", "motor rise K"),
        ]
    )
    for name, driven in road.driven.items():
        trace, course = driven.trace, driven.trace.course
        for k in range(driven.steps):
            part = int(course.piece[k])
            numbers = (
                trace.time[k, 0],
                trace.distance[k, 0],
                course.speed[k] * 3.6,
                trace.speed[k, 0] * 3.6,
                course.grade[k] * 100,
                trace.force[k, 0],
                trace.current[k, 0],
                trace.voltage[k, 0],
                trace.charge[k, 0] * 100,
                trace.rise[k, 0],
            )
            writer.writerow([name, driven.trip.parts[part], *(f"{one:.6g}" for one in numbers)])
    return out.getvalue()
