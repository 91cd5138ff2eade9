"""Drives the trips of a build and gives what came out to the rules."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np

from advisor.driving.courses import PERSON, Trip, usual_rolling
from advisor.driving.inputs import GEAR, Inputs
from advisor.driving.road import Driven, Event, Road
from advisor.facts import Facts, facts_of
from advisor.facts.origins import Key
from advisor.facts.traced import Traced
from advisor.physics.braking import hold_force
from advisor.physics.course import Course
from advisor.physics.trip import Vehicle, drive, rolling_rms, time_above
from advisor.sheet.build import Build
from advisor.wiring.found import Found, chosen, combined, read
from advisor.wiring.survey import survey

_WORDS = (
    "driven step by step; ASSUMED in it: gear and inverter 95 %, tyres that grip with 0.6 of the "
    "55 % of the weight on the driven axle, 80 kg for a person, air drag where it is not stated"
)
_SOURCE = "simulation of the trip, balance of forces and of energy"
_WINDOWS = {"10s": 10.0, "1min": 60.0, "10min": 600.0, "hour": 3600.0}
_COLD_CAPACITY = {"lfp": 0.65, "nmc": 0.75, "nca": 0.75, "lmo": 0.70, "lto": 0.85}
"""Share of the capacity at about -10 degC. From memory; makers differ widely."""


def surveyed(build: Build) -> Facts:
    """The facts of a build with what its plan of the cables and its trips give."""
    return facts_of(build).with_survey(_both)


def _both(facts: Facts) -> Mapping[Key, Traced]:
    """The plan first: the trips read what it gives."""
    plan = survey(facts)
    return {**plan, **driving(facts.with_survey(lambda _: plan))}


def driving(facts: Facts) -> Mapping[Key, Traced]:
    """The facts that the trips of a build give; none without trips."""
    if not facts.instances("trip"):
        return {}
    road = Road(facts)
    found: dict[Key, Traced] = {}
    if isinstance(road.inputs, Found):
        return _missing(road, road.inputs)
    for name, trip in road.trips.items():
        if isinstance(trip, Found):
            found |= {
                (name, one): Traced(None, _SOURCE, missing=trip.missing or frozenset())
                for one in _NEEDED
            }
    for name, one in road.driven.items():
        found |= _of_trip(road, road.inputs, name, one)
    found |= _of_day(road, road.inputs)
    found |= _of_vehicle(road, road.inputs)
    return found


_NEEDED = (
    *("stalls", "management_opens", "device_opens", "runs_empty", "motor_temperature"),
    *("speed_least", "energy", "current_peak"),
)


def _missing(road: Road, missing: Found) -> dict[Key, Traced]:
    keys = missing.missing or frozenset()
    found = {
        (trip, name): Traced(None, _SOURCE, missing=keys) for trip in road.trips for name in _NEEDED
    }
    found["battery", "charge_after_day"] = Traced(None, _SOURCE, missing=keys)
    return found


def _of_trip(road: Road, inputs: Inputs, name: str, one: Driven) -> dict[Key, Traced]:
    trace, trip = one.trace, one.trip
    rests = combined(0.0, [*inputs.rests, *trip.rests])
    last = one.steps
    current, time = trace.current[:last], trace.time[:last]
    wanted = trace.course.speed[:last, None]
    moving = wanted > 0.5
    share = np.where(moving, trace.speed[:last] / np.maximum(wanted, 1e-6), 1.0)
    slowest = int(np.argmin(share[:, 0]))
    energy = float(trace.energy[last - 1, 0])
    way = float(trace.distance[last - 1, 0])
    temperature = inputs.air + road.hottest(name)
    values: dict[str, float | str | bool] = {
        "distance": float(trace.distance[-1, 0]),
        "duration": float(time[-1, 0]),
        "energy": max(energy, 0.0),
        "consumption": max(energy / way, 0.0) if way > 0 else 0.0,
        "current_peak": float(current.max()),
        "voltage_least": float(trace.voltage[:last].min()),
        "motor_temperature": temperature,
        "motor_temperature_allowed": inputs.insulation_limit,
        "speed_least": float(np.clip(share[slowest, 0], 0.0, 1.0)),
        "brake_heat": float(trace.friction[last - 1, 0]),
    }
    values |= {
        f"current_{label}": float(rolling_rms(current, time, seconds)[0])
        for label, seconds in _WINDOWS.items()
    }
    limit = read(road.facts, "battery", "discharge_continuous")
    if limit.known:
        values["time_above_continuous"] = float(time_above(current, time, limit.value)[0])
    if share[slowest, 0] < 0.98:
        slow = Event("", slowest, float(time[slowest, 0]), float(trace.distance[slowest, 0]))
        values["slow_where"] = one.where(slow)
    values |= _happened(road, one)
    cut = road.cut_back(one)
    controllers = road.facts.instances("controller")
    rated = ("motor_current_hour", "motor_current_peak", "motor_current_peak_time")
    knows = len(controllers) == 1 and all(
        read(road.facts, controllers[0], name).known for name in rated
    )
    if knows and (cut is not None or one.ended is None):
        values["controller_cuts_back"] = cut is not None
    if cut is not None:
        values["controller_cuts_back_where"] = one.where(cut)
    refused = (trace.charge[:last] >= inputs.vehicle.full) & (trace.force[:last] < 0)
    values["regeneration_refused"] = bool(inputs.vehicle.regeneration > 0 and refused.any())
    return {(name, key): _traced(value, rests) for key, value in values.items()}


def _happened(road: Road, one: Driven) -> dict[str, float | str | bool]:
    """What ends the trip, and what surely does not happen on it.

    After an early end nothing is known: what else would happen shows when that is mended.
    """
    if one.ended is not None:
        what = one.ended.what
        return {what: True, f"{what}_where": one.where(one.ended)}
    sure = {"stalls", "runs_empty"}
    limits = ("discharge_continuous", "discharge_peak")
    if all(read(road.facts, "battery", name).known for name in limits):
        sure.add("management_opens")
    if road.device is not None:
        sure.add("device_opens")
    return dict.fromkeys(sorted(sure), False)


def _of_day(road: Road, inputs: Inputs) -> dict[Key, Traced]:
    day = road.day
    if day is None:
        return {}
    trips = [one.rests for one in road.trips.values() if isinstance(one, Trip)]
    rests = combined(0.0, [*inputs.rests, *(one for rest in trips for one in rest)])
    left = float(day.charge[-1, 0])
    way = float(day.distance[-1, 0])
    found = {("battery", "charge_after_day"): _traced(max(left, 0.0), rests)}
    used = 1.0 - left
    if used > 1e-4 and way > 0:
        warm = way / used
        found["battery", "range_warm"] = _traced(warm, rests)
        coldest = read(road.facts, "use", "ambient_min")
        chemistry = str(chosen(road.facts, "battery", "chemistry"))
        if coldest.known:
            share = _cold_share(coldest.value, _COLD_CAPACITY.get(chemistry, 0.60))
            cold = combined(warm * share, [rests, coldest, Found(0.0, assumed=True)])
            found["battery", "range_cold"] = _traced(cold.value, cold)
    return found


def _cold_share(kelvin: float, at_minus_10: float) -> float:
    """Share of the capacity that is left in the cold: 1 from 25 degC, a line through -10 degC."""
    slope = (1.0 - at_minus_10) / 35.0
    return float(np.clip(1.0 - slope * (298.15 - kelvin), 0.1, 1.0))


def _of_vehicle(road: Road, inputs: Inputs) -> dict[Key, Traced]:
    facts, vehicle = road.facts, inputs.vehicle
    loads = [one.load for one in road.trips.values() if isinstance(one, Trip)]
    heaviest = max(loads, key=lambda one: one.value, default=Found(PERSON, assumed=True))
    mass = vehicle.mass + heaviest.value
    rests = combined(0.0, [*inputs.rests, heaviest])
    rolling = usual_rolling(facts)
    found = {("vehicle", "top_speed_predicted"): _traced(top_speed(vehicle), rests)}
    towed = max((one.towed for one in road.trips.values() if isinstance(one, Trip)), default=0.0)
    grip = vehicle.grip * (mass - towed)
    sine = min(vehicle.pull, grip) / (mass * 9.80665) - rolling.value
    grade = sine / np.sqrt(max(1 - sine * sine, 1e-6))
    starting = combined(0.0, [rests, rolling])
    found["vehicle", "grade_start_predicted"] = _traced(max(float(grade), 0.0), starting)
    stalled = any(one.ended and one.ended.what == "stalls" for one in road.driven.values())
    found["vehicle", "stalls_on_a_trip"] = _traced(stalled, rests)
    steepest = read(facts, "use", "grade_max")
    if steepest.known:
        force = combined(float(hold_force(mass, steepest.value)), [rests, steepest])
        found["vehicle", "hold_force"] = _traced(force.value, force)
    _back_voltage(road, inputs, found, rests)
    change = read(facts, "vehicle", "mass_change")
    if change.known:
        ratio = combined(mass / max(mass - change.value, 1.0), [rests, change])
        found["vehicle", "mass_ratio"] = _traced(ratio.value, ratio)
    return found


def _back_voltage(road: Road, inputs: Inputs, found: dict[Key, Traced], rests: Found) -> None:
    """Voltage that a magnet motor makes at the fastest speed of the trips, its field unweakened."""
    motors = road.facts.instances("motor")
    if len(motors) != 1 or chosen(road.facts, motors[0], "type") not in ("pm-ac", "pm-dc"):
        return
    ratio = read(road.facts, "vehicle", "gear_ratio")
    radius = read(road.facts, "vehicle", "rolling_radius")
    speeds = [float(one.trace.course.speed.max()) for one in road.driven.values()]
    if speeds and ratio.known and radius.known and radius.value > 0:
        constant = inputs.per_amp * radius.value / (ratio.value * GEAR)
        volts = constant * max(speeds) * ratio.value / radius.value
        found[motors[0], "back_voltage_fastest"] = _traced(volts, combined(0.0, [rests, ratio]))


def top_speed(vehicle: Vehicle) -> float:
    """Speed (m/s) that the drive reaches on the level with the driver alone, on worn asphalt."""
    one = np.ones(1)
    number = one.astype(int)
    course = Course(one, one, 0 * one, 0 * one, 0.02 * one, PERSON * one, 0 * one, number, number)
    low, high = 0.0, 60.0
    for _ in range(30):
        middle = (low + high) / 2
        trace = drive(replace(vehicle, regeneration=0.0), replace(course, speed=middle * one))
        reached = float(trace.speed[0, 0])
        low, high = (
            (middle, high)
            if reached >= middle * 0.999 and not trace.stalled[0, 0]
            else (low, middle)
        )
    return low


def _traced(value: float | str | bool, rests: Found) -> Traced:
    return Traced(value, _WORDS, _SOURCE, rests.inputs, rests.assumed, rests.settles)


__all__ = ["driving", "surveyed", "top_speed"]
