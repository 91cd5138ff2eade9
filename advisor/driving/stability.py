"""How a loaded vehicle stops, and how it stands on its axles. Values in SI."""

from __future__ import annotations

import math
from dataclasses import replace

from advisor.driving.road import Road
from advisor.driving.simulated import simulated
from advisor.facts import Facts
from advisor.facts.origins import Key
from advisor.facts.traced import Traced
from advisor.physics.axles import brake_limit_rear, front_load, rear_load, stability_factor
from advisor.physics.braking import hold_force, mean_deceleration, stopping_distance
from advisor.wiring.found import Found, chosen, combined, read

_GRAVITY = 9.80665
_ALL_WHEELS = 4.27
"""Deceleration, m/s2, asked of brakes on all wheels: 14 ft/s2 (New Jersey statute 39:3-68)."""
_FRICTION = 0.6  # tyre on a dry road, the same source
_REAR = 0.55  # share of the weight on the rear axle, common practice, no source
_HEIGHT = 0.36  # height of the centre of gravity over the wheelbase, common practice, no source
_LOAD_REAR = 0.6  # share of people, cargo and battery that the rear axle takes, from memory
_OVERHANG = 1.2  # the hitch lies behind the axle and weighs more than itself, from memory
_TONGUE = 0.1  # share of a trailer that rests on the hitch, common practice, no source
_WEIGHTS = "balance of weights and moments"


def stopping(road: Road, mass: float, rests: Found) -> dict[Key, Traced]:
    """Stopping distance (m) from the fastest speed of the trips, level and downhill, and before.

    Before the change means the same brake force on the mass of then, from the top speed of then
    where it was lower. Without a driver's reaction time. Source: newton's second law.
    """
    facts = road.facts
    speed = max(
        (float(one.trace.speed[: one.steps].max()) for one in road.driven.values()), default=0.0
    )
    if speed <= 0:
        return {}
    brakes = deceleration(facts)
    rests = combined(0.0, [rests, brakes])
    found = {
        ("vehicle", "stopping_speed"): simulated(speed, rests),
        ("vehicle", "stopping_distance"): simulated(
            float(stopping_distance(speed, brakes.value)), rests
        ),
    }
    steepest = read(facts, "use", "grade_max")
    down = float(stopping_distance(speed, brakes.value, -steepest.value))
    if steepest.known and math.isfinite(down):
        own = combined(0.0, [rests, steepest])
        found["vehicle", "stopping_distance_downhill"] = simulated(down, own)
    change = read(facts, "vehicle", "mass_change")
    if change.known and mass > change.value:
        before = read(facts, "vehicle", "original_top_speed", speed)
        slower = min(speed, before.value) if before.known else speed
        harder = brakes.value * mass / (mass - change.value)
        own = combined(0.0, [rests, change, *([before] if before.known else [])])
        found["vehicle", "stopping_distance_before"] = simulated(
            float(stopping_distance(slower, harder)), own
        )
    return found


def deceleration(facts: Facts) -> Found:
    """Deceleration of the brakes on the level, m/s2: measured, or by which wheels they act on."""
    way = read(facts, "vehicle", "stopping_distance_measured")
    speed = read(facts, "vehicle", "stopping_speed_measured")
    if way.known and speed.known and way.value > 0:
        return combined(float(mean_deceleration(speed.value, way.value)), [way, speed])
    settles = frozenset({"vehicle.stopping_distance_measured", "vehicle.stopping_speed_measured"})
    if str(chosen(facts, "vehicle", "brakes")).startswith("all-"):
        return Found(_ALL_WHEELS, assumed=True, settles=settles)
    to_front, to_rear, height = _geometry(facts) or (_REAR, 1 - _REAR, _HEIGHT)
    limit = float(brake_limit_rear(to_front, to_rear, height, _FRICTION))
    return Found(limit, assumed=True, settles=settles)


