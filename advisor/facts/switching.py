"""Derivations about main contactor, precharge and key switch."""

from __future__ import annotations

from advisor.facts.derivation import Derivation, Result, assume, derive
from advisor.physics import precharge

_COIL = "contactor.coil_fed_from"
_DRIVER = "controller.contactor_driver_voltage?"


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


DERIVATIONS: list[Derivation] = [
    derive(
        "contactor.voltage_to_break",
        "contactor.role battery.full_voltage",
        lambda role, full: None if role == "auxiliary" else full,
        "voltage of the full battery, for contacts in the traction circuit",
    ),
    assume(
        "contactor.voltage_to_break",
        "battery.full_voltage",
        lambda full: full,
        "voltage of the full battery: an auxiliary contactor may stand in the traction circuit; "
        "the plan of the cables shows it",
        "common practice, no source",
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
    assume(
        "contactor.role",
        "contactor[].present",
        lambda found: "main" if len(found) == 1 else None,
        "the only contactor listed is the main one",
        "common practice, no source",
    ),
]
