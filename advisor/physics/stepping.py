"""One vehicle stepped along its plan with plain numbers, ten times as fast as arrays of one.

The same steps as `trip.drive` takes for many vehicles at once; a test holds the two together.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from itertools import pairwise

import numpy as np

from advisor.physics.course import Floats

CRAWL = 0.05
"""Speed (m/s) at which a vehicle that gets no power counts as standing."""

STATES = ("dt", "speed", "current", "voltage", "charge", "rise", "patience", "taken")


def stepped(
    steps: Mapping[str, Floats], numbers: Mapping[str, float], open_circuit: Sequence[float]
) -> dict[str, Floats]:
    """The states after each step, steps x 1.

    `steps` holds what is known of every step before it is driven (most, lost_volts, gain, top,
    floor, way, still, asked, auxiliary, heating); `numbers` those of the vehicle as `Vehicle` names
    them. Units as in `trip`.
    """
    columns = [steps[name].tolist() for name in _STEPS]
    charge, ohm, capacity = numbers["charge"], numbers["battery_resistance"], numbers["capacity"]
    full, back, cooling = numbers["full"], -numbers["regeneration"], 1 / numbers["heat_time"]
    cut_off = numbers["cut_off"]
    fold = 1 / max(numbers["fold_start"] - cut_off, 1e-9)
    square = numbers["continuous"] ** 2
    spread = max(numbers["peak"] ** 2 - square, 1e-9) * max(numbers["peak_time"], 1e-3)
    per_charge, half, four, impatience = 1 / capacity, 0.5 / ohm, 4 * ohm, 1 / spread
    last = len(open_circuit) - 1
    slopes = [b - a for a, b in pairwise(open_circuit)]

    def at_rest(charge: float) -> float:
        """The open-circuit voltage, on straight lines between the points."""
        place = charge * last
        if place <= 0:
            return open_circuit[0]
        if place >= last:
            return open_circuit[last]
        below = int(place)
        return open_circuit[below] + slopes[below] * (place - below)

    rise = patience = 0.0
    rest = volts = at_rest(charge)
    out: list[tuple[float, ...]] = []
    for most, lost, gain, top, floor, way, still, asked, auxiliary, heating in zip(
        *columns, strict=True
    ):
        share = min(max((volts - cut_off) * fold, 0.0), 1.0)
        reached = max(min(most * (share * volts), (volts - lost) * gain, top), floor)
        dt = way / max(reached, CRAWL) + still
        taken = asked * reached
        if taken < 0:
            taken = max(taken, back * volts if charge < full else 0.0)
        inner = max(rest * rest - four * (taken + auxiliary), 0.0)
        amps = (rest - math.sqrt(inner)) * half
        volts = rest - amps * ohm
        charge -= amps * dt * per_charge
        rise += (heating - rise) * min(dt * cooling, 1.0)
        patience = max(patience + (amps * amps - square) * dt * impatience, 0.0)
        out.append((dt, reached, amps, volts, charge, rise, patience, taken))
        rest = at_rest(charge)
    table = np.array(out).reshape(len(out), len(STATES))
    return {name: table[:, number : number + 1].copy() for number, name in enumerate(STATES)}


_STEPS = (
    *("most", "lost_volts", "gain", "top", "floor", "way", "still", "asked", "auxiliary"),
    "heating",
)


__all__ = ["CRAWL", "STATES", "stepped"]
