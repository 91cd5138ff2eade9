"""Derived values against numbers worked by hand or published elsewhere; each says which."""

from __future__ import annotations

import math

import pytest

from advisor.facts import DERIVATIONS
from advisor.vocabulary import VOCABULARY
from tests.facts.making import LFP_16, facts, known, number, unknown

AH = 3600.0
DAY = 86400.0


def test_every_derivation_gives_and_needs_known_names() -> None:
    for (subject, attribute), ways in DERIVATIONS.items():
        assert f"{subject}.{attribute}" in VOCABULARY.attributes
        for one in ways:
            for need in one.needs:
                for member in VOCABULARY.members(need.subject):
                    assert f"{member}.{need.attribute}" in VOCABULARY.attributes, (one, need)


def test_sixteen_lfp_cells() -> None:
    """16 x 3.65 V = 58.4 V (LFP cell sheet); 16 x 3.40 V = 54.4 V rested."""
    found = facts(LFP_16)
    assert number(found, "battery.cells_in_series") == 16
    assert number(found, "battery.full_voltage") == pytest.approx(58.4)
    assert number(found, "battery.rested_full_voltage") == pytest.approx(54.4)
    assert number(found, "battery.over_voltage_trip") == pytest.approx(16 * 3.7)


def test_a_label_of_48_v_does_not_decide_the_cells_of_a_lithium_pack() -> None:
    """15 x 3.2 V is 48.0 V, yet packs of 16 cells are sold as 48 V too."""
    text = "parts:\n  packs:\n    - {id: p, chemistry: lfp, nominal_voltage: 48 V}\n"
    assert unknown(facts(text), "p.full_voltage").facts
    full = text.replace("48 V}", "48 V, full_voltage: 58.4 V}")
    assert number(facts(full), "p.cells_in_series") == 16


def test_two_24_v_packs_in_series_make_a_48_v_system() -> None:
    """Common practice, no source: 2 x 25.6 V = 51.2 V."""
    pack = "chemistry: lfp, nominal_voltage: 25.6 V, capacity: 60 Ah"
    found = facts(
        "battery: {packs_in_series: 2}\nparts:\n  packs:\n"
        f"    - {{id: a, {pack}}}\n    - {{id: b, {pack}}}\n"
    )
    assert number(found, "battery.nominal_voltage") == pytest.approx(51.2)
    assert number(found, "battery.capacity") == pytest.approx(60 * AH)
    assert number(found, "battery.packs_in_parallel") == 1


def test_parallel_packs_add_current_and_capacity_and_fault_current() -> None:
    """Bank rule: parallel adds, series does not (ABYC E-11, as reproduced)."""
    text = (
        "battery: {packs_in_parallel: 3, packs_in_series: 2}\nparts:\n  packs:\n"
        "    - {id: p, count: 6, chemistry: lead-flooded, nominal_voltage: 6 V, capacity: 225 Ah,"
        " short_circuit_current: 2400 A, internal_resistance: 2.5 mohm,"
        " discharge_continuous: 75 A}\n"
    )
    found = facts(text)
    assert number(found, "battery.nominal_voltage") == pytest.approx(12)
    assert number(found, "battery.short_circuit_current") == pytest.approx(7200)
    assert number(found, "battery.capacity") == pytest.approx(675 * AH)
    assert number(found, "battery.internal_resistance") == pytest.approx(2 * 2.5e-3 / 3)
    assert number(found, "battery.discharge_continuous") == pytest.approx(225)


def test_six_blocks_of_63_lb_replaced_by_two_packs_of_34_lb_save_310_lb() -> None:
    """Common practice, no source: 6 x 63 - 2 x 34 = 310 lb."""
    found = facts(
        "parts:\n  packs:\n    - {id: p, count: 2, mass: 34 lb}\n"
        "removed:\n  - {id: old, kind: lead-acid-block, count: 6, mass: 63 lb}\n"
    )
    assert number(found, "vehicle.mass_change") == pytest.approx(-310 * 0.45359237)


def charger(extra: str, ambient: str = "20 .. 30 degC") -> str:
    return (
        f"use: {{ambient: {ambient}}}\n"
        + LFP_16
        + f"  chargers:\n    - {{id: chg, current_max: 18 A, set_voltage: {extra}}}\n"
    )


