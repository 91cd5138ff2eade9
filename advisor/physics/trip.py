"""A vehicle on a course, step by step: current, voltage, charge, temperatures, and what opens.

Force and power are worked over all steps at once; only the states are looped: state of charge,
voltage, temperature, and the patience of the management. One vehicle or many: every number of
`Vehicle` may be an array of vehicles.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from advisor.physics.course import Course, Floats
from advisor.physics.road import air_drag, grade_force, rolling_force
from advisor.physics.stepping import CRAWL, STATES, stepped

Bools = NDArray[np.bool_]

_NEVER = 1e12


@dataclass(frozen=True)
class Vehicle:
    """What is driven, SI. Each number may be an array of vehicles.

    Road: mass without the load of the course, kg; rotating, mass with rotating parts over mass;
    drag_area, m2; density of the air, kg/m3; grip, N that the tyres allow per kg of vehicle and
    load on a dry road, what is towed left out. Drive: efficiency from battery to wheels and back;
    pull, N at the
    wheels that the motor current allows; top_speed, m/s, that gear and motor allow. How fast it
    turns at a force F and a voltage V, as m/s: (V - lost volts) x gain. With field weakening the
    gain is `weakened` / F, in W per V (motor current x efficiency). Without, `constant` is V s/m at
    the wheels, `per_newton` A/N, `resistance` ohm; in a series motor `constant` is per A of motor
    current and `per_newton` A2/N. Battery: open_circuit, V at equal steps of charge from 0 to 1;
    capacity, A s; battery_resistance, ohm; limit, A that the controller draws, less below
    fold_start, V, and none below cut_off; regeneration, A; full, charge from which it is refused;
    auxiliary, W; charge at the start; continuous, peak, A, and peak_time, s. Heat: force_rated, N
    at the wheels at the rated motor current; rise_rated, K; heat_time, s.
    """

    mass: Any
    rotating: Any
    drag_area: Any
    density: Any
    efficiency: Any
    pull: Any
    grip: Any
    top_speed: Any
    open_circuit: Floats
    capacity: Any
    battery_resistance: Any
    limit: Any
    fold_start: Any
    cut_off: Any
    weakened: Any = 0.0
    constant: Any = 0.0
    resistance: Any = 0.0
    per_newton: Any = 0.0
    series: bool = False
    regeneration: Any = 0.0
    full: Any = 0.95
    auxiliary: Any = 0.0
    force_rated: Any = _NEVER
    rise_rated: Any = 0.0
    heat_time: Any = 1800.0
    continuous: Any = _NEVER
    peak: Any = _NEVER
    peak_time: Any = 0.0
    charge: Any = 1.0


@dataclass(frozen=True)
class Trace:
    """What happened, steps x vehicles, SI.

    time and distance at the end of a step; speed; force at the wheels; current, voltage and charge
    of the battery; rise of the motor, K; friction, J left for the friction brakes so far; lost, J
    lost in the drive so far; patience of the management, which opens at 1. `stalled` is true from
    the step on in which the drive could not move the vehicle.
    """

    course: Course
    time: Floats
    distance: Floats
    speed: Floats
    force: Floats
    current: Floats
    voltage: Floats
    charge: Floats
    rise: Floats
    friction: Floats
    lost: Floats
    patience: Floats
    stalled: Bools

    @property
    def energy(self) -> Floats:
        """Energy (J) out of the battery by the end of each step; what comes back counts down."""
        steps = np.diff(self.time, axis=0, prepend=0.0)
        return np.cumsum(self.voltage * self.current * steps, axis=0)


def drive(vehicle: Vehicle, course: Course, share: Floats | None = None) -> Trace:
    """Drive a course with a vehicle, or with each of an array of vehicles.

    `share` is the part of the motor current that the controller gives in each step, 1 where not
    stated: less where it is hot and cuts back. In a pause of a day (a step of no piece) the key is
    off: nothing is drawn. The speed of a course may be steps x vehicles: one for each.

    Source: balance of forces and of energy; battery as open-circuit voltage behind a resistance.
    """
    wide = [np.atleast_1d(np.asarray(getattr(vehicle, name), float)) for name in _NUMBERS]
    v = dict(zip(_NUMBERS, np.broadcast_arrays(*wide), strict=True))
    speed, time = course.speed.reshape(len(course.time), -1), course.time[:, None]
    mass = v["mass"] + course.load[:, None]
    steady = (
        grade_force(mass, course.grade[:, None])
        + rolling_force(mass, course.rolling[:, None], course.grade[:, None])
        + air_drag(v["density"], v["drag_area"], speed)
    ) * (speed > 0)
    inertia = mass * v["rotating"] * course.acceleration[:, None]
    left = np.ones((len(course.time), 1)) if share is None else share[:, None]
    pull = v["pull"] * (left * left if vehicle.series else left)
    most = np.minimum(pull, v["grip"] * course.grip[:, None] * (mass - course.towed[:, None]))
    stalled = steady > most
    force = np.where(inertia > 0, np.minimum(steady + inertia, most), steady + inertia)
    force = np.where(stalled, most, force)
    lost_volts, gain = _motor(vehicle, v, np.maximum(force, 1e-6), left)
    pulling = force > 0
    rated = force / v["force_rated"]
    heating = (np.abs(rated) if vehicle.series else rated * rated) * v["rise_rated"]
    factor = np.where(pulling, 1.0 / v["efficiency"], v["efficiency"])
    top = np.minimum(speed, v["top_speed"])
    way = speed * time
    plan = _Plan(force, pulling, stalled, top, way, lost_volts, gain, heating, factor)
    return _loop(vehicle, v, course, plan)


_NUMBERS = (
    *("mass", "rotating", "drag_area", "density", "efficiency", "pull", "grip", "top_speed"),
    *("capacity", "battery_resistance", "limit", "fold_start", "cut_off", "weakened", "constant"),
    *("resistance", "per_newton", "regeneration", "full", "auxiliary", "force_rated"),
    *("rise_rated", "heat_time", "continuous", "peak", "peak_time", "charge"),
)


def _motor(
    vehicle: Vehicle, v: dict[str, Floats], force: Floats, left: Floats
) -> tuple[Floats, Floats]:
    """Volts lost in the motor at a force, and m/s per volt that is left."""
    if vehicle.series:
        amps = np.sqrt(force * v["per_newton"])
        return amps * v["resistance"], 1.0 / np.maximum(v["constant"] * amps, 1e-9)
    plain = v["constant"] > 0
    amps = force * v["per_newton"]
    gain = np.where(plain, 1.0 / np.where(plain, v["constant"], 1.0), left * v["weakened"] / force)
    return np.where(plain, amps * v["resistance"], 0.0), gain


@dataclass(frozen=True)
class _Plan:
    """What is known of every step before it is driven."""

    force: Floats
    pulling: Bools
    stalled: Bools
    top: Floats
    way: Floats
    lost_volts: Floats
    gain: Floats
    heating: Floats
    factor: Floats


def _loop(vehicle: Vehicle, v: dict[str, Floats], course: Course, plan: _Plan) -> Trace:
    """Step through the states of battery and motor."""
    force, pulling, way, top = plan.force, plan.pulling, plan.way, plan.top
    lost_volts, gain, heating, factor = plan.lost_volts, plan.gain, plan.heating, plan.factor
    steps, number = force.shape
    most = v["limit"] * v["efficiency"] / np.where(pulling, np.maximum(force, 1e-6), 1e-6)
    floor = np.where(pulling & (way > 0), CRAWL, top)
    still = np.where(way > 0, 0.0, course.time[:, None])
    asked = force * factor
    auxiliary = v["auxiliary"] * (course.piece >= 0)[:, None]
    if number == 1 and _plain(v):
        ahead = {
            "most": most, "lost_volts": lost_volts, "gain": gain, "top": top, "floor": floor,
            "way": way, "still": still, "asked": asked, "auxiliary": auxiliary, "heating": heating,
        }  # fmt: skip
        columns = {name: np.broadcast_to(one, (steps, 1))[:, 0] for name, one in ahead.items()}
        numbers = {name: float(one[0]) for name, one in v.items()}
        out = stepped(columns, numbers, vehicle.open_circuit.tolist())
        return _traced(course, plan, v, out, asked)
    out = {name: np.empty((steps, number)) for name in STATES}
    dts, speeds, currents, voltages = out["dt"], out["speed"], out["current"], out["voltage"]
    charges, rises, patiences, takes = out["charge"], out["rise"], out["patience"], out["taken"]
    open_circuit = vehicle.open_circuit
    grid = np.linspace(0.0, 1.0, len(open_circuit))
    charge, rise, patience = v["charge"].copy(), np.zeros(number), np.zeros(number)
    ohm, per_charge, cooling = v["battery_resistance"], 1 / v["capacity"], 1 / v["heat_time"]
    half, four, full = 0.5 / ohm, 4 * ohm, v["full"]
    volts = np.interp(charge, grid, open_circuit)
    square = v["continuous"] ** 2
    spread = np.maximum(v["peak"] ** 2 - square, 1e-9) * np.maximum(v["peak_time"], 1e-3)
    impatience = 1 / spread
    cut_off, fold = v["cut_off"], 1 / np.maximum(v["fold_start"] - v["cut_off"], 1e-9)
    back = -v["regeneration"]
    for k in range(steps):
        share = np.minimum(np.maximum((volts - cut_off) * fold, 0.0), 1.0)
        reached = np.minimum(most[k] * (share * volts), (volts - lost_volts[k]) * gain[k])
        reached = np.maximum(np.minimum(reached, top[k]), floor[k])
        dt = way[k] / np.maximum(reached, CRAWL) + still[k]
        taken = np.maximum(asked[k] * reached, back * volts * (charge < full))
        rest = np.interp(charge, grid, open_circuit)
        inner = np.maximum(rest * rest - four * (taken + auxiliary[k]), 0.0)
        amps = (rest - np.sqrt(inner)) * half
        volts = rest - amps * ohm
        charge = charge - amps * dt * per_charge
        rise = rise + (heating[k] - rise) * np.minimum(dt * cooling, 1.0)
        patience = np.maximum(patience + (amps * amps - square) * dt * impatience, 0.0)
        dts[k], speeds[k], currents[k], voltages[k] = dt, reached, amps, volts
        charges[k], rises[k], patiences[k], takes[k] = charge, rise, patience, taken
    return _traced(course, plan, v, out, asked)


def _plain(v: dict[str, Floats]) -> bool:
    """Every number of the vehicle is one to calculate with, and none is divided by zero."""
    divisors = (v["capacity"], v["battery_resistance"], v["heat_time"])
    return all(np.isfinite(one).all() for one in v.values()) and all(
        (one > 0).all() for one in divisors
    )


def _traced(
    course: Course, plan: _Plan, v: dict[str, Floats], out: dict[str, Floats], asked: Floats
) -> Trace:
    """The trace of the states after each step."""
    force, way = plan.force, plan.way
    out["friction"] = (out["taken"] - asked * out["speed"]) / v["efficiency"] * out["dt"]
    mechanical = force * out["speed"]
    spent = np.cumsum((out["taken"] - mechanical) * out["dt"], axis=0) - np.cumsum(
        out["friction"], axis=0
    )
    return Trace(
        course,
        np.cumsum(out["dt"], axis=0),
        np.cumsum(way * np.ones_like(force), axis=0),
        out["speed"],
        force,
        out["current"],
        out["voltage"],
        out["charge"],
        out["rise"],
        np.cumsum(out["friction"], axis=0),
        spent,
        out["patience"],
        np.maximum.accumulate(plan.stalled, axis=0),
    )
