"""Drives the trips of a build and gives what came out to the rules."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from advisor.driving.cables import motor_current, warmest
from advisor.driving.courses import heaviest_load
from advisor.driving.day_results import of_day
from advisor.driving.events import Event, device_of, main_device
from advisor.driving.road import Driven, Road
from advisor.driving.seen import seen
from advisor.driving.simulated import SOURCE, simulated
from advisor.driving.stability import standing
from advisor.driving.vehicle_results import of_vehicle
from advisor.facts import Facts, facts_of
from advisor.facts.graph import Survey
from advisor.facts.origins import Fact, Key, Unknown
from advisor.facts.traced import Traced
from advisor.physics.windows import rolling_rms, time_above
from advisor.sheet.build import Build
from advisor.wiring.found import Found, combined, read
from advisor.wiring.survey import survey

_DESCENT = 0.02
"""Least grade that counts as a descent; on less a vehicle slows by itself."""
_BRAKING = 300.0
"""Least braking power (W) on a descent that a driver misses."""
_WINDOWS = {"10s": 10.0, "1min": 60.0, "10min": 600.0, "hour": 3600.0}


def surveyed(build: Build) -> Facts:
    """The facts of a build with what its plan of the cables and its trips give."""
    return facts_of(build).with_survey(_Reading())


class _Reading:
    """Reads the plan first, for the trips read what it gives.

    Each of the two is read again only where something that it asks for is another value.
    """

    def __init__(self) -> None:
        self._plans: list[_Kept] = []
        self._trips: list[_Kept] = []

    def __call__(self, facts: Facts) -> Mapping[Key, Traced]:
        plan = _read(self._plans, facts, survey)
        planned = facts.with_survey(lambda _: plan)
        return {**plan, **_read(self._trips, planned, driving)}


_MOST_KEPT = 16

_Kept = tuple[Mapping[Key, Fact | Unknown], Mapping[Key, Traced]]
"""What a reading asked for, with the answers, and what it gave."""


def _read(kept: list[_Kept], facts: Facts, reading: Survey) -> Mapping[Key, Traced]:
    others = facts.changed() or ()
    aside = facts.noting(set())
    for asked, found in kept:
        if any(aside.fact(*key) != asked[key] for key in others if key in asked):
            continue  # most differ in what was put in; the rest need not be looked at
        if all((now := aside.fact(*key)) is was or now == was for key, was in asked.items()):
            facts.count_as_asked(asked)
            return found
    noted: set[Key] = set()
    found = reading(facts.noting(noted))
    kept.append(({key: facts.fact(*key) for key in sorted(noted)}, found))
    if len(kept) > _MOST_KEPT:
        del kept[1]  # the first is that of the build as it is
    return found


def driving(facts: Facts) -> Mapping[Key, Traced]:
    """The facts that the trips of a build give; without trips how it stands with its usual load."""
    found = standing(facts, *heaviest_load(facts))
    if not facts.instances("trip"):
        return found | seen(facts, found)
    road = Road(facts)
    if isinstance(road.inputs, Found):
        found |= _missing(road, road.inputs)
        return found | seen(facts, found)
    for name, trip in road.trips.items():
        if isinstance(trip, Found):
            found |= {
                (name, one): Traced(None, SOURCE, missing=trip.missing or frozenset())
                for one in _NEEDED
            }
    for name, one in road.driven.items():
        found |= _of_trip(road, name, one)
    found |= of_day(road, road.inputs)
    found |= of_vehicle(road, road.inputs)
    return found | seen(road.facts, found)


_NEEDED = (
    *("stalls", "management_opens", "device_opens", "runs_empty", "motor_temperature"),
    *("speed_least", "energy", "current_peak", "cable_temperature", "regeneration_refused"),
)


def _missing(road: Road, missing: Found) -> dict[Key, Traced]:
    keys = missing.missing or frozenset()
    found = {
        (trip, name): Traced(None, SOURCE, missing=keys) for trip in road.trips for name in _NEEDED
    }
    if not read(road.facts, "battery", "range_warm").known:  # a tried range tells it as well
        found["battery", "charge_after_day"] = Traced(None, SOURCE, missing=keys)
    return found


def _of_trip(road: Road, name: str, one: Driven) -> dict[Key, Traced]:
    trace, trip, inputs = one.trace, one.trip, one.inputs
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
    values |= _above(road, one)
    if share[slowest, 0] < 0.98:
        slow = Event("", slowest, float(time[slowest, 0]), float(trace.distance[slowest, 0]))
        values["slow_where"] = one.where(slow)
    values |= _happened(road, one)
    if road.knows_cut_back and (one.cut is not None or one.ended is None):
        values["controller_cuts_back"] = one.cut is not None
    if one.cut is not None:
        values["controller_cuts_back_where"] = one.where(one.cut)
    values |= _braking(road, one)
    values |= _cables(road, one)
    found = {(name, key): simulated(value, rests) for key, value in values.items()}
    words = "fastest speed that the driver wants on a descent; the brakes keep it there"
    found[name, "downhill_speed"] = simulated(_wanted_downhill(one), Found(0.0), words)
    return found


def _wanted_downhill(one: Driven) -> float:
    """Fastest speed (m/s) of a course where it goes down; 0 where it never does."""
    course = one.trace.course
    return float(np.where(course.grade < -_DESCENT, course.speed, 0.0).max(initial=0.0))


def _above(road: Road, one: Driven) -> dict[str, float | str | bool]:
    """Longest times above the limits that are known."""
    facts, last = road.facts, one.steps
    battery, time = one.trace.current[:last], one.trace.time[:last]
    motor = motor_current(one.inputs, one.trace.force[:last])
    motors = facts.instances("motor")
    device = main_device(facts)
    limits = (
        ("time_above_continuous", battery, read(facts, "battery", "discharge_continuous")),
        ("time_above_peak", battery, read(facts, "battery", "discharge_peak")),
        *([("time_above_device", battery, read(facts, device, "rating"))] if device else []),
        *([("time_above_motor", motor, read(facts, motors[0], "rated_current"))] if motors else []),
    )
    return {
        name: float(time_above(amps, time, limit.value)[0])
        for name, amps, limit in limits
        if limit.known
    }


def _braking(road: Road, one: Driven) -> dict[str, float | str | bool]:
    """What the friction brakes take on descents, and whether the battery refuses to."""
    trace, inputs, last = one.trace, one.inputs, one.steps
    downhill = (trace.force[:last, 0] < 0) & (trace.course.grade[:last] < -_DESCENT)
    steps = np.diff(trace.time[:last, 0], prepend=0.0)
    heat = np.diff(trace.friction[:last, 0], prepend=0.0)
    power = np.where(downhill & (steps > 0), heat / np.maximum(steps, 1e-9), 0.0)
    mechanical = np.where(downhill, -trace.force[:last, 0] * trace.speed[:last, 0], 0.0)
    values: dict[str, float | str | bool] = {
        "brake_power": float(power.max()),
        "downhill_power": float(mechanical.max()),
    }
    if power.max() > 0:
        values["brake_power_where"] = _place(one, int(np.argmax(power)))
    assert not isinstance(road.inputs, Found)
    if road.inputs.vehicle.regeneration > 0:
        cold = inputs.vehicle.regeneration <= 0
        full = trace.charge[:last, 0] >= inputs.vehicle.full
        refused = downhill & (cold | full) & (power > _BRAKING)
        values["regeneration_refused"] = bool(refused.any())
        if refused.any():
            why = "the battery is too cold to take charge" if cold else "the battery is full"
            values["regeneration_refused_why"] = f"{why}, {_place(one, int(np.argmax(refused)))}"
    else:
        values["regeneration_refused"] = False
    return values


def _cables(road: Road, one: Driven) -> dict[str, float | str | bool]:
    """The cable that comes closest to the temperature it stands."""
    hot = warmest(road.facts, one.inputs, one.trace, one.steps, one.trip.air)
    if hot is None or not hot.kelvin.known:
        return {}
    return {
        "cable_temperature": hot.kelvin.value,
        "cable_temperature_allowed": hot.allowed.value,
        "cable_hottest": f"{hot.run}, {_place(one, hot.step)}",
    }


def _place(one: Driven, step: int) -> str:
    trace = one.trace
    return one.where(Event("", step, float(trace.time[step, 0]), float(trace.distance[step, 0])))


def _happened(road: Road, one: Driven) -> dict[str, float | str | bool]:
    """What ends the trip, and what surely does not happen on it.

    After an early end nothing is known: what else would happen shows when that is mended.
    """
    if one.ended is not None:
        what = one.ended.what
        place = one.where(one.ended)
        if one.cut is not None and one.cut.step <= one.ended.step:
            place += "; the controller was hot and had cut its current back"
        return {what: True, f"{what}_where": place}
    sure = {"stalls", "runs_empty"}
    limits = ("discharge_continuous", "discharge_peak")
    if all(read(road.facts, "battery", name).known for name in limits):
        sure.add("management_opens")
    if device_of(road.facts) is not None:
        sure.add("device_opens")
    return dict.fromkeys(sorted(sure), False)


__all__ = ["driving", "surveyed"]
