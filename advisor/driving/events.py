"""What happens on a drive: where it stands still, something opens, or the battery is empty."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from advisor.facts import Facts
from advisor.physics.stepping import CRAWL
from advisor.physics.trip import Trace
from advisor.wiring.clearing import Curve, curve_for
from advisor.wiring.found import chosen, read

Marks: TypeAlias = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Event:
    """Something that ends a trip or spoils it: after s and m, at a step."""

    what: str
    step: int
    time: float
    distance: float


def main_device(facts: Facts) -> str | None:
    """The fuse or breaker with the role main."""
    listed = (*facts.instances("fuse"), *facts.instances("breaker"))
    return next((one for one in listed if chosen(facts, one, "role") == "main"), None)


def device_of(facts: Facts) -> Curve | None:
    """The curve of the main device, where it is known."""
    device = main_device(facts)
    curve = curve_for(facts, device) if device is not None else None
    return curve if isinstance(curve, Curve) else None


def events(facts: Facts, trace: Trace) -> tuple[Event, ...]:
    """The first of each kind on a drive, in order."""
    crawling = (trace.speed <= 1.01 * CRAWL) & (trace.course.speed[:, None] > 0.5)
    starved = crawling & (trace.force > 0) & ~trace.stalled
    marks = {
        "stalls": trace.stalled,
        "management_opens": trace.patience >= 1.0,
        "runs_empty": (trace.charge <= 0.0) | starved,
    }
    if chosen(facts, "battery", "can_open_discharge") is False:
        del marks["management_opens"]  # it only watches: other rules say so
    else:
        marks["management_opens"] |= _trips_slowly(facts, trace)[:, None]
    device = device_of(facts)
    if device is not None:
        marks["device_opens"] = _worn(trace, device)[:, None] >= 1.0
    found = (first(what, mark[:, 0], trace) for what, mark in marks.items())
    listed = [one for one in found if one is not None]
    return tuple(sorted(listed, key=lambda one: one.step))


def _trips_slowly(facts: Facts, trace: Trace) -> Marks:
    """Where the slow over-current trip of the management has waited long enough."""
    above = np.zeros(len(trace.time), bool)
    strings = read(facts, "battery", "packs_in_parallel", 1.0)
    for one in facts.instances("bms"):
        limit = read(facts, one, "over_current_1")
        delay = read(facts, one, "over_current_1_time")
        if limit.known and delay.known:
            amps = trace.current[:, 0] / max(strings.value, 1.0)
            above |= _held(amps > limit.value, trace, delay.value)
    return above


def first(what: str, mark: Marks, trace: Trace) -> Event | None:
    """The first step at which a mark stands, or None."""
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


__all__ = ["Event", "device_of", "events", "first", "main_device"]