def test_a_lead_acid_charger_in_the_cold_with_equalise() -> None:
    """24 x 2.65 V = 63.6 V; at 0 °C 24 x 5 mV x 25 K = 3.0 V more; published table of stages."""
    found = facts(
        charger(
            "58.8 V, profile: lead-flooded, equalise: yes, equalise_can_be_disabled: no, "
            "temperature_compensation: -5 mV/cell/K, tolerance: 0 %",
            "0 .. 30 degC",
        )
    )
    assert number(found, "chg.lead_cells") == 24
    assert number(found, "chg.voltage_highest") == pytest.approx(63.6 + 3.0)
    no_equalise = facts(
        charger(
            "58.8 V, profile: lead-flooded, equalise: no, tolerance: 0 %, "
            "temperature_compensation: -5 mV/cell/K",
            "0 .. 30 degC",
        )
    )
    assert number(no_equalise, "chg.voltage_highest") == pytest.approx(61.8)


def test_a_lithium_charger_is_not_raised_in_the_cold() -> None:
    """58.4 V +/- 0.5 % reaches 58.69 V (worked by hand)."""
    found = facts(
        charger("58.4 V, profile: lithium, tolerance: 0.5 %, equalise: no", "-20 .. 30 degC")
    )
    assert number(found, "chg.voltage_highest") == pytest.approx(58.692)


def test_current_from_the_outlet() -> None:
    """18 A x 58.4 V / 0.90 = 1168 W, 9.73 A at 120 V; a 15 A circuit allows 12 A (NEC 210.23)."""
    text = "supply: {voltage: 120 V, circuit_rating: 15 A}\n" + charger(
        "58.4 V, efficiency: 90 %, power_factor: 100 %"
    )
    found = facts(text)
    assert number(found, "chg.ac_input_current") == pytest.approx(1168 / 120, rel=1e-3)
    assert number(found, "supply.load_allowed") == pytest.approx(12)


def test_charge_time() -> None:
    """105 A·h from 20 to 100 % at 18 A and 99 %: 4.71 h, and half an hour at the end."""
    hours = number(facts(charger("58.4 V")), "chg.charge_time") / 3600
    assert hours == pytest.approx(4.71 + 0.5, abs=0.01)


def test_standing_of_a_winter() -> None:
    """210 A·h at 55 %, 89 mA and 2 %/month last about 51 days (worked by hand: 115.5 A·h over
    2.136 A·h and 0.138 A·h a day)."""
    text = (
        "complete: all\nbattery: {packs_in_parallel: 2, stored_charge: 55 %}\n"
        "use: {storage_time: 5 month, stored_state: key-off}\nparts:\n  packs:\n"
        "    - {id: p, count: 2, chemistry: lfp, nominal_voltage: 51.2 V, capacity: 105 Ah,"
        " self_discharge: 2 %/month, bms: {kind: internal-switch, standby_current: 44.5 mA}}\n"
    )
    days = number(facts(text), "battery.days_to_cutoff") / DAY
    assert days == pytest.approx(115.5 / (0.089 * 24 + 0.02 * 210 / 30.4375), rel=1e-3)
    assert round(days) == 51


def precharge(resistance: str, extra: str = "") -> str:
    return (
        "complete: [auxiliary]\n"
        + LFP_16
        + "  controllers:\n    - {id: ctrl, capacitance: 5 mF}\n"
        + f"  precharges:\n    - {{id: pre, resistance: {resistance}{extra}}}\n"
    )


def test_precharge() -> None:
    """tau = 100 ohm x 5 mF = 0.5 s; 95 % after 3.00 tau; 0.5 C V² = 8.53 J; 58.4²/50 = 68 W."""
    found = facts(precharge("100 ohm"))
    assert number(found, "pre.time_constant") == pytest.approx(0.5)
    assert number(found, "pre.time_to_95") == pytest.approx(0.5 * math.log(20))
    assert number(found, "pre.energy_per_try") == pytest.approx(0.5 * 5e-3 * 58.4**2)
    assert number(facts(precharge("50 ohm")), "pre.peak_power") == pytest.approx(68.2, abs=0.05)


def test_a_converter_behind_the_resistor_keeps_the_bus_low() -> None:
    """30 mA through 250 ohm leave 7.5 V for ever (worked by hand)."""
    text = precharge("250 ohm").replace("complete: [auxiliary]\n", "") + (
        "  converters:\n    - {id: conv, fed_from: after-contactor, idle_current: 30 mA}\n"
    )
    share = number(facts(text), "pre.final_voltage_share")
    assert share == pytest.approx(1 - 7.5 / 51.2)


