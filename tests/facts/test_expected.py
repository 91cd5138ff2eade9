"""What readings should be, against numbers worked by hand; each says by which law or table."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.facts.expected_battery import _least_charge, _most_charge
from advisor.facts.expected_isolation import _isolation
from advisor.tables.reader import curve
from advisor.vocabulary import VOCABULARY, Kind
from tests.facts.making import LFP_16, facts, known, number, unknown

ZERO = 273.15


def readings(**values: str) -> str:
    """A readings section; `battery__voltage_joined="52 V"` is of `battery`."""
    lines = []
    for name, value in values.items():
        part, _, what = name.partition("__")
        lines.append(f"  - {{of: {part.replace('_', '-')}, what: {what}, value: {value}}}")
    return "readings:\n" + "\n".join(lines) + "\n"


def test_every_expectation_belongs_to_a_reading_of_the_same_kind() -> None:
    for path, attribute in VOCABULARY.attributes.items():
        for end in ("_expected_min", "_expected_max"):
            if not attribute.name.endswith(end):
                continue
            base = path.removesuffix(end)
            reading = VOCABULARY.attributes.get(base) or VOCABULARY.attributes[f"{base}_measured"]
            assert reading.kind is Kind.QUANTITY
            assert reading.dimension == attribute.dimension, path
            assert not attribute.given, path


def test_packs_of_a_string_add_up() -> None:
    """Kirchhoff: 26.3 V + 26.5 V = 52.8 V; two readings of 0.5 % each are 1 %."""
    packs = (
        "battery: {packs_in_series: 2}\nparts:\n  packs:\n"
        "    - {id: a, chemistry: lfp, nominal_voltage: 25.6 V, full_voltage: 29.2 V}\n"
        "    - {id: b, chemistry: lfp, nominal_voltage: 25.6 V, full_voltage: 29.2 V}\n"
    )
    read = readings(a__resting_voltage="26.3 V", b__resting_voltage="26.5 V")
    found = facts(packs + read)
    assert number(found, "battery.voltage_joined_expected_min") == pytest.approx(52.8 * 0.99)
    assert number(found, "battery.voltage_joined_expected_max") == pytest.approx(52.8 * 1.01)


def test_packs_not_read_singly_leave_the_whole_window() -> None:
    """From empty to full: 16 x 2.5 V = 40 V to 16 x 3.65 V = 58.4 V (cell windows)."""
    found = facts(LFP_16)
    assert number(found, "battery.voltage_joined_expected_min") == pytest.approx(40.0)
    assert number(found, "battery.voltage_joined_expected_max") == pytest.approx(58.4)


def test_a_pack_charged_to_the_end_rests_near_its_rested_full_voltage() -> None:
    """54.4 V for sixteen LFP cells after a full charge: from memory of the trade."""
    found = facts(LFP_16 + "battery: {packs_charged_full: yes}\n")
    least = number(found, "pack-a.resting_voltage_expected_min")
    most = number(found, "pack-a.resting_voltage_expected_max")
    assert least < 54.4 < most
    assert least > 49.8  # 3.11 V a cell, 15 % charge in the cell model, is not full


def test_resistance_from_sag() -> None:
    """Ohm's law: from 53 V to 50 V at 150 A are 20 milliohm."""
    found = facts(
        LFP_16
        + readings(
            battery__voltage_before_load="53 V",
            battery__voltage_loaded="50 V",
            battery__current_loaded="150 A",
        )
    )
    assert number(found, "battery.resistance_measured") == pytest.approx(0.020)
    # 15 milliohm of the pack: 2.25 V expected, half more is 3.375 V
    assert number(found, "battery.voltage_loaded_expected_min") == pytest.approx(53 - 3.375)


def test_drop_along_a_cable() -> None:
    """2/0 AWG, 75 degC: 0.0967 ohm per 1000 ft (NEC chapter 9 Table 8); 10 ft at 150 A.

    0.145 V. The table is for class B strands and printed to three digits; fine strands have up to
    2 % more, hence 3 %.
    """
    found = facts(
        "wiring:\n  - {id: run-1, from: pack-a.plus, to: main.in, circuit: traction,"
        " gauge: 2/0 AWG, size_system: awg, length: 10 ft, material: copper}\n"
        "parts:\n  packs: [{id: pack-a, chemistry: lfp}]\n"
        "  fuses: [{id: main, role: main}]\n"
        + readings(run_1__drop_measured="300 mV", run_1__drop_current="150 A")
    )
    drop = number(found, "run-1.drop_expected")
    assert drop == pytest.approx(0.0967 / 1000 * 10 * 150, rel=0.03)
    assert number(found, "run-1.resistance_measured") == pytest.approx(0.002)
    assert number(found, "run-1.drop_expected_min") < drop * 0.82  # copper at 20 degC, IEC 60028
    assert number(found, "run-1.drop_expected_max") == pytest.approx(1.2 * drop + 0.030)


