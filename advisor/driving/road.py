"""The trips of a build, driven: how each went, what happened on it and where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from advisor.driving.courses import Trip, trip_of
from advisor.driving.inputs import Inputs, inputs_of
from advisor.facts import Facts
from advisor.physics.course import STEP, day_of
from advisor.physics.trip import CRAWL, Trace, drive
from advisor.wiring.clearing import Curve, curve_for
from advisor.wiring.found import Found, chosen, read

Marks: TypeAlias = NDArray[np.bool_]


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

    @property
    def ended(self) -> Event | None:
        """What ends the trip before its end; what would come after it did not happen."""
        return self.events[0] if self.events else None

    @property
    def steps(self) -> int:
        """Number of steps that were really driven."""
        return len(self.trace.time) if self.ended is None else self.ended.step + 1

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
        """All trips of a day after one another; None where one cannot be driven or ends early."""
        if isinstance(self.inputs, Found) or not self.trips:
            return None
        trips = [one for one in self.trips.values() if isinstance(one, Trip)]
        if len(trips) < len(self.trips) or any(one.ended for one in self.driven.values()):
            return None
        course = day_of([(one.course, one.repeats, one.pause) for one in trips], self.step)
        return drive(self.inputs.vehicle, course)

    def hottest(self, name: str) -> float:
        """Highest rise (K) of the motor on a trip: alone, and after the rounds of the day."""
        one = self.driven[name]
        alone = float(one.trace.rise[: one.steps].max())
        if self.day is None:
            return alone
        first = 0
        for other, trip in self.trips.items():
            if other == name:
                break
            first += trip.repeats if isinstance(trip, Trip) else 0
        rounds = (self.day.course.trip >= first) & (self.day.course.trip < first + one.trip.repeats)
        return max(alone, float(self.day.rise[rounds].max())) if rounds.any() else alone

    def _events(self, trace: Trace) -> tuple[Event, ...]:
        crawling = (trace.speed <= 1.01 * CRAWL) & (trace.course.speed[:, None] > 0.5)
        starved = crawling & (trace.force > 0) & ~trace.stalled
        marks = {
            "stalls": trace.stalled,
            "management_opens": trace.patience >= 1.0,
            "runs_empty": (trace.charge <= 0.0) | starved,
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

    def _trips_slowly(self, trace: Trace) -> Marks:
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
        hot[driven.steps :] = False
        return _first("controller_cuts_back", hot, driven.trace)


def _first(what: str, mark: Marks, trace: Trace) -> Event | None:
    steps = np.nonzero(mark)[0]
    if len(steps) == 0:
        return None
    k = int(steps[0])
    return Event(what, k, float(trace.time[k, 0]), float(trace.distance[k, 0]))


def _held(mark: Marks, trace: Trace, delay: float) -> Marks:
    """Where something has lasted for a delay (s) without a break."""
    steps = np.diff(trace.time[:, 0], prepend=0.0)
    lasted, found = 0.0, np.zeros(len(mark), bool)
    for k, (on, dt) in enumerate(zip(mark, steps, strict=True)):
        lasted = lasted + dt if on else 0.0
        found[k] = lasted >= delay
    return found


def _worn(trace: Trace, curve: Curve) -> NDArray[np.float64]:
    """How far the main device is on its way to opening: time over its opening time, added."""
    amps = np.abs(trace.current[:, 0])
    steps = np.diff(trace.time[:, 0], prepend=0.0)
    points = np.log(curve.currents), np.log(curve.times)
    opening = np.exp(np.interp(np.log(np.maximum(amps, 1e-6)), *points))
    return np.cumsum(np.where(amps >= curve.currents[0], steps / opening, 0.0))
