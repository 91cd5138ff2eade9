"""What a vehicle can do by its trips: top speed, grades, stopping, voltage of its motor."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from advisor.driving.courses import PERSON, heaviest_load, usual_grip, usual_rolling
from advisor.driving.inputs import Inputs
from advisor.driving.kept import driven
from advisor.driving.motor_inputs import GEAR
from advisor.driving.road import Road
from advisor.driving.simulated import simulated
from advisor.driving.stability import stopping
from advisor.facts.origins import Key
from advisor.facts.traced import Traced
from advisor.physics.course import Course
from advisor.physics.trip import Vehicle
from advisor.wiring.found import Found, chosen, combined, read

_FASTEST = 60.0
_HALVINGS = 15  # 60 m/s over 2^15 is 2 mm/s
_AT_ONCE = 5  # halvings whose every outcome is driven at once
_PARTS = 2**_AT_ONCE
_SETTLING = 10
"""Steps after which the battery's voltage has settled under the load."""


def of_vehicle(road: Road, inputs: Inputs) -> dict[Key, Traced]:
    """What the vehicle can do, and how it stops."""
    facts, vehicle = road.facts, inputs.vehicle
    heaviest, towed = heaviest_load(facts)
    mass = vehicle.mass + heaviest.value
    rests = combined(0.0, [*inputs.rests, heaviest])
    found = {("vehicle", "top_speed_predicted"): simulated(top_speed(vehicle), rests)}
    rolling = usual_rolling(facts)
    grip = vehicle.grip * usual_grip(facts) * (mass - towed)
    sine = min(vehicle.pull, grip) / (mass * 9.80665) - rolling.value
    grade = sine / np.sqrt(max(1 - sine * sine, 1e-6))
    found["vehicle", "grade_start_predicted"] = simulated(
        max(float(grade), 0.0), combined(0.0, [rests, rolling])
    )
    stalled = any(_stalls(road, name) for name in road.driven)
    found["vehicle", "stalls_on_a_trip"] = simulated(stalled, rests)
    _back_voltage(road, inputs, found, rests)
    radius = read(facts, "vehicle", "rolling_radius")
    if radius.known:
        found["vehicle", "axle_torque_peak"] = simulated(vehicle.pull * radius.value, rests)
    found |= stopping(road, mass, rests)
    change = read(facts, "vehicle", "mass_change")
    if change.known:
        ratio = combined(mass / max(mass - change.value, 1.0), [rests, change])
        found["vehicle", "mass_ratio"] = simulated(ratio.value, ratio)
    return found


def _stalls(road: Road, name: str) -> bool:
    """Whether the drive stands still on a trip: as it was tried, else as computed."""
    tried, ended = chosen(road.facts, name, "stalls"), road.driven[name].ended
    return tried is True if tried is not None else bool(ended and ended.what == "stalls")


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
        found[motors[0], "back_voltage_fastest"] = simulated(volts, combined(0.0, [rests, ratio]))


def top_speed(
    vehicle: Vehicle, load: float = PERSON, grade: float = 0.0, towed: float = 0.0
) -> float:
    """Speed (m/s) that the drive holds on a grade with a load (kg) on worn asphalt, battery full.

    0 where it cannot hold any. Without arguments: on the level with the driver alone.
    """
    one = np.ones(_SETTLING)
    number = one.astype(int)
    course = Course(
        one, one, 0 * one, grade * one, 0.02 * one, load * one, towed * one, one, number, number
    )
    braked = replace(vehicle, regeneration=0.0)
    low, high = 0.0, _FASTEST
    for _ in range(_HALVINGS // _AT_ONCE):
        between = low + (high - low) * np.arange(1, _PARTS) / _PARTS
        trace = driven(braked, replace(course, speed=one[:, None] * between))
        holds = (trace.speed[-1] >= between * 0.999) & ~trace.stalled[-1]
        first, last = 0, _PARTS
        while last - first > 1:
            middle = (first + last) // 2
            first, last = (middle, last) if holds[middle - 1] else (first, middle)
        width = (high - low) / _PARTS
        low, high = low + first * width, low + last * width
    return low


__all__ = ["of_vehicle", "top_speed"]