def test_precharge_after_three_time_constants() -> None:
    """1 - exp(-3) = 0.950 of 53 V is 50.36 V (RC circuit)."""
    found = facts(
        "parts:\n  controllers: [{id: drive}]\n"
        + readings(battery__voltage_joined="53 V", drive__bus_voltage_before_close="50.36 V")
    )
    assert number(found, "drive.precharge_fraction") == pytest.approx(0.950, abs=0.0005)
    assert number(found, "drive.bus_voltage_before_close_expected_min") == pytest.approx(50.35)


def test_precharge_is_unknown_where_the_battery_was_not_read() -> None:
    found = facts(
        LFP_16 + "  controllers: [{id: drive}]\n" + readings(drive__bus_voltage_before_close="50 V")
    )
    unknown(found, "drive.precharge_fraction")


@pytest.mark.parametrize(("letter", "celsius"), [("a", 105), ("b", 130), ("f", 155), ("h", 180)])
def test_insulation_classes(letter: str, celsius: float) -> None:
    """Thermal classes of IEC 60085, as restated in a motor manual."""
    found = facts(f"parts:\n  motors: [{{id: m, insulation_class: {letter}}}]\n")
    limit = known(found, "m.temperature_limit")
    assert limit.value == pytest.approx(celsius + ZERO)
    assert not limit.assumed


def test_an_unknown_insulation_class_is_an_assumption() -> None:
    """The lowest class in use, marked as assumed."""
    limit = known(facts("parts:\n  motors: [{id: m, type: series-dc}]\n"), "m.temperature_limit")
    assert limit.assumed
    assert limit.value == pytest.approx(105 + ZERO)


def test_a_motor_at_room_temperature() -> None:
    """About 70 degF, 21.1 degC: common practice, no source. An assumption until the air is read."""
    motor = "parts:\n  motors: [{id: m, type: series-dc}]\n"
    least = known(facts(motor), "m.temperature_before_drive_expected_min")
    most = known(facts(motor), "m.temperature_before_drive_expected_max")
    assert least.assumed
    assert most.assumed
    assert float(least.value) < 21.1 + ZERO < float(most.value)
    winter = facts(motor + readings(use__air_temperature="-5 degC"))
    assert number(winter, "m.temperature_before_drive_expected_max") == pytest.approx(5 + ZERO)
    assert not known(winter, "m.temperature_before_drive_expected_max").assumed


def test_a_hot_joint_needs_the_air() -> None:
    """30 K above the air is a stop: common practice, no source. Without the air nothing is said."""
    unknown(facts(LFP_16), "battery.hottest_joint_expected_max")
    found = facts(LFP_16 + readings(use__air_temperature="21 degC"))
    assert number(found, "battery.hottest_joint_expected_max") == pytest.approx(51 + ZERO)


def test_a_resistor_across_the_contactor_keeps_the_bus_at_battery_voltage() -> None:
    """By plan nothing is wrong there; else a tenth of 51.2 V."""
    contactor = "  contactors: [{id: k, role: main}]\n"
    plain = facts(LFP_16 + contactor)
    assert number(plain, "k.voltage_past_open_expected_max") == pytest.approx(5.12)
    bridged = facts(
        LFP_16
        + contactor
        + "  precharges: [{id: r, place: across-contactor, controlled_by: none}]\n"
    )
    assert number(bridged, "k.voltage_past_open_expected_max") == pytest.approx(58.4)


def test_a_shunt_reading_is_compared_from_five_amperes() -> None:
    monitor = "parts:\n  monitors: [{id: m, kind: coulomb}]\n"
    found = facts(monitor + readings(m__current_shown="33 A", m__current_clamped="50 A"))
    assert number(found, "m.current_ratio") == pytest.approx(0.66)
    small = facts(monitor + readings(m__current_shown="0.2 A", m__current_clamped="1 A"))
    unknown(small, "m.current_ratio")


