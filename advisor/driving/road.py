"""The trips of a build, driven: how each went, what happened on it and where."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from advisor.driving.cables import motor_current
from advisor.driving.cold import in_air
from advisor.driving.courses import Trip, trip_of
from advisor.driving.events import Event, events, first
from advisor.driving.inputs import Inputs, inputs_of
from advisor.driving.kept import driven as once_driven
from advisor.facts import Facts
from advisor.physics.course import STEP, Floats, day_of
from advisor.physics.trip import Trace
from advisor.wiring.found import Found, read

_COOLED = 0.8
"""Share of its heat at which a hot controller gives its peak again. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Driven:
    """A trip, with which vehicle it was driven, how it went, and what happened on it.

    `cut` is where the controller first cut its motor current back; from there on the trace is
    driven with less of it for as long as the controller is hot.
    """

    trip: Trip
    inputs: Inputs
    trace: Trace
    events: tuple[Event, ...]
    cut: Event | None = None

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


@dataclass(frozen=True, slots=True)
class Day:
    """A day: its trips by name, the vehicle it is driven with, and how it went."""

    trips: Mapping[str, Trip]
    inputs: Inputs
    trace: Trace

    def hottest(self, name: str) -> float:
        """Highest rise (K) of the motor in the rounds of a trip; 0 where it is not of this day."""
        first = 0
        for other, trip in self.trips.items():
            if other == name:
                rounds = (self.trace.course.trip >= first) & (
                    self.trace.course.trip < first + trip.repeats
                )
                return float(self.trace.rise[rounds].max()) if rounds.any() else 0.0
            first += trip.repeats
        return 0.0


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
    def driven(self) -> Mapping[str, Driven]:
        """Every trip that can be driven."""
        if isinstance(self.inputs, Found):
            return {}
        found = {}
        for name, trip in self.trips.items():
            if isinstance(trip, Trip):
                found[name] = self._drive(trip)
        return found

    def _drive(self, trip: Trip) -> Driven:
        assert isinstance(self.inputs, Inputs)
        inputs = self.inputs if trip.air is None else in_air(self.facts, self.inputs, trip.air)
        trace = once_driven(inputs.vehicle, trip.course)
        plain = Driven(trip, inputs, trace, events(self.facts, trace))
        shares = self._shares(plain)
        if shares is None:
            return plain
        cut = first("controller_cuts_back", shares < 1.0, trace)
        if cut is None or (plain.ended is not None and plain.ended.step < cut.step):
            return plain
        trace = once_driven(inputs.vehicle, trip.course, shares)
        return Driven(trip, inputs, trace, events(self.facts, trace), cut)

    @cached_property
    def days(self) -> Mapping[str, Day]:
        """The day of each season, or of the whole year under an empty name.

        A trip without a season belongs to every day. Empty where a trip cannot be driven or ends
        early.
        """
        if isinstance(self.inputs, Found) or not self.trips:
            return {}
        trips = {name: one for name, one in self.trips.items() if isinstance(one, Trip)}
        if len(trips) < len(self.trips) or any(one.ended for one in self.driven.values()):
            return {}
        seasons = sorted({one.season for one in trips.values() if one.season}) or [""]
        return {
            season: self._day(
                {name: one for name, one in trips.items() if one.season in ("", season)}
            )
            for season in seasons
        }

    def _day(self, trips: Mapping[str, Trip]) -> Day:
        """All of a day's trips after one another; the battery is as cold as on the coldest."""
        assert isinstance(self.inputs, Inputs)
        airs = [one.air for one in trips.values() if one.air is not None]
        coldest = min(airs, key=lambda one: one.value, default=None)
        inputs = self.inputs if coldest is None else in_air(self.facts, self.inputs, coldest)
        listed = [(one.course, one.repeats, one.pause) for one in trips.values()]
        course = day_of(listed, self.step)
        return Day(trips, inputs, once_driven(inputs.vehicle, course))

    def hottest(self, name: str) -> float:
        """Highest rise (K) of the motor on a trip: alone, and after the rounds of its days."""
        one = self.driven[name]
        alone = float(one.trace.rise[: one.steps].max())
        return max([alone, *(day.hottest(name) for day in self.days.values())])

    def _shares(self, driven: Driven) -> Floats | None:
        """The part of its peak current that the controller gives in each step of a trip.

        It gives its peak for as long as its maker says, by I2t over its one-hour current, then the
        one-hour current until a fifth of that heat is gone. None where its ratings are not known.
        """
        controllers = self.facts.instances("controller")
        if len(controllers) != 1:
            return None
        names = ("motor_current_hour", "motor_current_peak", "motor_current_peak_time")
        hour, peak, time = (read(self.facts, controllers[0], name) for name in names)
        if not (hour.known and peak.known and time.known) or peak.value <= hour.value:
            return None
        wanted = motor_current(driven.inputs, np.maximum(driven.trace.force[:, 0], 0.0))
        steps = np.diff(driven.trace.time[:, 0], prepend=0.0)
        most = (peak.value**2 - hour.value**2) * time.value
        shares = np.ones(len(steps))
        heat, hot = 0.0, False
        for k, (amps, dt) in enumerate(zip(wanted, steps, strict=True)):
            given = min(amps, hour.value) if hot else amps
            heat = max(heat + (given**2 - hour.value**2) * dt, 0.0)
            hot = heat >= (_COOLED * most if hot else most)
            shares[k] = hour.value / peak.value if hot else 1.0
        return shares

    @property
    def knows_cut_back(self) -> bool:
        """The ratings that tell when the controller cuts back are known."""
        controllers = self.facts.instances("controller")
        rated = ("motor_current_hour", "motor_current_peak", "motor_current_peak_time")
        return len(controllers) == 1 and all(
            read(self.facts, controllers[0], name).known for name in rated
        )
