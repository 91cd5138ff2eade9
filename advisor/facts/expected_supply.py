"""What readings on charger, converter and monitor should be."""

from __future__ import annotations

from advisor.facts.derivation import Derivation, Formula, Result, derive

_PRACTICE = "common practice, no source"
_METER = 0.005  # of a reading, of a usual multimeter
_AMP_HOUR = 3600.0


def _clamped(current: float, sign: float) -> float:
    """A clamp meter for direct current: 5 % and an ampere, which holds its zero error too."""
    return current + sign * (0.05 * abs(current) + 1.0)


def _end_voltage(sign: float) -> Formula:
    def formula(voltage: float, tolerance: float) -> Result:
        return voltage * (1 + sign * (tolerance + _METER))

    return formula


DERIVATIONS: list[Derivation] = [
    derive(
        "charger.current_expected_min",
        "charger.current_max",
        lambda current: 0.95 * current,
        "95 % of its rated current, until the battery nears its end voltage",
        _PRACTICE,
    ),
    derive(
        "charger.current_expected_max",
        "charger.current_max",
        lambda current: 1.05 * current,
        "105 % of its rated current: a 15 A charger that reads 15.2 to 15.3 A is healthy",
        _PRACTICE,
    ),
    derive(
        "charger.joint_rise_expected_max",
        "",
        lambda: 30.0,
        "30 K above the air: a joint that rises more at sustained load is a stop",
        _PRACTICE,
    ),
    derive(
        "charger.voltage_expected_min",
        "battery.empty_voltage",
        lambda voltage: voltage,
        "the empty battery",
    ),
    derive(
        "charger.voltage_expected_max",
        "charger.set_voltage charger.tolerance",
        _end_voltage(1.0),
        "charge voltage with its tolerance and the meter's 0.5 %",
        _PRACTICE,
    ),
    derive(
        "charger.end_voltage_expected_min",
        "charger.set_voltage charger.tolerance",
        _end_voltage(-1.0),
        "charge voltage less its tolerance and the meter's 0.5 %",
        _PRACTICE,
    ),
    derive(
        "charger.end_voltage_expected_max",
        "charger.set_voltage charger.tolerance",
        _end_voltage(1.0),
        "charge voltage with its tolerance and the meter's 0.5 %",
        _PRACTICE,
    ),
    derive(
        "charger.end_current_expected_max",
        "charger.tail_current",
        lambda current: 1.5 * current,
        "one and a half times the current at which it ends",
        _PRACTICE,
    ),
    derive(
        "charger.end_current_expected_max",
        "battery.capacity",
        lambda capacity: 0.05 * capacity / _AMP_HOUR,
        "5 A for each 100 A·h",
        "monitor notes: full at a tail of about 4 % of the capacity; from memory",
        fallback=True,
    ),
    derive(
        "converter.output_idle_expected_min",
        "converter.output_voltage",
        lambda voltage: 0.95 * voltage,
        "its output voltage less 5 %",
        _PRACTICE,
    ),
    derive(
        "converter.output_idle_expected_max",
        "converter.output_voltage",
        lambda voltage: 1.05 * voltage,
        "its output voltage and 5 %",
        _PRACTICE,
    ),
    derive(
        "converter.output_loaded_expected_min",
        "converter.output_voltage",
        lambda voltage: 0.92 * voltage,
        "its output voltage less 5 %, and 3 % lost in the leads",
        _PRACTICE,
    ),
    derive(
        "converter.output_loaded_expected_max",
        "converter.output_voltage",
        lambda voltage: 1.05 * voltage,
        "its output voltage and 5 %",
        _PRACTICE,
    ),
    derive(
        "monitor.voltage_shown_expected_min",
        "monitor.voltage_metered",
        lambda voltage: voltage * (1 - 2 * _METER),
        "the meter's reading, less 1 % for two instruments",
        _PRACTICE,
    ),
    derive(
        "monitor.voltage_shown_expected_max",
        "monitor.voltage_metered",
        lambda voltage: voltage * (1 + 2 * _METER),
        "the meter's reading, and 1 % for two instruments",
        _PRACTICE,
    ),
    *(
        derive(
            f"monitor.{shown}_expected_{end}",
            clamped,
            lambda current, sign=sign: _clamped(current, sign),
            f"the clamp meter's reading, {words} 5 % and 1 A",
            "from memory: clamp meters for direct current hold 2 to 3 % and some digits",
        )
        for shown, clamped in (
            ("current_shown", "monitor.current_clamped"),
            ("charge_current_shown", "charger.current_measured"),
        )
        for end, sign, words in (("min", -1.0, "less"), ("max", 1.0, "and"))
    ),
    derive(
        "monitor.current_ratio",
        "monitor.current_shown monitor.current_clamped",
        lambda shown, clamped: shown / clamped if clamped >= 5.0 else None,
        "current shown over current clamped, from 5 A",
    ),
    derive(
        "monitor.charge_shown_expected_min",
        "battery.charge_at_rest_min",
        lambda charge: max(charge - 0.05, 0.0),
        "least charge that fits the resting voltage, less 5 points",
        _PRACTICE,
    ),
    derive(
        "monitor.charge_shown_expected_max",
        "battery.charge_at_rest_max",
        lambda charge: min(charge + 0.05, 1.0),
        "most charge that fits the resting voltage, and 5 points",
        _PRACTICE,
    ),
]
