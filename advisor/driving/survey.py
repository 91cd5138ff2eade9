"""Drives the trips of a build and gives what came out to the rules."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from advisor.driving.courses import PERSON, Trip, trip_of
from advisor.driving.inputs import GEAR, Inputs, inputs_of
from advisor.facts import Facts, facts_of
from advisor.facts.origins import Key
from advisor.facts.traced import Traced
from advisor.physics.braking import hold_force
from advisor.physics.course import STEP, Course, day_of
from advisor.physics.trip import Trace, Vehicle, drive, rolling_rms, time_above
from advisor.sheet.build import Build
from advisor.wiring.clearing import Curve, curve_for
from advisor.wiring.found import Found, chosen, combined, read
from advisor.wiring.survey import survey

_SOURCE = "simulation of the trip, balance of forces and of energy"
_WINDOWS = {"10s": 10.0, "1min": 60.0, "10min": 600.0, "hour": 3600.0}
_COLD_CAPACITY = {"lfp": 0.65, "nmc": 0.75, "nca": 0.75, "lmo": 0.70, "lto": 0.85}
"""Share of the capacity at about -10 degC. From memory; makers differ widely."""


@dataclass(frozen=True, slots=True)
class Event:
    """Something that ends a trip or spoils it: after s and m, at a step."""

    what: str
    step: int
    time: float
    distance: float


@dataclass(frozen=True, slots=True)
class Driven:
    """A trip, how it went, and what happened on it."""

    trip: Trip
    trace: Trace
    events: tuple[Event, ...]

    def where(self, event: Event) -> str:
        """Place and time of an event in words."""
        part = int(self.trace.course.piece[event.step])
        name = self.trip.parts[part] if 0 <= part < len(self.trip.parts) else "a stop"
        return f"{name}, {_clock(event.time)} after the start"


def _clock(seconds: float) -> str:
    return f"{int(seconds) // 60} min {int(seconds) % 60} s"


@dataclass(frozen=True)
class Road:
    """The trips of a build, driven one by one with a full battery, and as a day."""

    facts: Facts
    step: float = STEP

    @cached_property
    def inputs(self) -> Inputs | Found:
        """The vehicle, or what is missing for it."""
        return inputs_of(self.facts)

    @cached_property
    def trips(self) -> Mapping[str, Trip | Found]:
        """Every trip of the sheet by its id, or what is missing for it."""
        return {one: trip_of(self.facts, one, self.step) for one in self.facts.instances("trip")}

    @cached_property
    def device(self) -> tuple[str, Curve] | None:
        """The main device and its curve, where both are known."""
        for one in (*self.facts.instances("fuse"), *self.facts.instances("breaker")):
            if chosen(self.facts, one, "role") == "main":
                curve = curve_for(self.facts, one)
                return (one, curve) if isinstance(curve, Curve) else None
        return None

    @cached_property
    def driven(self) -> Mapping[str, Driven]:
        """Every trip that can be driven."""
        if isinstance(self.inputs, Found):
            return {}
        found = {}
        for name, trip in self.trips.items():
            if isinstance(trip, Trip):
                trace = drive(self.inputs.vehicle, trip.course)
                found[name] = Driven(trip, trace, self._events(trace))
        return found

    @cached_property
    def day(self) -> Trace | None:
        """All trips of a day after one another, or None where one cannot be driven."""
        if isinstance(self.inputs, Found) or not self.trips:
            return None
        trips = [one for one in self.trips.values() if isinstance(one, Trip)]
        if len(trips) < len(self.trips):
            return None
        course = day_of([(one.course, one.repeats, one.pause) for one in trips], self.step)
        return drive(self.inputs.vehicle, course)

    def _events(self, trace: Trace) -> tuple[Event, ...]:
        empty = trace.charge <= 0.0
        marks = {
            "stalls": trace.stalled,
            "management_opens": trace.patience >= 1.0,
            "runs_empty": empty,
        }
        if chosen(self.facts, "battery", "can_open_discharge") is False:
            del marks["management_opens"]  # it only watches: other rules say so
        else:
            marks["management_opens"] |= self._trips_slowly(trace)[:, None]
        if self.device is not None:
            marks["device_opens"] = _worn(trace, self.device[1])[:, None] >= 1.0
        found = []
        for what, mark in marks.items():
            first = _first(what, mark[:, 0], trace)
            if first is not None:
                found.append(first)
        return tuple(sorted(found, key=lambda one: one.step))

    def _trips_slowly(self, trace: Trace) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
        """Where the slow over-current trip of the management has waited long enough."""
        above = np.zeros(len(trace.time), bool)
        strings = read(self.facts, "battery", "packs_in_parallel", 1.0)
        for one in self.facts.instances("bms"):
            limit = read(self.facts, one, "over_current_1")
            delay = read(self.facts, one, "over_current_1_time")
            if limit.known and delay.known:
                amps = trace.current[:, 0] / max(strings.value, 1.0)
                above |= _held(amps > limit.value, trace, delay.value)
        return above

    def cut_back(self, driven: Driven) -> Event | None:
        """Where the controller has given more than its one-hour current for as long as it can."""
        controllers = self.facts.instances("controller")
        if isinstance(self.inputs, Found) or len(controllers) != 1:
            return None
        names = ("motor_current_hour", "motor_current_peak", "motor_current_peak_time")
        hour, peak, time = (read(self.facts, controllers[0], name) for name in names)
        if not (hour.known and peak.known and time.known) or peak.value <= hour.value:
            return None
        force = np.maximum(driven.trace.force[:, 0], 0.0) / self.inputs.per_amp
        square = force if self.inputs.vehicle.series else force**2
        steps = np.diff(driven.trace.time[:, 0], prepend=0.0)
        most = (peak.value**2 - hour.value**2) * time.value
        heat, hot = 0.0, np.zeros(len(steps), bool)
        for k, (amps, dt) in enumerate(zip(square - hour.value**2, steps, strict=True)):
            heat = max(heat + amps * dt, 0.0)
            hot[k] = heat >= most
        return _first("controller_cuts_back", hot, driven.trace)


def _first(
    what: str, mark: np.ndarray[tuple[int], np.dtype[np.bool_]], trace: Trace
) -> Event | None:
    steps = np.nonzero(mark)[0]
    if len(steps) == 0:
        return None
    k = int(steps[0])
    return Event(what, k, float(trace.time[k, 0]), float(trace.distance[k, 0]))


def _held(
    mark: np.ndarray[tuple[int], np.dtype[np.bool_]], trace: Trace, delay: float
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Where something has lasted for a delay (s) without a break."""
    steps = np.diff(trace.time[:, 0], prepend=0.0)
    lasted, found = 0.0, np.zeros(len(mark), bool)
    for k, (on, dt) in enumerate(zip(mark, steps, strict=True)):
        lasted = lasted + dt if on else 0.0
        found[k] = lasted >= delay
    return found


