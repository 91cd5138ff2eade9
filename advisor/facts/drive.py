"""Derivations about motor, controller, contactor, precharge and key switch."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.facts.derivation import Derivation, Result, assume, derive
from advisor.facts.kleene import any_of
from advisor.physics import cells, precharge

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


def _coil_supply(
    fed_from: str,
    battery: float | None,
    converter: float | None,
    driver: float | None,
) -> Result:
    """Voltage at a coil: its source, or the voltage a controller's driver holds."""
    if fed_from == "converter":
        return converter
    if fed_from == "controller":
        return None if driver is None or battery is None else min(driver, battery)
    return battery


def _coil_sag(
    fed_from: str,
    battery: float,
    converter: float | None,
    stops_at: float | None,
    driver: float | None,
) -> Result:
    """Voltage at a coil in the deepest sag; a converter below its cut-off gives nothing."""
    if fed_from == "converter":
        if stops_at is None or converter is None:
            return None
        return 0.0 if battery < stops_at else converter
    if fed_from == "controller":
        return None if driver is None else min(driver, battery)
    return battery


def _coil_current(ratio: float, current: float | None, power: float | None, rated: float) -> Result:
    if current is not None:
        return current * ratio
    return power / rated * ratio if power is not None and rated else None


def _key_current(switched: str, coil: float | None, logic: float | None) -> Result:
    if switched == "logic":
        return logic
    if coil is None:
        return None
    if switched == "coil":
        return coil
    return None if logic is None else coil + logic


def _rated_current(
    powers: Sequence[float], efficiencies: Sequence[float], voltage: float
) -> Result:
    """Battery current of all motors at their rating."""
    if not powers or not voltage or not all(efficiencies):
        return None
    return sum(p / e for p, e in zip(powers, efficiencies, strict=True)) / voltage


def _standing(fed: list[str | None] | None, idle: list[float | None] | None) -> Result:
    """Current the converters behind the contactor draw while the bus charges."""
    if fed is None:
        return None
    if any(place is None for place in fed):
        return None
    behind = [
        current
        for place, current in zip(fed, idle or [], strict=True)
        if place == "after-contactor"
    ]
    known = [current for current in behind if current is not None]
    return sum(known) if len(known) == len(behind) else None


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


_COIL = "contactor.coil_fed_from"
_DRIVER = "controller.contactor_driver_voltage?"

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
        "contactor.coil_supply_full",
        f"{_COIL} battery.full_voltage? converter.output_voltage? {_DRIVER}",
        _coil_supply,
        "voltage of what feeds the coil, right after a charge",
    ),
    derive(
        "contactor.coil_supply_driving",
        f"{_COIL} battery.rested_full_voltage? converter.output_voltage? {_DRIVER}",
        _coil_supply,
        "voltage of what feeds the coil, with a rested full battery",
    ),
    derive(
        "contactor.coil_supply_closing",
        f"{_COIL} battery.reserve_voltage? converter.output_voltage? {_DRIVER}",
        _coil_supply,
        "voltage of what feeds the coil, at the reserve",
    ),
    derive(
        "contactor.coil_supply_sag",
        f"{_COIL} battery.sag_voltage converter.output_voltage? converter.stops_at? {_DRIVER}",
        _coil_sag,
        "voltage of what feeds the coil, under peak load at the reserve",
    ),
    derive(
        "contactor.coil_voltage_ratio",
        "contactor.coil_supply_driving contactor.coil_voltage",
        lambda supply, rated: supply / rated if rated else None,
        "highest driving coil voltage over rated coil voltage",
    ),
    derive(
        "contactor.coil_current_driven",
        "contactor.coil_voltage_ratio contactor.coil_current? contactor.coil_power? "
        "contactor.coil_voltage",
        _coil_current,
        "rated coil current x voltage ratio",
        "Ohm's law",
    ),
    derive(
        "contactor.pull_in_likely",
        "contactor.pull_in_voltage",
        lambda voltage: voltage,
        "as stated",
    ),
    assume(
        "contactor.pull_in_likely",
        "contactor.coil_voltage",
        lambda rated: 0.85 * rated,
        "a contactor surely closes at 85 % of its rated coil voltage",
        "IEC 60947-4-1 clause 8.2.1.2, from memory; data sheets state 80 to 85 %",
    ),
    derive(
        "contactor.release_likely",
        "contactor.release_voltage_max",
        lambda voltage: voltage,
        "as stated",
    ),
    assume(
        "contactor.release_likely",
        "contactor.coil_voltage",
        lambda rated: 0.75 * rated,
        "a contactor may open below 75 % of its rated coil voltage",
        "IEC 60947-4-1 clause 8.2.1.2, from memory",
    ),
    derive(
        "precharge.time_constant",
        "precharge.resistance controller.capacitance_likely",
        precharge.time_constant,
        "resistance x capacitance",
        "RC circuit",
    ),
    derive(
        "precharge.time_to_95",
        "precharge.resistance controller.capacitance_likely",
        lambda r, c: precharge.time_to_fraction(r, c, 0.95),
        "-RC ln(1 - 0.95)",
        "RC circuit",
    ),
    derive(
        "precharge.standing_load",
        "converter[].fed_from? converter[].input_current_idle?",
        _standing,
        "idle currents of the converters behind the contactor, added",
    ),
    derive(
        "precharge.final_voltage_share",
        "precharge.resistance precharge.standing_load battery.nominal_voltage",
        lambda r, load, voltage: max(0.0, 1.0 - load * r / voltage) if voltage else None,
        "1 - standing load x resistance / battery voltage",
        "Ohm's law",
    ),
    derive(
        "precharge.peak_current",
        "battery.full_voltage precharge.resistance",
        lambda voltage, r: float(precharge.inrush_current(voltage, r)) if r else None,
        "full voltage over resistance",
        "Ohm's law",
    ),
    derive(
        "precharge.peak_power",
        "battery.full_voltage precharge.resistance",
        lambda voltage, r: float(precharge.peak_power(voltage, r)) if r else None,
        "full voltage squared over resistance",
        "Ohm's law",
    ),
    derive(
        "precharge.energy_per_try",
        "battery.full_voltage controller.capacitance_likely",
        lambda voltage, c: precharge.resistor_energy(c, voltage),
        "half of capacitance x voltage squared, whatever the resistance",
        "RC circuit",
    ),
    derive(
        "key_switch.current_carried",
        "key_switch.switched contactor.coil_current_driven? controller.key_input_current?",
        _key_current,
        "coil current and controller input, as switched",
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
    assume(
        "contactor.role",
        "contactor[].present",
        lambda found: "main" if len(found) == 1 else None,
        "the only contactor listed is the main one",
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
