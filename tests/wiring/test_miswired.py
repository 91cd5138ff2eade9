"""A clean plan with one cable moved: the plan must show the hazard, with the way it takes.

The clean plan is the example `orchard-four-seater`. What each change must show was traced by finger
on its list of cables, not taken from the program.
"""

from __future__ import annotations

import re
from functools import cache

import pytest

from advisor.facts.origins import Fact, Value
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet_bytes
from advisor.wiring.survey import surveyed


@cache
def clean(name: str = "orchard-four-seater") -> str:
    return example_sheets()[name].read_text(encoding="utf-8")


def value(text: str, part: str, name: str) -> Value | None:
    fact = surveyed(read_sheet_bytes(text.encode(), "sheet.yaml")).fact(part, name)
    return fact.value if isinstance(fact, Fact) else None


def moved(*changes: tuple[str, str], sheet: str = "orchard-four-seater") -> str:
    text = clean(sheet)
    for old, new in changes:
        assert text.count(old) == 1, (old, text.count(old))
        text = text.replace(old, new)
    return text


def end(run: str, start: str, stop: str) -> tuple[str, str]:
    """The change that moves a run of the clean plan to other terminals."""
    old = re.search(rf"{{id: {run}, from: [^ ]+, to: [^ ]+,", clean())
    assert old is not None
    return old[0], f"{{id: {run}, from: {start}, to: {stop},"


EXTRA = "wiring:\n  - {id: extra, from: %s, to: %s, gauge: 16 AWG, length: 2 m, place: free-air}"


def with_extra(start: str, end: str) -> str:
    return moved(("wiring:\n", EXTRA % (start, end) + "\n"))


CASES = [
    (
        "converter lead straight from the pack, past the fuse and the switch",
        moved(end("converter-lead", "pack-a.plus", "conv-12.in-plus")),
        [
            ("conv-12", "fed_past_disconnect", True),
            ("converter-lead", "device_name", "pack-a"),
        ],
    ),
    (
        "converter minus on the battery side of the shunt",
        moved(end("converter-return", "conv-12.in-minus", "meter.battery")),
        [
            ("conv-12", "fed_past_shunt", True),
            ("meter", "negatives_past_shunt", True),
            ("ctrl-1", "fed_past_shunt", False),
        ],
    ),
    (
        "charger minus behind the management switch",
        moved(end("charge-return", "charger-a.minus", "pack-a.cells-minus")),
        [
            ("charger-a", "fed_past_bms", True),
            ("charger-a", "bypasses_bms", True),
        ],
    ),
    (
        "converter plus and minus exchanged",
        moved(
            end("converter-lead", "converter-fuse.out", "conv-12.in-minus"),
            end("converter-return", "conv-12.in-plus", "minus-bus.stud-4"),
        ),
        [("conv-12", "reversed_polarity", True)],
    ),
    (
        "the return of the drive goes through the frame",
        moved(
            end("drive-to-bus", "ctrl-1.minus", "vehicle.frame"),
            ("wiring:\n", EXTRA % ("vehicle.frame", "minus-bus.stud-1") + "\n"),
        ),
        [
            ("ctrl-1", "returns_by_frame", True),
            ("conv-12", "returns_by_frame", False),
        ],
    ),
    (
        "the horn lead is forgotten",
        moved(end("horn-lead", "horn-fuse.out", "lamp-right.plus")),
        [("horn", "unconnected", True), ("horn", "loose_end", "horn.plus")],
    ),
    (
        "a wire from plus to minus",
        with_extra("plus-bus.stud-6", "minus-bus.stud-6"),
        [
            ("pack-a", "shorted", True),
            (
                "pack-a",
                "way_shorted",
                "pack-a > pack-to-fuse > main-fuse > fuse-to-switch > main-switch > "
                "switch-to-bus > plus-bus > extra > minus-bus > bus-to-shunt > meter > "
                "shunt-to-pack > pack-a",
            ),
        ],
    ),
    (
        "the lead behind the horn fuse is missing",
        moved(end("horn-lead", "horn.minus", "lamp-minus.stud-4")),
        [
            ("horn-strap", "dead_end_live", True),
            ("horn-fuse", "dangling", True),
            ("horn", "unconnected", True),
        ],
    ),
    (
        "the key is bridged",
        with_extra("key-a.in", "key-a.out"),
        [
            ("main-contactor", "coil_fed_key_off", False),  # the driver of the controller opens
            ("extra", "in_loop", True),
            ("extra", "loop", "key-a"),
        ],
    ),
    (
        "the coil hangs on the battery and not on the key and driver",
        moved(
            end("key-to-coil", "plus-bus.stud-6", "main-contactor.coil-plus"),
            end("coil-to-drive", "main-contactor.coil-minus", "minus-bus.stud-6"),
        ),
        [
            ("main-contactor", "coil_fed_key_off", True),
            ("ctrl-1", "fed_key_off", True),
        ],
    ),
    (
        "a second wire past the contactor",
        with_extra("main-contactor.in", "ctrl-1.plus"),
        [("ctrl-1", "fed_key_off", True)],
    ),
    (
        "a second wire past the main switch",
        with_extra("main-switch.in", "main-switch.out"),
        [
            ("ctrl-1", "fed_past_disconnect", True),
            ("main-switch", "leaves_alive_count", 7.0),
        ],
    ),
    (
        "the fuse left out of the main lead",
        moved(
            end("pack-to-fuse", "pack-a.plus", "main-switch.in"),
            ("internal_fuse: yes", "internal_fuse: no"),
            ("      internal_fuse_rating: 400 A\n", ""),
            ("      internal_fuse_dc_voltage: 80 V\n", ""),
            end("fuse-to-switch", "main-fuse.out", "main-switch.out"),
        ),
        [
            ("ctrl-1", "fed_past_device", True),
            ("main-fuse", "dangling", True),
            ("bus-to-contactor", "unprotected", True),
        ],
    ),
]