def test_coil_on_the_battery() -> None:
    """A 48 V coil sees 58.4/48 = 1.22 right after a charge and 54.4/48 = 1.13 while driving."""
    text = LFP_16 + "  contactors:\n    - {id: k, coil_voltage: 48 V, coil_fed_from: battery}\n"
    found = facts(text)
    assert number(found, "k.coil_supply_full") / 48 == pytest.approx(1.217, abs=1e-3)
    assert number(found, "k.coil_voltage_ratio") == pytest.approx(1.133, abs=1e-3)


def test_a_36_v_coil_heats_2_3_times() -> None:
    """54.4/36 = 1.51, squared 2.28 (worked by hand)."""
    text = LFP_16 + "  contactors:\n    - {id: k, coil_voltage: 36 V, coil_fed_from: battery}\n"
    assert number(facts(text), "k.coil_voltage_ratio") ** 2 == pytest.approx(2.28, abs=0.01)


def test_a_battery_current_limit_decides_what_a_controller_asks_for() -> None:
    base = LFP_16 + "  controllers:\n    - {id: c, motor_current_peak: 400 A"
    limited = facts(base + ", battery_current_limit: 200 A}\n")
    assert number(limited, "c.current_asked") == 200
    assert not known(limited, "c.current_asked").assumed
    brushed = facts(base + ", motor_type: series-dc}\n")
    assert number(brushed, "c.current_asked") == 400
    inverter = facts(base + ", motor_type: pm-ac, rated_input_power: 10.24 kW}\n")
    assert number(inverter, "c.current_asked") == pytest.approx(200)
    assert known(facts(base + ", motor_type: pm-ac}\n"), "c.current_asked").assumed


def test_converter_loads() -> None:
    """Two headlamps of 4 A and a horn of 5 A, a winch that starts at 60 A and runs at 25 A."""
    found = facts(
        "parts:\n  converters:\n    - {id: conv, output_current: 30 A}\n  loads:\n"
        "    - {id: head, kind: headlamp, bus: 12v, current: 4 A, count: 2}\n"
        "    - {id: horn, kind: horn, bus: 12v, current: 5 A, used_together: no}\n"
        "    - {id: winch, kind: winch, bus: 12v, current: 25 A, peak_current: 60 A}\n"
    )
    assert number(found, "conv.load_continuous") == pytest.approx(33)
    assert number(found, "conv.load_needed") == pytest.approx(41.25)
    assert number(found, "conv.load_peak") == pytest.approx(68)
    assert known(found, "winch.needs_buffer").value is True


@pytest.mark.parametrize(("stated", "drawn"), [("efficiency: 88 %, ", 11.10), ("", 11.49)])
def test_a_load_that_stays_on_draws_through_the_converter(stated: str, drawn: float) -> None:
    """40 mA at 12.5 V is 0.5 W; 0.5 W / 51.2 V / 0.88 = 11.1 mA, with 0.85 it is 11.49 mA."""
    found = facts(
        "parts:\n  packs:\n    - {id: p, nominal_voltage: 51.2 V}\n  converters:\n"
        f"    - {{id: conv, {stated}output_voltage: 12.5 V}}\n  loads:\n"
        "    - {id: clock, bus: 12v, standby_current: 40 mA, on_with_key_off: yes}\n"
    )
    assert number(found, "battery.loads_key_off") * 1000 == pytest.approx(drawn, abs=0.01)


@pytest.mark.parametrize(
    ("fed", "buffered", "drawn"),
    [
        ("after-disconnect", "lead-agm", 0.0),  # the switch is open, the buffer feeds the clock
        ("ahead-of-disconnect", "lead-agm", 11.10),
        ("unknown", "lead-agm", 11.10),
        ("after-disconnect", "", 11.10),  # one of the two is wrong; the worse counts
    ],
)
def test_a_buffer_feeds_what_stays_on_behind_the_open_disconnect(
    fed: str, buffered: str, drawn: float
) -> None:
    """As above; a converter behind an open switch has no input, so nothing flows through it."""
    found = facts(
        "parts:\n  packs:\n    - {id: p, nominal_voltage: 51.2 V}\n  converters:\n"
        f"    - {{id: conv, efficiency: 88 %, output_voltage: 12.5 V, fed_from: {fed}}}\n  loads:\n"
        "    - {id: clock, bus: 12v, standby_current: 40 mA, ahead_of_disconnect: yes}\n"
        + (
            f"  buffers:\n    - {{id: b, chemistry: {buffered}}}\n"
            if buffered
            else "  buffers: none\n"
        )
    )
    assert number(found, "battery.loads_disconnected") * 1000 == pytest.approx(drawn, abs=0.01)