LEAKS = st.floats(1e2, 1e6)


@given(plus=LEAKS, minus=LEAKS, battery=st.floats(12, 120), resistor=st.floats(1e3, 1e5))
def test_the_voltmeter_method_gives_the_smaller_leak(
    plus: float, minus: float, battery: float, resistor: float
) -> None:
    """Kirchhoff, an ideal meter: the method of UN R100 Annex 5A returns the smaller of two leaks.

    Only where the display's last digit, 10 mV, does not cut the reading.
    """
    low, high = sorted((plus, minus))
    before = battery * high / (low + high)
    beside = high * resistor / (high + resistor)
    after = battery * beside / (low + beside)
    if after < 0.02:
        return
    found = _isolation(before, battery - before, after, resistor, battery)
    assert isinstance(found, float)
    assert found == pytest.approx(low, rel=1e-6)


@given(st.sampled_from(["lfp", "nmc", "lead-flooded"]), st.integers(0, 100), st.integers(1, 24))
def test_a_charge_always_fits_its_own_voltage(chemistry: str, percent: int, cells: int) -> None:
    """The resting voltage of a charge, by the published curve, allows that charge."""
    cell = curve("open-circuit", chemistry, percent / 100)
    assert cell is not None
    for rested in (None, 3600.0, 86400.0):
        least = _least_charge(chemistry, cells, cell * cells, rested)
        most = _most_charge(chemistry, cells, cell * cells, rested)
        assert least is not None
        assert most is not None
        assert least <= percent / 100 <= most


@pytest.mark.parametrize(
    ("key_on_time", "expected"),
    [
        ("2026-11-12 13:22", 53.63),  # the day of joining: two rests of one state of charge
        ("2026-11-14 09:05", 52.35),  # the morning of the later one
        ("2026-11-14", 52.35),
        ("", 52.35),  # not known: the voltage at rest, as before
    ],
)
def test_the_controller_is_compared_with_the_battery_of_its_own_day(
    key_on_time: str, expected: float
) -> None:
    """A battery that rests at 53.6 V when full rests lower after a drive (open-circuit curve)."""
    found = facts(
        "parts:\n  controllers: [{id: drive}]\nreadings:\n"
        "  - {of: battery, what: voltage_joined, value: 53.63 V, time: 2026-11-12 10:12}\n"
        "  - {of: battery, what: voltage_at_rest, value: 52.35 V, time: 2026-11-14 09:00}\n"
        "  - {of: drive, what: voltage_key_on, value: 53.5 V"
        + (f", time: {key_on_time}" if key_on_time else "")
        + "}\n"
    )
    assert number(found, "drive.voltage_key_on_expected_min") == pytest.approx(0.98 * expected)
    assert number(found, "drive.voltage_key_on_expected_max") == pytest.approx(1.01 * expected)


def test_a_lost_volt_is_not_hidden_by_a_later_reading_of_a_fuller_or_emptier_battery() -> None:
    """1.3 V are lost on the first day; the battery rests as low as that two days later."""
    found = facts(
        "parts:\n  controllers: [{id: drive}]\nreadings:\n"
        "  - {of: battery, what: voltage_joined, value: 53.6 V, time: 2026-11-12 10:12}\n"
        "  - {of: drive, what: voltage_key_on, value: 52.3 V, time: 2026-11-12 13:22}\n"
        "  - {of: battery, what: voltage_at_rest, value: 52.3 V, time: 2026-11-14}\n"
    )
    assert number(found, "drive.voltage_key_on_expected_min") > 52.3


def test_the_bus_before_closing_is_compared_with_the_battery_of_its_own_day() -> None:
    found = facts(
        "parts:\n  controllers: [{id: drive}]\nreadings:\n"
        "  - {of: battery, what: voltage_joined, value: 53.0 V, time: 2026-11-12 10:12}\n"
        "  - {of: drive, what: bus_voltage_before_close, value: 50.36 V, time: 2026-11-12 13:20}\n"
        "  - {of: drive, what: voltage_key_on, value: 51.0 V, time: 2026-11-20 08:00}\n"
    )
    assert number(found, "drive.precharge_fraction") == pytest.approx(50.36 / 53.0)