def _worn(trace: Trace, curve: Curve) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
    """How far the main device is on its way to opening: time over its opening time, added."""
    amps = np.abs(trace.current[:, 0])
    steps = np.diff(trace.time[:, 0], prepend=0.0)
    points = np.log(curve.currents), np.log(curve.times)
    opening = np.exp(np.interp(np.log(np.maximum(amps, 1e-6)), *points))
    return np.cumsum(np.where(amps >= curve.currents[0], steps / opening, 0.0))


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
    ends = next((event for event in one.events), None)
    last = len(trace.time) if ends is None else ends.step + 1
    current, time = trace.current[:last], trace.time[:last]
    wanted = trace.course.speed[:last, None]
    moving = wanted > 0.5
    share = np.where(moving, trace.speed[:last] / np.maximum(wanted, 1e-6), 1.0)
    slowest = int(np.argmin(share[:, 0]))
    energy = float(trace.energy[last - 1, 0])
    way = float(trace.distance[last - 1, 0])
    temperature = inputs.air + float(trace.rise[:last].max())
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
    happened = {event.what: event for event in one.events}
    known = {"stalls", "runs_empty"}
    if limit.known and read(road.facts, "battery", "discharge_peak").known:
        known.add("management_opens")
    if road.device is not None:
        known.add("device_opens")
    for what in sorted(known):
        values[what] = what in happened
        if what in happened:
            values[f"{what}_where"] = one.where(happened[what])
    cut = road.cut_back(one)
    controllers = road.facts.instances("controller")
    if len(controllers) == 1 and all(
        read(road.facts, controllers[0], name).known
        for name in ("motor_current_hour", "motor_current_peak", "motor_current_peak_time")
    ):
        values["controller_cuts_back"] = cut is not None
    if cut is not None:
        values["controller_cuts_back_where"] = one.where(cut)
    refused = (trace.charge[:last] >= inputs.vehicle.full) & (trace.force[:last] < 0)
    values["regeneration_refused"] = bool(inputs.vehicle.regeneration > 0 and refused.any())
    return {(name, key): _traced(value, rests) for key, value in values.items()}


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
    found = {("vehicle", "top_speed_predicted"): _traced(top_speed(vehicle), rests)}
    towed = max((one.towed for one in road.trips.values() if isinstance(one, Trip)), default=0.0)
    grip = vehicle.grip * (mass - towed)
    sine = min(vehicle.pull, grip) / (mass * 9.80665) - 0.04
    grade = sine / np.sqrt(max(1 - sine * sine, 1e-6))
    found["vehicle", "grade_start_predicted"] = _traced(max(float(grade), 0.0), rests)
    stalled = any(
        event.what == "stalls" for driven in road.driven.values() for event in driven.events
    )
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
    return Traced(value, "driven step by step", _SOURCE, rests.inputs, rests.assumed, rests.settles)


__all__ = ["Driven", "Event", "Road", "driving", "surveyed", "top_speed"]