@pytest.mark.parametrize(("_fault", "text", "shown"), CASES, ids=[one[0] for one in CASES])
def test_a_moved_cable_is_seen(
    _fault: str, text: str, shown: list[tuple[str, str, Value | None]]
) -> None:
    assert {(part, name): value(text, part, name) for part, name, _ in shown} == {
        (part, name): wanted for part, name, wanted in shown
    }


def test_the_clean_plan_shows_none_of_it() -> None:
    facts = surveyed(read_sheet_bytes(clean().encode(), "sheet.yaml"))
    bad = {
        *("fed_past_device", "fed_past_shunt", "fed_past_bms", "fed_past_disconnect"),
        *("reversed_polarity", "shorted_out", "fed_from_part", "returns_by_frame", "shorted"),
        *("bms_bypassed", "in_loop", "dead_end", "coil_fed_key_off", "dangling", "steps_down"),
    }
    shown = {key for key, one in facts.traced().items() if key[1] in bad and one.value is True}
    assert shown == set()


def test_a_tap_from_the_lower_pack_is_named_with_its_way() -> None:
    text = clean("two-lots-in-series")
    assert value(text, "beacon", "fed_from_part") is True
    assert value(text, "hall-ctrl", "fed_from_part") is False
    way = str(value(text, "beacon", "way_fed"))
    assert way.startswith("lower-pack > beacon-tap") and way.endswith("> lower-pack")


def test_parallel_packs_share_by_their_resistances() -> None:
    """Equal packs and equal leads share equally; each lead is guarded by its own fuse."""
    text = clean("twin-packs-in-parallel")
    assert value(text, "pack-a", "share") == pytest.approx(1.0)
    assert value(text, "battery", "packs_have_own_device") is True
    assert value(text, "pack-a-plus", "device_name") == "fuse-a"
    longer = text.replace("{id: pack-b-minus,", "{id: pack-b-minus, joints: 1,", 1)
    assert longer != text
    assert value(longer, "pack-b", "share") == pytest.approx(1.0)


@pytest.mark.parametrize("left_out", ["winch.current", "headlamps.current"])
def test_a_load_without_its_current_leaves_its_cables_unknown(left_out: str) -> None:
    """Silence must not make a cable carry less: the return of all 12 V loads is then unknown."""
    part, _, _ = left_out.partition(".")
    text = clean("bargain-parts")
    assert value(text, "frame-return", "current_carried") == pytest.approx(9 + 20)
    line = next(one for one in text.splitlines() if f"id: {part}," in one and "kind:" in one)
    less = text.replace(line, re.sub(r" current: [^,}]+,", "", line))
    assert less != text
    assert value(less, "frame-return", "current_carried") is None
