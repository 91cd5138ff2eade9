"""Derivations about motor, controller and the current they ask of the battery."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.facts.derivation import Derivation, Result, assume, derive
from advisor.facts.kleene import any_of
from advisor.physics import cells

BRUSHED = ("series-dc", "separately-excited", "pm-dc")
_LEADS = 5e-3


def _asked(
    limit: float | None,
    kind: str | None,
    motor_current: float | None,
    power: float | None,
    voltage: float | None,
) -> Result:
    """Battery current a controller can ask for.

    A battery current limit decides. Without one a brushed controller passes its whole motor current
    at full duty; an inverter takes its rated input power at the loaded voltage.
    """
    if limit is not None:
        return limit
    if kind in BRUSHED:
        return motor_current
    if power is not None and voltage:
        return power / voltage
    return None


def _rated_current(
    powers: Sequence[float], efficiencies: Sequence[float], voltage: float
) -> Result:
    """Battery current of all motors at their rating."""
    if not powers or not voltage or not all(efficiencies):
        return None
    return sum(p / e for p, e in zip(powers, efficiencies, strict=True)) / voltage


def _let_through(
    asked: float, measured: float | None, limits: Sequence[float | None] | None
) -> float:
    """What is left of a demand behind the battery current limits of all controllers.

    A measured current counts as it is: it has passed them. One unknown limit is no limit, and so
    are controllers that nobody mentions.
    """
    known = [one for one in limits or () if one is not None]
    if measured is not None or limits is None or not known or len(known) < len(limits):
        return asked
    return min(asked, sum(known))


def _allowed_time(asked: float, continuous: float, peak: float, peak_time: float | None) -> Result:
    """Time a battery can give a current between its continuous and its peak limit.

    Heat above the continuous limit is taken to be what ends it: (I^2 - I_c^2) t is the same for
    every current. At or above the peak it is the stated peak time; at or below the continuous
    limit there is no limit of time, and no value.
    """
    if asked <= continuous or peak_time is None:
        return None
    if asked >= peak:
        return peak_time
    return peak_time * (peak**2 - continuous**2) / (asked**2 - continuous**2)


DERIVATIONS: list[Derivation] = [
    derive("motor.brushed", "motor.type", lambda kind: kind in BRUSHED, "by its type"),
    derive(
        "motor.supply_voltage_ratio",
        "battery.nominal_voltage motor.rated_voltage",
        lambda battery, motor: battery / motor if motor else None,
        "nominal battery voltage over rated motor voltage",
    ),
    derive(
        "controller.reduces_from",
        "controller.foldback_start",
        lambda start: start,
        "start of its current fold-back",
    ),
    derive(
        "controller.reduces_from",
        "controller.undervoltage_cutoff",
        lambda cutoff: cutoff,
        "its cut-off, as no fold-back is stated",
        fallback=True,
    ),
    derive(
        "controller.current_asked",
        "controller.battery_current_limit? controller.motor_type? controller.motor_current_peak? "
        "controller.rated_input_power? battery.nominal_voltage?",
        _asked,
        "battery current limit; else the motor current of a brushed controller, or rated input "
        "power over voltage of an inverter",
        "power balance of a chopper",
    ),
    assume(
        "controller.current_asked",
        "controller.motor_current_peak",
        lambda current: current,
        "no battery current limit is known, so the peak motor current counts: a controller never "
        "draws more than that from the battery",
        "power balance of a chopper",
    ),
    derive(
        "controller.current_asked_time",
        "controller.motor_current_peak_time",
        lambda time: time,
        "time it gives its peak current",
    ),
    derive(
        "controller.regen_voltage_peak",
        "battery.rested_full_voltage controller.regen_current_max battery.internal_resistance",
        lambda resting, current, resistance: cells.loaded_voltage(resting, -current, resistance),
        "resting voltage when full plus regeneration current x battery resistance",
        "Ohm's law",
    ),
    derive(
        "controller.regen_voltage_allowed",
        "battery.over_voltage_trip controller.input_max",
        min,
        "the lower of the management's trip and the controller's highest voltage",
    ),
    derive(
        "battery.regen_current_allowed",
        "bms[].regen_current_max battery.packs_in_parallel",
        lambda values, parallel: parallel * min(values) if values else None,
        "strings in parallel x smallest regeneration limit of the management",
    ),
    derive(
        "battery.regen_current_allowed",
        "battery.charge_current_max",
        lambda current: current,
        "its charge current limit, as no limit for regeneration is stated",
        fallback=True,
    ),
    *any_of(
        "controller.soft_start",
        "precharge.present controller.precharge_internal battery.precharge_built_in",
        "a resistor, the controller itself or the management charges the bus",
    ),
    derive(
        "controller.capacitance_likely",
        "controller.capacitance",
        lambda capacitance: capacitance,
        "as stated",
    ),
    assume(
        "controller.capacitance_likely",
        "controller.motor_current_peak",
        lambda current: 10e-3 if current >= 250 else 5e-3,
        "controllers of this size hold about 5 to 10 mF; the larger value is used from 250 A",
        "from memory",
    ),
    derive(
        "battery.demand_continuous",
        "use.battery_current_sustained",
        lambda current: current,
        "measured on the usual drive",
    ),
    derive(
        "battery.demand_continuous",
        "motor[].rated_power motor[].efficiency battery.nominal_voltage",
        _rated_current,
        "rated power of the motors over their efficiency and the nominal voltage",
        "power balance",
        fallback=True,
    ),
    assume(
        "battery.demand_continuous",
        "motor[].rated_power battery.nominal_voltage",
        lambda powers, voltage: _rated_current(powers, [0.80] * len(powers), voltage),
        "the motors at their rating, with 80 % of the battery power reaching the shaft",
        "from memory (75 to 88 % battery to wheel)",
    ),
    assume(
        "battery.demand_continuous",
        "motor[].rated_current",
        lambda currents: sum(currents) if currents else None,
        "the rated motor currents, as if the controllers were at full duty",
        "power balance of a chopper",
    ),
    derive(
        "battery.demand_limited",
        "battery.demand_continuous use.battery_current_sustained? "
        "controller[].battery_current_limit?",
        _let_through,
        "what is asked for, at most the battery current limits of all controllers",
        "a controller passes no more than its limit",
    ),
    derive(
        "battery.drives",
        "controller[].present",
        len,
        "controllers listed",
    ),
    derive(
        "battery.demand_peak",
        "controller[].current_asked",
        lambda currents: sum(currents) if currents else None,
        "what the controllers can ask for together",
    ),
    derive(
        "battery.demand_peak_time",
        "controller[].current_asked_time",
        lambda times: max(times) if times else None,
        "as long as a controller can ask for it",
    ),
    derive(
        "battery.demand_peak_allowed_time",
        "battery.demand_peak battery.discharge_continuous battery.discharge_peak "
        "battery.discharge_peak_time?",
        _allowed_time,
        "peak time of the battery, longer for a smaller current: the heat above its continuous "
        "limit stays the same",
        "heat goes with the square of current; common practice, no source",
    ),
    assume(
        "controller.regen_enabled",
        "controller.motor_type",
        lambda kind: False if kind == "series-dc" else None,
        "controllers for series motors do not regenerate",
        "common practice, no source",
    ),
    derive(
        "battery.inrush_current",
        "battery.full_voltage battery.internal_resistance",
        lambda voltage, resistance: cells.short_circuit_current(voltage, resistance + _LEADS),
        "full voltage over battery resistance plus 5 mΩ of leads and capacitor",
        "Ohm's law; 5 mΩ is common practice, no source",
    ),
]