@pytest.mark.parametrize(("reserve", "volts"), [("20 %", 2.05), ("5 %", 1.8)])
def test_a_chemistry_without_a_curve_gets_a_low_voltage_at_the_reserve(
    reserve: str, volts: float
) -> None:
    """Titanate: nominal 2.3 V (sheet of a 40 A·h cell), discharge ends at 1.8 V (cell table)."""
    found = facts(
        f"battery: {{reserve: {reserve}}}\nparts:\n  packs:\n    - {{id: p, chemistry: lto}}\n"
    )
    assert number(found, "p.cell_at_reserve") == pytest.approx(volts)
    assert known(found, "p.cell_at_reserve").assumed


@pytest.mark.parametrize(
    ("fitted", "current"), [("on_board: yes, ", 9.0), ("on_board: no, ", 20.0), ("", 20.0)]
)
def test_the_inlet_of_a_charger_on_board_carries_mains_current(fitted: str, current: float) -> None:
    """The plug is on the mains side of a charger on the vehicle; 9 A stand on its plate."""
    found = facts(
        "parts:\n  chargers:\n"
        f"    - {{id: c, {fitted}current_max: 20 A, ac_current: 9 A}}\n"
        "  inlets:\n    - {id: i, circuit: charge}\n"
    )
    assert number(found, "i.current_carried") == current


def test_shunt() -> None:
    """500 A / 50 mV is 0.1 mohm; two thirds of 500 A is 333 A (three shunt makers' notes)."""
    found = facts(
        "parts:\n  monitors:\n    - {id: m, shunt_rating: 500 A, shunt_millivolts: 50 mV,"
        " set_shunt_rating: 100 A, set_shunt_millivolts: 50 mV}\n"
    )
    assert number(found, "m.shunt_resistance") == pytest.approx(1e-4)
    assert number(found, "m.shunt_continuous_limit") == pytest.approx(333.3, abs=0.1)
    assert number(found, "m.reading_scale") == pytest.approx(0.2)


def test_soft_start_is_known_as_soon_as_one_way_is() -> None:
    yes = facts("parts:\n  controllers:\n    - {id: c, precharge_internal: yes}\n")
    assert known(yes, "c.soft_start").value is True
    no = facts(
        "parts:\n  precharges: none\n  controllers:\n    - {id: c, precharge_internal: no}\n"
        "  packs:\n    - {id: p, bms: {precharge_built_in: no}}\n"
    )
    assert known(no, "c.soft_start").value is False
    open_one = facts("parts:\n  controllers:\n    - {id: c, precharge_internal: no}\n")
    assert len(unknown(open_one, "c.soft_start").facts) == 1


def test_cold_halves_the_discharge_limit_only_as_an_assumption() -> None:
    cold = facts("use: {ambient: -10 .. 30 degC}\n" + LFP_16)
    fact = known(cold, "battery.discharge_continuous_cold")
    assert fact.assumed
    assert fact.value == pytest.approx(50)
    warm = facts("use: {ambient: 5 .. 30 degC}\n" + LFP_16)
    assert not known(warm, "battery.discharge_continuous_cold").assumed
    assert number(warm, "battery.discharge_continuous_cold") == pytest.approx(100)