def _geometry(facts: Facts) -> tuple[float, float, float] | None:
    """Distances of the axles from the centre of gravity, and its height, m; None if not known."""
    front, rear, length, height = (
        read(facts, "vehicle", name)
        for name in ("axle_front_empty", "axle_rear_empty", "wheelbase", "cog_height")
    )
    total = front.value + rear.value
    if not all(one.known for one in (front, rear, length, height)) or total <= 0:
        return None
    to_front = length.value * rear.value / total
    return to_front, length.value - to_front, height.value


def standing(facts: Facts, load: Found, towed: float) -> dict[Key, Traced]:
    """Mass, pull on the grade, axle loads and tipping of the vehicle with its heaviest load.

    `load` with what is towed, and `towed`, in kg. Nothing of it needs a drive to be simulated.
    """
    carried = load.value - towed + _TONGUE * towed
    empty, added = read(facts, "vehicle", "mass_empty"), read(facts, "vehicle", "mass_added")
    grade = read(facts, "use", "grade_max")
    mass = combined(empty.value + added.value + carried, [empty, added, load])
    on_hook = carried + (1 - _TONGUE) * towed  # the brakes hold the whole trailer
    pull = float(hold_force(empty.value + added.value + on_hook, grade.value))
    found = {
        ("vehicle", "payload_carried"): _weighed(
            combined(carried, [load]), "people, cargo, and the part of a trailer on the hitch"
        ),
        ("vehicle", "mass_loaded"): _weighed(mass, "empty, parts put in, and load"),
        ("vehicle", "hold_force"): _weighed(
            combined(pull, [mass, grade]), "weight of all of it x sine of the grade"
        ),
    }
    front, rear = (read(facts, "vehicle", name) for name in ("axle_front_empty", "axle_rear_empty"))
    more = added.value + load.value - towed
    on_rear = combined(
        rear.value + _LOAD_REAR * more + _OVERHANG * _TONGUE * towed,
        [front, rear, added, load, Found(0.0, assumed=True)],
    )
    words = f"empty load, {_LOAD_REAR:.0%} of what is added, and the hitch of the trailer"
    found["vehicle", "axle_rear_loaded"] = _weighed(on_rear, words)
    total = front.value + rear.value + more + _TONGUE * towed
    found |= _uphill(facts, total, on_rear)
    found |= _tipping(facts)
    return found


def _weighed(value: Found, words: str) -> Traced:
    """A value that stands as a fact, or what is missing for it."""
    if value.missing is not None:
        return Traced(None, words, _WEIGHTS, missing=value.missing)
    return Traced(value.value, words, _WEIGHTS, value.inputs, value.assumed, value.settles)


def _tipping(facts: Facts) -> dict[Key, Traced]:
    """Sideways acceleration at which it tips, in units of gravity; by the narrower track known."""
    tracks = [read(facts, "vehicle", name) for name in ("track_front", "track_rear")]
    known = [one for one in tracks if one.known]
    track = min(known or tracks[:1], key=lambda one: one.value)
    height = read(facts, "vehicle", "cog_height")
    if height.known and height.value <= 0:
        return {}
    factor = float(stability_factor(track.value, height.value))
    words = "track over twice the height of the centre of gravity"
    return {("vehicle", "stability_factor"): _weighed(combined(factor, [track, height]), words)}


def _uphill(facts: Facts, mass: float, on_rear: Found) -> dict[Key, Traced]:
    """Share of the weight that is left on the front axle on the steepest climb."""
    length, height = read(facts, "vehicle", "wheelbase"), read(facts, "vehicle", "cog_height")
    grade = read(facts, "use", "grade_max")
    every = combined(0.0, [on_rear, length, height, grade])
    if length.known and length.value <= 0:
        return {}
    share = 0.0
    if every.known:
        to_front = length.value * on_rear.value / mass
        places = (mass, to_front, length.value - to_front, height.value, grade.value)
        ahead, behind = float(front_load(*places)), float(rear_load(*places))
        share = max(ahead / (ahead + behind), 0.0)
    words = "moments on the climb"
    return {("vehicle", "front_share_uphill"): _weighed(replace(every, value=share), words)}


__all__ = ["deceleration", "standing", "stopping"]
