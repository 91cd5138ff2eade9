"""A finished vehicle with its readings, for tests of the rules that compare them."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path

from advisor.engine import Judge
from advisor.findings.report_model import Screening
from advisor.findings.screening import screen
from advisor.rules import load_rulesets
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet

FAMILIES = ("handoff-readings", "handoff-drive-readings", "handoff-trials")
EXAMPLE = "orchard-four-seater"
"""16 LFP cells of 105 A·h with 18 mΩ, charger 15 A and 58.4 V, converter 12.5 V, motor class F."""

HEALTHY: dict[str, str] = {
    # one 16-cell pack at about three quarters, 3.30 V a cell (open-circuit curve)
    "pack-a.resting_voltage": "52.8 V",
    "pack-a.charge_stated": "75 %",
    "pack-a.rested_time": "12 h",
    "pack-a.polarity_right": "yes",
    "pack-a.cell_spread": "20 mV",
    "pack-a.temperature_after_drive": "27 degC",
    "battery.polarity_right": "yes",
    "battery.voltage_joined": "52.8 V",
    "battery.voltage_at_rest": "52.8 V",
    "battery.rested_time": "12 h",
    # clean: a meter of 10 megohm draws each pole to the frame by itself
    "battery.voltage_plus_frame": "0.4 V",
    "battery.voltage_minus_frame": "0.6 V",
    "battery.isolation_resistor": "5.1 kohm",
    "battery.voltage_with_resistor": "0 V",
    # 18 mΩ at 150 A are 2.7 V (Ohm's law)
    "battery.voltage_before_load": "52.8 V",
    "battery.voltage_loaded": "50.2 V",
    "battery.current_loaded": "150 A",
    "battery.hottest_joint": "33 degC",
    "battery.standby_measured": "40 mA",
    "battery.standby_disconnected": "15 mA",
    "ctrl-1.bus_voltage_before_close": "52 V",
    "ctrl-1.precharge_time_measured": "1 s",
    "ctrl-1.voltage_key_on": "52.7 V",
    "ctrl-1.key_line_off_voltage": "0.1 V",
    "ctrl-1.pedal_lock_works": "yes",
    "ctrl-1.pedal_fault_stops": "yes",
    "ctrl-1.direction_lock_works": "yes",
    "ctrl-1.turns_right_way": "yes",
    "ctrl-1.temperature_after_drive": "41 degC",
    "main-contactor.opens_with_key": "yes",
    "main-contactor.voltage_past_open": "0.3 V",
    "main-contactor.drop_measured": "45 mV",
    "main-contactor.drop_current": "150 A",
    "main-switch.voltage_past_open": "0 V",
    # 2/0 AWG: 0.3173 Ω/km (NEC chapter 9 Table 8) x 0.9144 m x 150 A = 43.5 mV in 3 ft, 29 in 2 ft,
    # 21.8 mV in 18 in, 12.1 mV in 10 in; lugs lose 8 to 12 mV more
    # 7 in of 3/0 AWG: 0.2515 Ω/km x 0.178 m x 150 A = 6.7 mV
    "pack-to-fuse.drop_measured": "17 mV",
    "pack-to-fuse.drop_current": "150 A",
    "fuse-to-switch.drop_measured": "55 mV",
    "fuse-to-switch.drop_current": "150 A",
    "switch-to-bus.drop_measured": "38 mV",
    "switch-to-bus.drop_current": "150 A",
    "bus-to-contactor.drop_measured": "20 mV",
    "bus-to-contactor.drop_current": "150 A",
    "contactor-to-drive.drop_measured": "30 mV",
    "contactor-to-drive.drop_current": "150 A",
    "drive-to-bus.drop_measured": "30 mV",
    "drive-to-bus.drop_current": "150 A",
    "bus-to-shunt.drop_measured": "30 mV",
    "bus-to-shunt.drop_current": "150 A",
    "shunt-to-pack.drop_measured": "20 mV",
    "shunt-to-pack.drop_current": "150 A",
    "conv-12.output_idle_measured": "12.55 V",
    "conv-12.output_loaded_measured": "12.3 V",
    "conv-12.output_load_measured": "9 A",
    "meter.voltage_shown": "52.7 V",
    "meter.voltage_metered": "52.8 V",
    "meter.current_shown": "148 A",
    "meter.current_clamped": "150 A",
    "meter.charge_current_shown": "15.1 A",
    "meter.charge_shown": "76 %",
    "meter.zero_shown": "0.1 A",
    "meter.voltage_when_set_full": "58.3 V",
    # a 15 A charger that reads 15.2 to 15.3 A is healthy: common practice, no source
    "charger-a.current_measured": "15.3 A",
    "charger-a.joint_rise": "8 K",
    "charger-a.voltage_measured": "54.9 V",
    "charger-a.end_voltage": "58.3 V",
    "charger-a.end_current": "2 A",
    "charger-a.ended_by_itself": "yes",
    # a motor at room temperature reads about 70 degF: common practice, no source
    "motor-a.temperature_before_drive": "70 degF",
    "motor-a.temperature_after_drive": "62 degC",
    "use.air_temperature": "21 degC",
    # 35 ft from 20 mph allows 18.4 ft from 14.5 mph
    "vehicle.stopping_speed_measured": "14.5 mph",
    "vehicle.stopping_distance_measured": "15 ft",
    "vehicle.parking_brake_held": "yes",
    "vehicle.steers_uphill": "yes",
    "provisions.emergency_stop_works": "yes",
    "provisions.charge_interlock": "yes",
    "provisions.joints_torqued": "yes",
    "provisions.joints_rechecked": "yes",
    "provisions.first_drive_done": "yes",
    "provisions.owner_told": "yes",
    "provisions.documents_given": "yes",
}
"""Readings of a sound vehicle."""


@cache
def _judge() -> Judge:
    return Judge(load_rulesets(examples=False))


def read_out(
    folder: Path, readings: Mapping[str, str], replace: tuple[str, str] = ("", "")
) -> Screening:
    """The example with these readings, judged at handoff; one text of the sheet may be replaced."""
    source = example_sheets()[EXAMPLE]
    for beside in source.parent.glob("*.csv"):
        (folder / beside.name).write_bytes(beside.read_bytes())
    text = source.read_text(encoding="utf-8")
    assert replace[0] in text
    lines = [
        text.replace(*replace) if replace[0] else text,
        "readings:" if readings else "readings: none",
    ]
    for name, value in readings.items():
        part, _, what = name.rpartition(".")
        lines.append(f"  - {{of: {part}, what: {what}, value: {value}}}")
    path = folder / "vehicle.yaml"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    judge = _judge()
    return screen(read_sheet(path), judge.book, judge, "handoff")


def told(found: Screening) -> dict[str, str]:
    """The findings of these families by rule, with their text; those that follow are left out."""
    return {
        one.rule.name: one.text
        for one in (*found.findings, *found.notices)
        if one.rule.ruleset in FAMILIES
    }
