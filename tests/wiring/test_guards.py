"""What protects a run: traced by finger on the list of cables of an example, one cable changed.

The expected ratings are those written beside the devices in the example; sums are added by hand.
"""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.facts.origins import Fact
from advisor.sheet.reading import read_sheet
from advisor.wiring.survey import surveyed
from tests.wiring.test_miswired import clean, moved, value

TWIN = "twin-packs-in-parallel"
SOFT_START = (
    "id: soft-start-in, from: main-contactor.in, to: soft-start.in, circuit: precharge, "
    "protected_by: main-fuse, gauge: 4 AWG, size_system: awg, length: 5 in"
)


def test_a_lead_of_one_parallel_pack_names_its_own_fuse() -> None:
    text = moved(sheet=TWIN)
    assert value(text, "fuse-a-to-bar", "device_name") == "fuse-a"
    assert value(text, "fuse-b-to-bar", "device_name") == "fuse-b"


def test_a_return_shared_by_two_branches_carries_what_both_fuses_let_pass() -> None:
    """The horn hands its return on to the lamps, whose return then carries both."""
    text = moved(
        ("id: horn-return, from: horn.minus, to: low-minus.stud-3",
         "id: horn-return, from: horn.minus, to: lamps.minus"),
        sheet=TWIN,
    )  # fmt: skip
    assert value(text, "horn-return", "device_name") == "horn-fuse"
    assert value(text, "lamp-return", "device_name") == "lamp-fuse and horn-fuse"
    assert value(text, "lamp-return", "device_rating") == pytest.approx(7.5 + 7.5)


def test_a_shared_return_is_bounded_by_the_fuse_ahead_of_its_branches() -> None:
    """The return of the 12 V bus carries all branches; the fuse of the converter is smaller."""
    text = moved(sheet=TWIN)
    assert value(text, "low-return", "device_name") == "low-fuse"
    assert value(text, "low-return", "device_rating") == pytest.approx(20.0)


@pytest.mark.parametrize(
    ("new", "thin", "length"),
    [
        ("18 AWG, size_system: awg, length: 6 ft", True, 6 * 0.3048),
        ("18 AWG, size_system: awg, length: 6 in", True, 6 * 0.0254),
        ("4/0 AWG, size_system: awg, length: 6 ft", False, None),
    ],
)
def test_a_precharge_lead_is_judged_like_any_other(
    new: str, thin: bool, length: float | None
) -> None:
    text = moved(
        (SOFT_START, SOFT_START.replace("4 AWG, size_system: awg, length: 5 in", new)), sheet=TWIN
    )
    assert value(text, "soft-start-in", "device_name") == "main-fuse"
    assert value(text, "soft-start-in", "steps_down") is thin
    found = value(text, "soft-start-in", "thin_length")
    assert found is None if length is None else found == pytest.approx(length)


def test_marked_terminals_lower_what_a_cable_may_carry() -> None:
    """33 CFR 183.425 Table 5: 1/0 AWG 285 A at 105 °C, 230 A at 75 °C, 195 A at 60 °C."""
    switch = "id: red-switch,"
    for mark, amperes in (("75 degC", 230), ("60 degC", 195)):
        text = moved((switch, f"{switch} terminal_temperature: {mark},"), sheet=TWIN)
        assert value(text, "switch-to-bus", "ampacity") == pytest.approx(285)
        assert value(text, "switch-to-bus", "ampacity_at_terminal") == pytest.approx(amperes)
    assert value(moved(sheet=TWIN), "switch-to-bus", "ampacity_at_terminal") is None


def test_behind_a_converter_and_a_buffer_the_battery_counts_as_the_source() -> None:
    """A fault on the lamp branch is fed by the buffer battery; the converter limits its current.

    Traced on the plan of `hunting-pair`: from the buffer battery the way passes the buffer fuse,
    from the converter the low fuse; the lamp fuse stands behind the bar where both meet.
    """
    path = Path(__file__).parents[1] / "well_made" / "hunting-pair.yaml"
    found = surveyed(read_sheet(path))
    ahead = found.fact("lamp-fuse", "upstream")
    assert isinstance(ahead, Fact)
    assert ahead.value == "buffer-fuse"


def test_the_plan_decides_which_runs_need_no_device() -> None:
    """Returns, motor leads and what only a converter feeds are not left open."""
    for run in ("drive-to-bus", "charge-return", "low-return", "armature-plus", "low-lead"):
        assert value(clean(), run, "unprotected") is False, run
        assert value(clean(), run, "behind_device") is False, run
    assert value(clean(), "bus-to-contactor", "behind_device") is True
    assert value(clean(), "armature-plus", "dead_end_live") is False


def test_a_fuse_inside_the_pack_counts_once_the_lead_is_long() -> None:
    """33 CFR 183.455 and ABYC E-11: at most 72 in of cable from the battery need no device."""
    assert value(clean(), "pack-to-fuse", "behind_device") is False
    long, changed = re.subn(r"(id: pack-to-fuse, [^}]*length: )[^,}]+", r"\g<1>9 ft", clean())
    assert changed == 1
    assert value(long, "pack-to-fuse", "behind_device") is True


def test_a_part_is_told_by_the_side_it_hangs_on() -> None:
    assert value(clean(), "lamp-left", "low_side") is True
    assert value(clean(), "ctrl-1", "low_side") is False
    assert value(clean(), "lamp-left", "fed_past_device") is False
    assert value(clean(), "ctrl-1", "takes_mains") is False
    assert value(clean(), "side-inlet", "takes_mains") is True
    assert value(clean(), "pack-a", "case_tied") is False


def test_the_mark_of_a_terminal_is_that_of_what_a_run_ends_at() -> None:
    marked = clean().replace(
        "- id: main-switch\n", "- id: main-switch\n      terminal_temperature: 75 degC\n"
    )
    for text, lowest, every in ((clean(), None, None), (marked, 348.15, True)):
        assert value(text, "fuse-to-switch", "at_marked_terminal") is True
        assert value(text, "fuse-to-switch", "terminal_temperature") == lowest
        assert value(text, "fuse-to-switch", "terminals_marked") is every
        assert value(text, "bus-to-contactor", "at_marked_terminal") is False
