"""What a management opens, by the plan; and cables that no device or controller stands before.

The ways are read off the sheets by hand; lengths are those written there.
"""

from __future__ import annotations

import pytest

from advisor.facts.origins import Fact, Unknown
from advisor.sheet.reading import read_sheet_bytes
from advisor.wiring.survey import surveyed
from tests.wiring.test_miswired import clean, moved, value

INSIDE = "        kind: internal-switch\n"
OUTSIDE = "        kind: external-contactor\n        can_open_discharge: yes\n"
STOPS = "        can_stop_charger: "


def external(stops: str = "", driver: str = "controller") -> str:
    """The orchard vehicle with a management that opens the main contactor."""
    bms = OUTSIDE + (f"{STOPS}{stops}\n" if stops else "")
    return moved((INSIDE, bms), ("      driver: controller\n", f"      driver: {driver}\n"))


def missing(text: str, part: str, name: str) -> frozenset[str]:
    found = surveyed(read_sheet_bytes(text.encode(), "sheet.yaml")).fact(part, name)
    assert isinstance(found, Unknown)
    return found.facts


@pytest.mark.parametrize("driver", ["controller", "bms"])
def test_a_contactor_that_follows_the_management_is_its_switch(driver: str) -> None:
    """The converter hangs on the bus ahead of the main contactor, the drive behind it."""
    text = external("yes", driver)
    assert value(text, "battery", "opened_by_management") is True
    assert value(text, "ctrl-1", "fed_past_bms") is False
    assert value(text, "conv-12", "fed_past_bms") is True
    way = value(text, "conv-12", "way_past_bms")
    assert isinstance(way, str) and "main-contactor" not in way


@pytest.mark.parametrize(("stops", "past"), [("yes", False), ("no", True)])
def test_a_charger_ahead_of_the_contactor_is_stopped_by_its_signal(stops: str, past: bool) -> None:
    assert value(external(stops), "charger-a", "fed_past_bms") is past


def test_what_the_management_opens_is_asked_for_where_it_is_not_said() -> None:
    assert missing(external(), "charger-a", "fed_past_bms") == {"pack-a.bms.can_stop_charger"}
    silent = moved((INSIDE, OUTSIDE), ("      driver: controller\n", ""))
    assert missing(silent, "conv-12", "fed_past_bms") == {"main-contactor.driver"}
    unsaid = moved((INSIDE, ""))
    for part in ("ctrl-1", "conv-12", "charger-a"):
        assert missing(unsaid, part, "fed_past_bms") == {"pack-a.bms.kind"}


@pytest.mark.parametrize("driver", ["key", "pedal-switch"])
def test_a_contactor_of_the_key_is_no_switch_of_the_management(driver: str) -> None:
    assert value(external("yes", driver), "battery", "opened_by_management") is False


@pytest.mark.parametrize("kind", ["sense-only", "none"])
def test_a_management_that_only_watches_opens_nothing(kind: str) -> None:
    text = moved((INSIDE, f"        kind: {kind}\n"))
    assert value(text, "battery", "opened_by_management") is False


def test_the_switch_inside_the_packs_counts_as_before() -> None:
    assert value(clean(), "battery", "opened_by_management") is True
    assert value(clean(), "conv-12", "fed_past_bms") is False


def test_a_dead_end_without_a_fuse_has_its_length() -> None:
    """4 ft are 1.2192 m; 7 in of bare cable (0.1778 m) are allowed by 33 CFR 183.455."""
    text = clean("bargain-parts")
    assert value(text, "reducer-lead", "dead_end_live") is True
    assert value(text, "reducer-lead", "unprotected") is True
    assert value(text, "reducer-lead", "unprotected_length") == pytest.approx(1.2192)
    assert value(text, "reducer-lead", "unprotected_allowed") == pytest.approx(0.1778)


def test_where_no_device_stands_none_was_chosen_for_a_larger_cable() -> None:
    for run in ("coil-to-pack", "charger-minus", "converter-return", "lamp-lead", "reducer-lead"):
        assert value(clean("bargain-parts"), run, "steps_down") is False, run


def test_a_key_that_switches_only_the_coil_feeds_no_key_input() -> None:
    line = r"  - {id: key-to-drive, from: key-a.out, to: ctrl-1.key,"
    assert clean().count(line) == 1
    away = "\n".join(one for one in clean().split("\n") if not one.startswith(line))
    assert value(clean(), "ctrl-1", "key_line_fed_key_off") is False
    assert value(away, "ctrl-1", "key_line_fed_key_off") is None
    only = away.replace("switched: both", "switched: coil")
    assert value(only, "ctrl-1", "key_line_fed_key_off") is False


def on_battery(pole: str, *more: tuple[str, str]) -> str:
    """The orchard vehicle with one armature cable on a bus bar instead of on the controller."""
    new = f"from: {pole}-bus.stud-2, to: motor-a.a1"
    return moved(("from: ctrl-1.motor-plus, to: motor-a.a1", new), *more)


def common(word: str) -> tuple[str, str]:
    return "    - id: ctrl-1\n", f"    - id: ctrl-1\n      motor_common: {word}\n"


@pytest.mark.parametrize("pole", ["plus", "minus"])
def test_a_motor_cable_on_the_battery_is_limited_by_nothing(pole: str) -> None:
    """Unless the controller leads this pole to the motor, as those that switch one side do."""
    other = "minus" if pole == "plus" else "plus"
    for word in (other, "none"):
        text = on_battery(pole, common(word))
        assert value(text, "armature-plus", "motor_on_battery") is True
        assert value(text, "armature-plus", "unprotected") is None
    usual = on_battery(pole, common(pole))
    assert value(usual, "armature-plus", "motor_on_battery") is False
    assert value(usual, "armature-plus", "current_peak") is not None
    asked = missing(on_battery(pole), "armature-plus", "motor_on_battery")
    assert asked == {"ctrl-1.motor_common"}


@pytest.mark.parametrize("pole", ["plus", "minus"])
def test_no_phase_of_an_alternating_motor_belongs_on_the_battery(pole: str) -> None:
    text = on_battery(
        pole, common(pole), ("      type: separately-excited\n", "      type: pm-ac\n")
    )
    assert value(text, "armature-plus", "motor_on_battery") is True


def test_other_cables_do_not_join_the_motor_to_the_battery() -> None:
    assert value(on_battery("plus"), "armature-minus", "motor_on_battery") is False
    assert value(clean(), "armature-plus", "motor_on_battery") is False
    assert value(clean(), "drive-to-bus", "motor_on_battery") is False


def test_a_key_current_that_was_only_taken_decides_no_voltage() -> None:
    """0.2 A in 20 mΩ are 4 mV of 48 V."""
    assert "key_input_current" not in clean()
    found = surveyed(read_sheet_bytes(clean().encode(), "sheet.yaml"))
    volts = found.fact("ctrl-1", "supply_voltage_peak")
    assert isinstance(volts, Fact)
    assert not volts.assumed