def test_two_drives_and_two_chargers_add_up() -> None:
    """Two controllers of 80 A ask for 160 A together; the larger charger counts at the outlet."""
    found = facts(
        "parts:\n  motors:\n"
        "    - {id: m-1, rated_power: 2 kW, efficiency: 80 %}\n"
        "    - {id: m-2, rated_power: 2 kW, efficiency: 80 %}\n"
        "  controllers:\n"
        "    - {id: c-1, drives: m-1, battery_current_limit: 80 A, motor_current_peak_time: 30 s}\n"
        "    - {id: c-2, drives: m-2, battery_current_limit: 80 A, motor_current_peak_time: 60 s}\n"
        "  packs:\n    - {id: p, nominal_voltage: 50 V}\n"
        "  chargers:\n    - {id: fast, ac_current: 11 A}\n    - {id: slow, ac_current: 3 A}\n"
    )
    assert number(found, "battery.demand_peak") == pytest.approx(160)
    assert number(found, "battery.demand_peak_time") == pytest.approx(60)
    assert number(found, "battery.demand_continuous") == pytest.approx(100)
    assert number(found, "supply.load_asked") == pytest.approx(11)


DRIVES = (
    "parts:\n  motors:\n"
    "    - {id: m-1, rated_power: 4 kW, efficiency: 80 %}\n"
    "    - {id: m-2, rated_power: 4 kW, efficiency: 80 %}\n"
    "  packs:\n    - {id: p, nominal_voltage: 50 V}\n  controllers:\n"
)


@pytest.mark.parametrize(
    ("first", "second", "measured", "limited"),
    [
        (", battery_current_limit: 80 A", ", battery_current_limit: 60 A", "", 140),
        (", battery_current_limit: 80 A", "", "", 200),  # the other may take what it likes
        ("", "", "", 200),
        (", battery_current_limit: 150 A", ", battery_current_limit: 90 A", "", 200),
        (", battery_current_limit: 80 A", ", battery_current_limit: 60 A", "170 A", 170),
    ],
)
def test_the_demand_behind_the_limits_of_the_controllers(
    first: str, second: str, measured: str, limited: float
) -> None:
    """2 x 4 kW / 0.8 / 50 V = 200 A asked; limits let through their sum; a reading has passed them.

    Power balance; a controller passes no more than its battery current limit.
    """
    use = f"use: {{battery_current_sustained: {measured}}}\n" if measured else ""
    found = facts(f"{use}{DRIVES}    - {{id: c-1{first}}}\n    - {{id: c-2{second}}}\n")
    assert number(found, "battery.demand_continuous") == pytest.approx(170 if measured else 200)
    assert number(found, "battery.demand_limited") == pytest.approx(limited)


def test_controllers_that_nobody_mentions_limit_nothing() -> None:
    """The same 200 A: not mentioned is unknown, and an unknown limit is no limit."""
    found = facts(DRIVES.removesuffix("  controllers:\n"))
    assert number(found, "battery.demand_limited") == pytest.approx(200)


def test_the_demand_is_open_while_one_drive_is() -> None:
    found = facts(
        "parts:\n  controllers:\n    - {id: c-1, battery_current_limit: 80 A}\n    - {id: c-2}\n"
    )
    (asked,) = unknown(found, "battery.demand_peak").facts
    assert asked in ("c-2.battery_current_limit", "c-2.motor_current_peak")


@pytest.mark.parametrize(
    ("said", "amperes"),
    [("", 2 * 50.0), (", regen_current_max: 80 A", 2 * 80.0)],
)
def test_the_regeneration_limit_of_the_management_counts_before_the_charge_limit(
    said: str, amperes: float
) -> None:
    """Currents of two parallel strings add (Kirchhoff's current law): 2 x 50 A, or 2 x 80 A."""
    found = facts(
        "battery: {packs_in_series: 1, packs_in_parallel: 2}\nparts:\n  packs:\n"
        "    - {id: p, count: 2, chemistry: lfp, charge_current_max: 50 A,"
        f" bms: {{kind: internal-switch{said}}}}}\n"
    )
    assert number(found, "battery.regen_current_allowed") == pytest.approx(amperes)


def test_a_management_whose_regeneration_limit_is_not_stated_leaves_the_charge_limit() -> None:
    """One of two packs states 80 A: the charge limit of the weaker one, 2 x 50 A, still counts."""
    pack = "chemistry: lfp, charge_current_max: 50 A"
    found = facts(
        "battery: {packs_in_series: 1, packs_in_parallel: 2}\nparts:\n  packs:\n"
        f"    - {{id: a, {pack}, bms: {{kind: internal-switch, regen_current_max: 80 A}}}}\n"
        f"    - {{id: b, {pack}, bms: {{kind: internal-switch}}}}\n"
    )
    assert number(found, "battery.regen_current_allowed") == pytest.approx(2 * 50.0)
