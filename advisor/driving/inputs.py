"""The vehicle of a build for the simulation, with what each number rests on and what is missing."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from advisor.driving.motor_inputs import (
    GEAR,
    HEAT_TIME,
    constant_of,
    efficiency_of,
    rise_of,
    top_speed_of,
    turning_of,
)
from advisor.driving.needs import Needs
from advisor.facts import Facts
from advisor.facts.origins import Fact
from advisor.physics.road import air_density
from advisor.physics.trip import Vehicle
from advisor.tables.reader import curve
from advisor.wiring.found import Found, chosen, combined, read

_DRAG_AREA = 1.4  # m2, open cart with a roof, 0.9 to 1.8 from memory
_FRICTION = 0.6  # tyre on a dry road, common practice, no source
_DRIVEN = 0.55  # share of the weight on the driven rear axle, common practice, no source
_ROTATING = 1.05  # single gear, from memory


@dataclass(frozen=True, slots=True)
class Inputs:
    """A vehicle without load, and everything its numbers rest on.

    air, K; insulation_limit, K, of the motor; per_amp, N at the wheels for an ampere of motor
    current (series motor: N for its square).
    """

    vehicle: Vehicle
    rests: tuple[Found, ...]
    air: float
    insulation_limit: float
    per_amp: float


def inputs_of(facts: Facts) -> Inputs | Found:
    """The vehicle of a build; what is missing where a trip cannot be driven without it."""
    need = Needs(facts)
    motor, controller = need.only("motor"), need.only("controller")
    mass = combined(
        (empty := need("vehicle", "mass_empty")).value
        + (added := read(facts, "vehicle", "mass_added")).value,
        [empty, added if added.known else need("battery", "mass")],
    )
    radius, ratio = need("vehicle", "rolling_radius"), need("vehicle", "gear_ratio")
    capacity, ohm = need("battery", "capacity"), need("battery", "internal_resistance")
    limit = need(controller, "current_asked")
    amps = need(controller, "motor_current_peak")
    volts = need("battery", "nominal_voltage")
    open_circuit = _open_circuit(facts, need)
    constant = constant_of(facts, motor, need)
    if need.missing:
        return combined(0.0, need.missing)
    efficiency = efficiency_of(facts, motor)
    series = chosen(facts, motor, "type") == "series-dc"
    pull = constant.value * amps.value * ratio.value * GEAR / radius.value
    air = _or(facts, "use", "ambient_max", 308.15)
    altitude = _or(facts, "use", "altitude", 0.0)
    drag = _or(facts, "vehicle", "drag_area", _DRAG_AREA)
    top = top_speed_of(facts, motor, radius.value, ratio.value)
    fold, stop = (
        _or(facts, controller, "foldback_start", 0.8 * volts.value),
        _stop(facts, controller),
    )
    peak, most = (
        read(facts, "battery", "discharge_peak"),
        read(facts, "battery", "discharge_continuous"),
    )
    peak_time = read(facts, "battery", "discharge_peak_time")
    rated = read(facts, motor, "rated_current")
    rise, insulation_limit = rise_of(facts, motor)
    regeneration = _regeneration(facts, controller)
    vehicle = Vehicle(
        mass=mass.value,
        rotating=_ROTATING,
        drag_area=drag.value,
        density=float(air_density(altitude.value, air.value)),
        efficiency=efficiency.value,
        pull=pull,
        grip=_FRICTION * _DRIVEN * 9.80665,
        top_speed=top.value,
        open_circuit=open_circuit,
        capacity=capacity.value,
        battery_resistance=max(ohm.value, 1e-5),
        limit=limit.value,
        fold_start=max(fold.value, stop.value + 0.1),
        cut_off=stop.value,
        regeneration=regeneration.value,
        auxiliary=_accessories(facts),
    )
    if most.known and peak.known:
        vehicle = replace(
            vehicle,
            continuous=most.value,
            peak=max(peak.value, most.value * 1.001),
            peak_time=peak_time.value if peak_time.known else 1.0,
        )
    if rated.known:
        force = constant.value * rated.value * ratio.value * GEAR / radius.value
        vehicle = replace(vehicle, force_rated=force, rise_rated=rise.value, heat_time=HEAT_TIME)
    vehicle = turning_of(
        facts, motor, vehicle, constant.value, amps.value, radius.value, ratio.value, series
    )
    assumed = Found(0.0, assumed=True)
    rests = (
        *(mass, radius, ratio, capacity, ohm, limit, amps, constant, efficiency, drag, top, fold),
        *(stop, regeneration, assumed),
    )
    per_amp = constant.value * ratio.value * GEAR / radius.value
    if vehicle.series:
        per_amp = 1.0 / vehicle.per_newton
    return Inputs(vehicle, rests, air.value, insulation_limit, per_amp)


def _or(facts: Facts, identity: str, name: str, instead: float) -> Found:
    """A fact, or a stand-in that is assumed."""
    found = read(facts, identity, name, instead)
    if found.known:
        return found
    return Found(instead, assumed=True, settles=frozenset({f"{identity}.{name}"}))


def _stop(facts: Facts, controller: str) -> Found:
    """Voltage at which the drive stops: the controller's cut-off, or where the battery is empty."""
    found = read(facts, controller, "undervoltage_cutoff")
    return found if found.known else read(facts, "battery", "empty_voltage", 1.0)


def _open_circuit(facts: Facts, need: Needs) -> Any:
    """Open-circuit voltage of the battery at 21 equal steps of charge."""
    chemistry = chosen(facts, "battery", "chemistry")
    cells = need("battery", "cells_in_series")
    volts = [curve("open-circuit", str(chemistry), n * 0.05) for n in range(21)]
    known = [(n, one) for n, one in enumerate(volts) if one is not None]
    if len(known) < 2:
        nominal = read(facts, "battery", "nominal_voltage").value
        return np.linspace(0.92 * nominal, 1.04 * nominal, 21)
    at, values = zip(*known, strict=True)
    return np.interp(range(21), at, values) * max(cells.value, 1.0)


def _regeneration(facts: Facts, controller: str) -> Found:
    enabled = facts.fact(controller, "regen_enabled")
    if isinstance(enabled, Fact) and enabled.value is True:
        return read(facts, controller, "regen_current_max")
    return Found(0.0)


def _accessories(facts: Facts) -> float:
    """Power (W) of the 12 V loads and of the controller itself; small beside the drive."""
    power = 20.0  # a controller with its contactor; common practice, no source
    for one in facts.instances("converter"):
        load, volts = read(facts, one, "load_continuous"), read(facts, one, "output_voltage")
        power += load.value * volts.value / 0.85
    return power
