"""A motor for the simulation: constant, resistance, efficiency, heat, and how fast it turns."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from advisor.driving.needs import Needs
from advisor.facts import Facts
from advisor.facts.origins import Fact
from advisor.physics.motors import (
    constant_from_plate,
    constant_from_points,
    resistance_from_point,
    series_constant_from_points,
)
from advisor.physics.trip import Vehicle
from advisor.sheet.bench import read_points
from advisor.wiring.found import Found, chosen, combined, read

GEAR = 0.95
"""Efficiency of the reduction gear; an EV teaching text, as read."""
HEAT_TIME = 40 * 60.0  # s, 20 to 60 min for small closed motors, from memory
_INVERTER = 0.95  # common practice, no source
_MOTOR = 0.85  # from memory, 0.75 to 0.88 battery to wheel for AC drives
_RISES = {"a": 60.0, "b": 80.0, "f": 105.0, "h": 125.0}  # K, IEC 60034-1, from memory
_DUTIES = {"s2-60": 3600.0, "s2-30": 1800.0, "s2-5": 300.0}
_WEAKENED = ("separately-excited", "pm-ac", "induction")


def constant_of(facts: Facts, motor: str, need: Needs) -> Found:
    """Torque per ampere at the current of the plate, N.m/A.

    Stated, by speed per volt, by two points on the bench, or by the plate.
    """
    if not motor:
        return Found(0.0)
    stated = read(facts, motor, "torque_constant")
    if stated.known:
        return stated
    speed = read(facts, motor, "speed_constant")
    if speed.known and speed.value > 0:
        return combined(1.0 / speed.value, [speed])
    bench = _bench(facts, motor)
    if bench is not None:
        return combined(bench[0], [bench[2]])
    power, turning, current = (
        need(motor, name) for name in ("rated_power", "rated_speed", "rated_current")
    )
    if not (power.known and turning.known and current.known) or not turning.value * current.value:
        return Found(0.0)
    plate = float(constant_from_plate(power.value, turning.value, current.value))
    return combined(plate, [power, turning, current])


def _bench(facts: Facts, motor: str) -> tuple[float, float, Found] | None:
    """Torque per ampere at the current of the plate (N.m/A) and resistance (ohm) by bench points.

    None without points, for a motor without brushes, and where they make no sense: no constant or
    no resistance above zero.
    """
    fact = facts.fact(motor, "bench_points")
    kind = str(chosen(facts, motor, "type"))
    rated = read(facts, motor, "rated_current")
    if not isinstance(fact, Fact) or kind not in ("series-dc", "separately-excited", "pm-dc"):
        return None
    first, second = read_points(str(fact.value))
    if kind == "series-dc":
        if not rated.known:
            return None
        each = float(series_constant_from_points(*first, *second))  # for each ampere
        ohm = float(resistance_from_point(*first, each * first.amps))
        constant = each * rated.value
    else:
        constant = float(constant_from_points(*first, *second))
        ohm = float(resistance_from_point(*first, constant))
    if constant <= 0 or ohm <= 0:
        return None
    return constant, ohm, Found(constant, (fact.key,))


def efficiency_of(facts: Facts, motor: str) -> Found:
    own = read(facts, motor, "efficiency")
    if own.known:
        return combined(own.value * GEAR * _INVERTER, [own])
    return Found(
        _MOTOR * GEAR * _INVERTER, assumed=True, settles=frozenset({f"{motor}.efficiency"})
    )


def top_speed_of(facts: Facts, motor: str, radius: float, ratio: float) -> Found:
    """Speed (m/s) at which the motor turns as fast as it may; far away where it is not stated."""
    found = read(facts, motor, "max_speed")
    if not found.known:
        return Found(50.0, assumed=True, settles=frozenset({f"{motor}.max_speed"}))
    return combined(found.value * radius / ratio, [found])


def rise_of(facts: Facts, motor: str) -> tuple[Found, float]:
    """Steady rise (K) at the rated current, and the highest temperature (K) of its class."""
    letter = str(chosen(facts, motor, "insulation_class") or "b")
    rise = _RISES.get(letter, 80.0)
    duty = _DUTIES.get(str(chosen(facts, motor, "duty")))
    steady = rise if duty is None else rise / float(-np.expm1(-duty / HEAT_TIME))
    return Found(steady, assumed=True), {"a": 105.0, "f": 155.0, "h": 180.0}.get(
        letter, 130.0
    ) + 273.15


def turning_of(
    facts: Facts,
    motor: str,
    vehicle: Vehicle,
    constant: float,
    amps: float,
    radius: float,
    ratio: float,
    series: bool,
) -> Vehicle:
    """How fast the motor turns at a force: with field weakening, or by its voltage equation."""
    kind = chosen(facts, motor, "type")
    per_newton = radius / (constant * ratio * GEAR)
    if kind in _WEAKENED:
        return replace(vehicle, weakened=amps * GEAR)
    resistance = read(facts, motor, "armature_resistance")
    rated, volts = read(facts, motor, "rated_current"), read(facts, motor, "rated_voltage")
    fallback = (
        0.08 * volts.value / rated.value if rated.known and rated.value and volts.known else 0.02
    )
    bench = _bench(facts, motor)
    ohm = resistance.value if resistance.known else bench[1] if bench else fallback
    if not series or not rated.known:
        return replace(
            vehicle, constant=constant * ratio / radius, resistance=ohm, per_newton=per_newton
        )
    # constant grows with the current up to that of the plate: c = k / I_rated
    per_amp = constant / rated.value
    return replace(
        vehicle,
        series=True,
        constant=per_amp * ratio / radius,
        resistance=ohm,
        per_newton=radius / (per_amp * ratio * GEAR),
    )
