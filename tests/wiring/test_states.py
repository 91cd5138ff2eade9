"""States of switches: what an enable terminal, a coil and an auxiliary contactor do."""

from __future__ import annotations

import pytest

from tests.wiring.test_miswired import EXTRA, moved, value

TWIN = "twin-packs-in-parallel"


def test_a_converter_whose_enable_hangs_on_the_key_is_off_with_the_key() -> None:
    """Lamps straight on the converter stay fed with the key off, unless its enable drops too."""
    unswitched = (
        "id: low-to-relay, from: low-fuse.out, to: low-relay.in",
        "id: low-to-relay, from: low-fuse.out, to: low-plus.stud-1",
    )
    always = moved(unswitched, sheet=TWIN)
    assert value(always, "lamps", "fed_key_off") is True
    enable = ("wiring:\n", EXTRA % ("dash-key.out", "conv-12.enable") + "\n")
    by_key = moved(unswitched, enable, sheet=TWIN)
    assert value(by_key, "lamps", "fed_key_off") is False
    assert value(by_key, "lamps", "unconnected") is False
    loose = ("wiring:\n", EXTRA % ("low-plus.stud-2", "conv-12.enable") + "\n")
    dead = moved(unswitched, loose, sheet=TWIN)
    assert value(dead, "lamps", "fed_key_off") is None, "it never runs: its enable hangs on it"


def test_a_relay_of_the_12_v_side_breaks_no_battery_voltage() -> None:
    text = moved(sheet=TWIN)
    assert value(text, "low-relay", "voltage_to_break") == 12.0
    assert value(text, "main-contactor", "voltage_to_break") == pytest.approx(16 * 3.65)


def test_an_auxiliary_contactor_without_a_plan_is_taken_for_one_in_the_traction_circuit() -> None:
    text = moved(sheet=TWIN)
    parts = text[: text.index("\n# The plan of the cables")] + text[text.index("\nprovisions:") :]
    assert value(parts, "low-relay", "voltage_to_break") == pytest.approx(16 * 3.65)
