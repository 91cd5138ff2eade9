"""Readings of a sound vehicle give no finding; a wrong one, or several together, name the cause."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.findings.risk import Level, level_of
from tests.rules.readings import FAMILIES, HEALTHY, read_out, told


def test_a_sound_vehicle_gives_no_finding_and_leaves_no_serious_check_open(tmp_path: Path) -> None:
    found = read_out(tmp_path, HEALTHY)
    assert told(found) == {}
    still_open = {
        one.rule.name
        for one in found.undecided
        if one.rule.ruleset in FAMILIES and level_of(one.rule) >= Level.SERIOUS
    }
    assert still_open == set()
    assumed = {one.rule.name for one in found.only_assumed() if one.rule.ruleset in FAMILIES}
    assert assumed == set()


def test_without_readings_nothing_is_found_and_every_hazard_waits(tmp_path: Path) -> None:
    found = read_out(tmp_path, {})
    assert told(found) == {}
    waiting = {one.rule.name for one in found.undecided}
    assert {
        "joined-voltage-far-too-low",
        "battery-polarity-wrong",
        "pedal-lock-does-not-work",
        "voltage-past-open-contactor",
        "voltage-past-open-disconnect",
        "charge-voltage-above-limit",
        "joint-hot-after-drive",
        "stops-too-late",
        "parking-brake-did-not-hold",
    } <= waiting


# What is changed on the sound vehicle, the rules that then speak, and what the first must print.
FAULTS: list[tuple[str, dict[str, str], set[str], tuple[str, ...]]] = [
    (
        "packs: another cell count",
        {"pack-a.resting_voltage": "49.4 V"},
        {"pack-resting-voltage-off", "joined-voltage-off"},
        ("49.4 V",),
    ),
    (
        "one pack left out",
        {"battery.voltage_joined": "26.4 V"},
        {"joined-voltage-far-too-low"},
        ("26.4 V",),
    ),
    (
        "a string too long",
        {"battery.voltage_joined": "66 V"},
        {"joined-voltage-above-full"},
        ("66 V", "58.4 V"),
    ),
    (
        # leaks of 2 and 3 kilohm: V+ 0.4, V- 0.6 of 52.8 V; with 5.1 kilohm across 3 kilohm
        # 52.8 x 1888.9 / 3888.9 = 25.65 V; the smaller leak is 2 kilohm (Ohm's law)
        "acid film",
        {
            "battery.voltage_plus_frame": "21.12 V",
            "battery.voltage_minus_frame": "31.68 V",
            "battery.voltage_with_resistor": "25.65 V",
        },
        {"isolation-too-low"},
        ("2 kΩ", "5.12 kΩ"),
    ),
    (
        "readings of the isolation mixed up",
        {"battery.voltage_with_resistor": "40 V"},
        {"isolation-readings-contradict"},
        ("40 V",),
    ),
    (
        "precharge held down by the converter",
        {"ctrl-1.bus_voltage_before_close": "47 V"},
        {"precharge-weak"},
        ("47 V", "89"),
    ),
    (
        "precharge resistor open",
        {"ctrl-1.bus_voltage_before_close": "6 V"},
        {"precharge-hardly-works"},
        ("6 V", "11"),
    ),
    (
        "welded contacts",
        {"main-contactor.voltage_past_open": "52.7 V", "main-contactor.opens_with_key": "no"},
        {"voltage-past-open-contactor", "contactor-stays-closed-with-key-off"},
        ("52.7 V", "5.12 V"),
    ),
    (
        "a lamp past the contactor",
        {"main-contactor.voltage_past_open": "14 V"},
        {"some-voltage-past-open-contactor"},
        ("14 V", "5.12 V"),
    ),
    (
        "a wire past the disconnect",
        {"main-switch.voltage_past_open": "52.8 V"},
        {"voltage-past-open-disconnect"},
        ("52.8 V",),
    ),
    (
        "key line fed backwards",
        {"ctrl-1.key_line_off_voltage": "12 V"},
        {"key-input-live-when-off"},
        ("12 V", "5 V"),
    ),
    (
        "converter right when idle, low under load",
        {"conv-12.output_loaded_measured": "10.1 V"},
        {"converter-sags-under-load"},
        ("12.55 V", "10.1 V", "9 A"),
    ),
    (
        "converter passes the battery through",
        {"conv-12.output_idle_measured": "52 V"},
        {"converter-output-far-too-high"},
        ("52 V",),
    ),
    (
        "charge current low while the voltage is low",
        {"charger-a.current_measured": "9 A", "meter.charge_current_shown": "9 A"},
        {"charge-current-low"},
        ("9 A", "54.9 V"),
    ),
    (
        "charger of another kind",
        {"charger-a.current_measured": "25 A", "meter.charge_current_shown": "25 A"},
        {"charge-current-above-rating"},
        ("25 A", "15 A"),
    ),
    (
        "charger with an equalise stage",
        {"charger-a.end_voltage": "62 V"},
        {"charge-voltage-above-limit"},
        ("62 V", "58.4 V"),
    ),
    (
        "one cell full before the others",
        {"charger-a.end_voltage": "56.5 V", "charger-a.end_current": "15 A"},
        {"charge-cut-off-in-full-flow"},
        ("15 A", "56.5 V"),
    ),
    (
        "shunt turned round",
        {"meter.current_shown": "-148 A", "meter.charge_current_shown": "-15 A"},
        {"monitor-counts-backwards"},
        ("-148 A", "150 A"),
    ),
    (
        "drive negative past the shunt",
        {"meter.current_shown": "0.4 A"},
        {"monitor-sees-no-current"},
        ("0.4 A", "150 A"),
    ),
    (
        "charger negative past the shunt",
        {"meter.charge_current_shown": "0 A"},
        {"monitor-does-not-see-the-charge"},
        ("0 A", "15.3 A"),
    ),
    (
        "part of the current past the shunt",
        {"meter.current_shown": "90 A"},
        {"monitor-misses-part-of-the-current"},
        ("60 %", "150 A"),
    ),
    (
        # 3.30 V a cell is three quarters full by the curve; the display says full
        "set to full while not full",
        {
            "meter.charge_shown": "100 %",
            "battery.voltage_at_rest": "52.2 V",
            "ctrl-1.voltage_key_on": "52.1 V",
        },
        {"monitor-shows-too-much-charge"},
        ("100 %", "52.2 V"),
    ),
    (
        "never set to full",
        {"meter.charge_shown": "20 %"},
        {"monitor-shows-too-little-charge"},
        ("20 %",),
    ),
    (
        # 52.8 - 44 V at 150 A: 58.7 milliohm against 18
        "a joint in the battery circuit",
        {"battery.voltage_loaded": "44 V"},
        {"resistance-heats-in-the-battery"},
        ("58.7 mΩ", "18 mΩ"),
    ),
    (
        # 150 A lose 150 mV: 10 W beyond 82 mV
        "cable of a smaller gauge",
        {"fuse-to-switch.drop_measured": "150 mV"},
        {"cable-drop-too-high"},
        ("150 mV", "1 mΩ"),
    ),
    (
        # 400 mV at 150 A: 48 W more than the cable explains
        "bad crimp",
        {"fuse-to-switch.drop_measured": "400 mV"},
        {"joint-turns-current-into-heat"},
        ("400 mV",),
    ),
    (
        "meter on the wrong cable",
        {"fuse-to-switch.drop_measured": "3 mV"},
        {"cable-drop-too-low"},
        ("3 mV",),
    ),
    ("loose lug", {"battery.hottest_joint": "60 degC"}, {"joint-hot-after-drive"}, ("60 °C",)),
    (
        "infrared thermometer on bare metal",
        {"motor-a.temperature_before_drive": "120 degF"},
        {"motor-thermometer-off"},
        ("48.9 °C",),
    ),
    (
        # class F: 155 °C (IEC 60085)
        "motor at its limit",
        {"motor-a.temperature_after_drive": "140 degC"},
        {"motor-at-its-limit-after-drive"},
        ("140 °C", "155 °C"),
    ),
    (
        "a lamp nobody listed",
        {"battery.standby_measured": "300 mA", "battery.standby_disconnected": "280 mA"},
        {"standby-empties-it-in-two-weeks", "current-past-the-open-disconnect"},
        ("300 mA",),
    ),
    (
        # 35 ft x (14.5 / 20) squared = 18.4 ft = 5.61 m
        "brakes out of adjustment",
        {"vehicle.stopping_distance_measured": "26 ft"},
        {"stops-too-late"},
        ("7.92 m", "5.61 m"),
    ),
]


@pytest.mark.parametrize(
    ("changed", "rules", "printed"),
    [one[1:] for one in FAULTS],
    ids=[one[0].replace(" ", "-") for one in FAULTS],
)
def test_a_fault_is_named(
    tmp_path: Path, changed: dict[str, str], rules: set[str], printed: tuple[str, ...]
) -> None:
    found = told(read_out(tmp_path, HEALTHY | changed))
    assert set(found) == rules
    texts = " ".join(found.values())
    for text in printed:
        assert text in texts, texts


def test_a_wrong_shunt_setting_is_told_from_a_bypass(tmp_path: Path) -> None:
    """Set to 75 mV for a shunt of 50 mV the monitor shows two thirds (Ohm's law)."""
    readings = HEALTHY | {"meter.current_shown": "100 A", "meter.charge_current_shown": "10.2 A"}
    setting = ("set_shunt_millivolts: 50 mV", "set_shunt_millivolts: 75 mV")
    found = told(read_out(tmp_path, readings, setting))
    assert set(found) == {"monitor-current-wrong"}
    assert "66.7 %" in found["monitor-current-wrong"]


def test_no_isolation_is_asked_where_the_negative_is_tied_to_the_frame(tmp_path: Path) -> None:
    readings = {
        name: value
        for name, value in HEALTHY.items()
        if "frame" not in name and "resistor" not in name
    }
    found = read_out(tmp_path, readings, ("frame_referenced: no", "frame_referenced: yes"))
    asked = {one.rule.name for one in found.undecided}
    assert not asked & {"isolation-too-low", "pole-on-the-frame"}


@pytest.mark.parametrize("part", sorted({name.rpartition(".")[0] for name in HEALTHY}))
def test_readings_missing_on_one_part_never_give_a_finding(tmp_path: Path, part: str) -> None:
    readings = {name: one for name, one in HEALTHY.items() if not name.startswith(f"{part}.")}
    assert told(read_out(tmp_path, readings)) == {}
