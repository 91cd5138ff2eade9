"""Named layouts: which runs they give, written by hand from what a layout is in words.

Three of them are also held against plans that were drawn by hand in the scenarios: the same
terminals must hang together.
"""

from __future__ import annotations

import re

import pytest

from advisor.problems import Place
from advisor.sheet.build import Build, Instance
from advisor.sheet.examples import example_sheet
from advisor.sheet.layouts import LAYOUTS
from advisor.sheet.reading import read_sheet_bytes

PACK = "  packs: [{id: pack-a}]\n"
PACKS = "  packs: [{id: pack-a}, {id: pack-b}]\n"
BARS = """\
  bus_bars:
    - {id: plus-bus, pole: plus, circuit: traction}
    - {id: minus-bus, pole: minus, circuit: traction}
"""
LEAST = f"  controllers: [{{id: ctrl}}]\n{BARS}"
DRIVE = """\
  disconnects: [{id: red-switch, circuit: traction}]
  contactors: [{id: line, role: main, driver: controller}]
  precharges: [{id: soft-start, place: across-contactor}]
  key_switches: [{id: key, switched: both}]
  monitors: [{id: meter, kind: coulomb}]
"""
FUSES = """\
  fuses:
    - {id: main-fuse, role: main}
    - {id: charge-fuse, role: charge}
    - {id: conv-fuse, role: converter-input}
    - {id: low-fuse, role: converter-output}
    - {id: lamp-fuse, role: branch}
    - {id: key-fuse, role: controls}
"""
LOW = """\
  inlets: [{id: socket, circuit: charge}]
  chargers: [{id: box, on_board: no}]
  converters: [{id: conv}]
  loads: [{id: lamp, bus: 12v}]
"""


def read(layout: str, *parts: str, head: str = "") -> Build:
    text = f"sheet: 1\nlayout: {layout}\n{head}parts:\n{''.join(parts)}"
    return read_sheet_bytes(text.encode(), "cart.yaml")


def runs_of(build: Build) -> list[Instance]:
    return [one for one in build.instances if one.subject == "run"]


def ends(build: Build) -> set[str]:
    """Every run as `from > to`, studs of a bus bar written as its id."""
    return {
        re.sub(r"\.stud-[0-9]+", "", f"{one.values['from'].value} > {one.values['to'].value}")
        for one in runs_of(build)
    }


SAME_REST = {
    "red-switch.out > plus-bus",
    "main-fuse.out > red-switch.in",
    "minus-bus > meter.load",
    "plus-bus > line.in",
    "line.out > ctrl.plus",
    "ctrl.minus > minus-bus",
    "line.in > soft-start.in",
    "soft-start.out > line.out",
    "plus-bus > charge-fuse.in",
    "charge-fuse.out > socket.plus",
    "socket.minus > minus-bus",
    "socket.plus > box.plus",
    "box.minus > socket.minus",
    "plus-bus > conv-fuse.in",
    "conv-fuse.out > conv.in-plus",
    "conv.in-minus > minus-bus",
    "conv.out-plus > low-fuse.in",
    "low-fuse.out > lamp-fuse.in",
    "lamp-fuse.out > lamp.plus",
    "lamp.minus > conv.out-minus",
    "plus-bus > key-fuse.in",
    "key-fuse.out > key.in",
    "key.out > ctrl.key",
    "key.out > line.coil-plus",
    "line.coil-minus > ctrl.coil",
}


@pytest.mark.parametrize(
    ("layout", "packs", "front"),
    [
        ("single-bus", PACK, {"pack-a.plus > main-fuse.in", "pack-a.minus > meter.battery"}),
        (
            "series-pair",
            PACKS,
            {
                "pack-b.plus > main-fuse.in",
                "pack-a.plus > pack-b.minus",
                "pack-a.minus > meter.battery",
            },
        ),
        (
            "parallel-packs",
            PACKS,
            {
                "pack-a.plus > main-fuse.in",
                "pack-b.plus > main-fuse.in",
                "pack-a.minus > meter.battery",
                "pack-b.minus > meter.battery",
            },
        ),
    ],
)
def test_the_runs_of_a_layout(layout: str, packs: str, front: set[str]) -> None:
    build = read(layout, packs, LEAST, DRIVE, FUSES, LOW)
    assert ends(build) == SAME_REST | front
    assert len(runs_of(build)) == len(SAME_REST | front)


def test_parallel_packs_are_joined_on_bars_of_their_own_where_two_are_listed() -> None:
    bars = BARS + "    - {id: far-plus, pole: plus}\n    - {id: far-minus, pole: minus}\n"
    fuses = "  fuses: [{id: fuse-b, role: pack, protects: pack-b}, {id: fuse-a, role: pack}]\n"
    build = read("parallel-packs", PACKS, "  controllers: [{id: ctrl}]\n", bars, fuses, DRIVE)
    assert {
        "pack-a.plus > fuse-a.in",
        "fuse-a.out > plus-bus",
        "pack-b.plus > fuse-b.in",
        "fuse-b.out > plus-bus",
        "pack-a.minus > minus-bus",
        "pack-b.minus > minus-bus",
        "plus-bus > red-switch.in",
        "red-switch.out > far-plus",
        "far-minus > meter.load",
        "meter.battery > minus-bus",
        "far-plus > line.in",
        "ctrl.minus > far-minus",
    } <= ends(build)


def test_parts_that_are_not_listed_are_skipped() -> None:
    """No monitor: minus goes straight on; no contactor: the controller hangs on the bar."""
    assert ends(read("single-bus", PACK, LEAST)) == {
        "pack-a.plus > plus-bus",
        "pack-a.minus > minus-bus",
        "plus-bus > ctrl.plus",
        "ctrl.minus > minus-bus",
    }
    assert ends(read("parallel-packs", PACKS, LEAST)) >= {
        "pack-a.plus > plus-bus",
        "pack-b.plus > plus-bus",
    }


def test_runs_stand_at_the_line_of_the_layout_and_leave_their_sizes_out() -> None:
    build = read("single-bus", PACK, LEAST, DRIVE, FUSES, LOW)
    for one in runs_of(build):
        assert set(one.values) == {"from", "to", "circuit"}
        assert not one.answers and not one.settings and not one.readings
        assert {one.place, *(written.place for written in one.values.values())} == {Place(2, 1)}
    circuits = {one.id: one.values["circuit"].value for one in runs_of(build)}
    assert circuits["run-pack-a-plus"] == "traction"
    assert circuits["run-charge-fuse-out"] == "charge"
    assert circuits["run-conv-fuse-in"] == "converter-input"
    assert circuits["run-low-fuse-out"] == "auxiliary"
    assert circuits["run-key-fuse-out"] == "control"
    assert circuits["run-soft-start-in"] == "precharge"


def test_a_run_of_a_layout_can_be_measured() -> None:
    text = (
        f"sheet: 1\nlayout: single-bus\nparts:\n{PACK}{LEAST}readings:\n"
        "  - {of: run-pack-a-plus, what: length, value: 2 ft}\n"
    )
    build = read_sheet_bytes(text.encode(), "cart.yaml")
    (run,) = [one for one in runs_of(build) if one.id == "run-pack-a-plus"]
    (reading,) = run.readings["length"]
    assert reading.value == pytest.approx(2 * 0.3048)  # 1 foot: international agreement of 1959


def test_the_runs_of_a_layout_are_not_all_runs_of_the_vehicle() -> None:
    """A part without a place in the layout has its cables elsewhere: not said to hang loose."""
    build = read("single-bus", PACK, LEAST, head="complete: all\n")
    assert "run" not in build.complete
    assert "run" not in build.absent
    assert "fuse" in build.complete


def test_each_cable_takes_a_stud_of_its_own_as_far_as_there_are_any() -> None:
    def studs(count: str) -> list[str]:
        bars = BARS.replace("pole: plus,", f"pole: plus,{count}")
        parts = (PACK, "  controllers: [{id: ctrl}]\n", bars, DRIVE, FUSES, LOW)
        texts = [str(one.values[key].value) for one in runs_of(read("single-bus", *parts))
                 for key in ("from", "to")]  # fmt: skip
        return sorted(one for one in texts if one.startswith("plus-bus."))

    assert studs("") == [f"plus-bus.stud-{number}" for number in range(1, 6)]
    assert studs(" studs: 3,") == [f"plus-bus.stud-{number}" for number in (1, 1, 2, 2, 3)]


def test_ids_are_never_used_twice_and_never_too_long() -> None:
    long = "x" * 60
    parts = PACK.replace("]", ", {id: " + long + "}]")
    taken = "  mounts: [{id: run-pack-a-plus}, {id: run-pack-a-minus}]\n"
    build = read("parallel-packs", parts, LEAST, taken)
    names = [one.id for one in build.instances]
    assert len(names) == len(set(names))
    assert max(len(one.id) for one in runs_of(build)) <= 60
    assert "run-pack-a-plus-2" in names


# -- what the sheet says otherwise ---------------------------------------------------------------


@pytest.mark.parametrize(
    ("parts", "there", "nowhere"),
    [
        pytest.param(
            "  converters: [{id: conv, fed_from: ahead-of-disconnect}]\n",
            {"red-switch.in > conv.in-plus"},
            "plus-bus > conv",
            id="converter ahead of the disconnect",
        ),
        pytest.param(
            "  converters: [{id: conv, fed_from: after-contactor}]\n",
            {"line.out > conv.in-plus"},
            "plus-bus > conv",
            id="converter behind the contactor",
        ),
        pytest.param(
            "  converters: [{id: conv, returns_through_frame: yes}]\n"
            "  loads: [{id: lamp, bus: 12v}]\n",
            {"lamp.minus > vehicle.frame", "vehicle.frame > conv.out-minus"},
            "lamp.minus > conv",
            id="12 V returns through the frame",
        ),
        pytest.param(
            "  loads: [{id: pump, bus: traction, ahead_of_disconnect: yes}]\n",
            {"red-switch.in > pump.plus", "pump.minus > minus-bus"},
            "plus-bus > pump",
            id="load ahead of the disconnect",
        ),
        pytest.param(
            "  loads: [{id: pump, bus: traction}]\n",
            {"plus-bus > pump.plus", "pump.minus > minus-bus"},
            "conv",
            id="load on traction",
        ),
        pytest.param("  loads: [{id: horn, bus: tap}]\n", set(), "horn", id="load on a tap"),
        pytest.param("  loads: [{id: horn}]\n", set(), "horn", id="load on no bus"),
        pytest.param("  loads: [{id: horn, bus: 12v}]\n", set(), "horn", id="no 12 V at all"),
        pytest.param(
            "  chargers: [{id: box, bypasses_bms: yes}]\n", set(), "box", id="past the bms"
        ),
        pytest.param(
            "  chargers: [{id: box}]\n",
            {"plus-bus > box.plus", "box.minus > minus-bus"},
            "socket",
            id="charger without an inlet",
        ),
        pytest.param(
            "  chargers: [{id: box, on_board: yes}]\n  inlets: [{id: socket}]\n",
            {"plus-bus > box.plus", "box.minus > minus-bus"},
            "socket",
            id="a mains inlet has no runs",
        ),
        pytest.param(
            "  chargers: [{id: box}]\n  inlets: [{id: socket}]\n",
            set(),
            "box",
            id="nobody knows whether the inlet is for the mains",
        ),
        pytest.param(
            "  inlets: [{id: socket}]\n",
            {"plus-bus > socket.plus", "socket.minus > minus-bus"},
            "box",
            id="inlet alone",
        ),
        pytest.param(
            "  buffers: [{id: small-battery}]\n", set(), "small-battery", id="its fuse not listed"
        ),
        pytest.param(
            "  connectors: [{id: nose-plug}]\n", set(), "nose-plug", id="connector: place unknown"
        ),
    ],
)
def test_a_part_goes_where_it_says_or_nowhere(parts: str, there: set[str], nowhere: str) -> None:
    found = ends(read("single-bus", PACK, LEAST, DRIVE, parts))
    assert there <= found
    assert not [one for one in found if nowhere in one]


@pytest.mark.parametrize(
    ("drive", "there", "nowhere"),
    [
        (("driver: controller", "driver: key"), {"line.coil-minus > minus-bus"}, "ctrl.coil"),
        (("driver: controller", "driver: pedal-switch"), set(), "coil"),
        ((", driver: controller", ""), set(), "coil"),
        (("switched: both", "switched: logic"), {"key.out > ctrl.key"}, "coil"),
        (("switched: both", "switched: coil"), {"key.out > line.coil-plus"}, "ctrl.key"),
        (("place: across-contactor", "place: internal"), set(), "soft-start"),
        (("kind: coulomb", "kind: voltage"), {"pack-a.minus > minus-bus"}, "meter"),
    ],
)
def test_drive_parts_that_say_otherwise(
    drive: tuple[str, str], there: set[str], nowhere: str
) -> None:
    found = ends(read("single-bus", PACK, LEAST, DRIVE.replace(*drive)))
    assert there <= found
    assert not [one for one in found if nowhere in one]


def test_a_charge_port_of_its_own_is_used() -> None:
    pack = "  packs: [{id: pack-a, bms: {kind: internal-switch, port: separate}}]\n"
    charger = "  chargers: [{id: box, on_board: yes}]\n"
    assert {"pack-a.charge-plus > box.plus", "box.minus > pack-a.charge-minus"} <= ends(
        read("single-bus", pack, LEAST, charger)
    )
    other = charger.replace("yes", "yes, to_discharge_port: yes")
    assert "plus-bus > box.plus" in ends(read("single-bus", pack, LEAST, other))
    pair = pack.replace("}]", "}, {id: pack-b}]")
    assert not [one for one in ends(read("series-pair", pair, LEAST, charger)) if "box" in one]


def test_12_volt_bars_a_relay_and_a_load_that_stays_on() -> None:
    bars = BARS + (
        "    - {id: low-plus, pole: plus, circuit: auxiliary}\n"
        "    - {id: low-minus, pole: minus, circuit: auxiliary}\n"
    )
    parts = (
        "  controllers: [{id: ctrl}]\n  converters: [{id: conv}]\n  key_switches: [{id: key}]\n"
        "  contactors: [{id: relay, role: auxiliary, driver: key}]\n"
        "  fuses: [{id: low-fuse, role: converter-output}, {id: lamp-fuse, role: branch}]\n"
        "  loads: [{id: lamp, bus: 12v}, {id: tail, bus: 12v}, {id: horn, bus: 12v, fused: no},\n"
        "    {id: clock, bus: 12v, on_with_key_off: yes, fused: no}]\n"
    )
    found = ends(read("single-bus", PACK, bars, parts))
    assert found >= {
        "conv.out-plus > low-fuse.in",
        "low-fuse.out > relay.in",
        "relay.out > low-plus",
        "low-minus > conv.out-minus",
        "low-plus > lamp-fuse.in",
        "lamp-fuse.out > lamp.plus",
        "lamp-fuse.out > tail.plus",
        "low-plus > horn.plus",
        "low-fuse.out > clock.plus",
        "clock.minus > low-minus",
        "key.out > relay.coil-plus",
        "relay.coil-minus > minus-bus",
    }


def test_a_buffer_battery_with_its_fuse() -> None:
    parts = (
        "  converters: [{id: conv}]\n  buffers: [{id: small}]\n"
        "  fuses: [{id: small-fuse, role: branch, protects: small}]\n"
    )
    assert {"small.plus > small-fuse.in", "small-fuse.out > conv.out-plus"} <= ends(
        read("single-bus", PACK, LEAST, parts)
    )


@pytest.mark.parametrize(
    ("motor", "expected"),
    [
        ("pm-ac", {"ctrl.u > m.u", "ctrl.v > m.v", "ctrl.w > m.w"}),
        ("pm-dc", {"ctrl.motor-plus > m.a1", "m.a2 > ctrl.motor-minus"}),
        ("series-dc", {"ctrl.motor-plus > m.a1", "m.a2 > m.f1", "m.f2 > ctrl.motor-minus"}),
        (
            "separately-excited",
            {
                "ctrl.motor-plus > m.a1",
                "m.a2 > ctrl.motor-minus",
                "ctrl.f1 > m.f1",
                "m.f2 > ctrl.f2",
            },
        ),
        ("unknown", set()),
    ],
)
def test_leads_of_the_motor(motor: str, expected: set[str]) -> None:
    found = ends(read("single-bus", PACK, LEAST, f"  motors: [{{id: m, type: {motor}}}]\n"))
    assert {one for one in found if "m." in f" {one}".replace("ctrl.m", "")} == expected


# -- against plans drawn by hand -----------------------------------------------------------------


def joined(build: Build, leave_out: tuple[str, ...]) -> set[frozenset[str]]:
    """Groups of terminals that hang together by runs and bus bars; `leave_out` are parts."""
    bars = {one.id for one in build.instances if one.subject == "bus_bar"}
    groups: list[set[str]] = []
    for one in runs_of(build):
        pair = set()
        for key in ("from", "to"):
            end = str(one.values[key].value)
            part = end.rpartition(".")[0]
            pair.add(part if part in bars else end)
        if any(end.startswith(leave_out) for end in pair):
            continue
        touched = [group for group in groups if group & pair]
        groups = [group for group in groups if not group & pair] + [pair.union(*touched)]
    return {frozenset(group) for group in groups}


@pytest.mark.parametrize(
    ("name", "layout", "leave_out"),
    [
        ("orchard-four-seater", "single-bus", ()),
        ("two-lots-in-series", "series-pair", ("beacon",)),  # a tap, which no layout has
        ("twin-packs-in-parallel", "parallel-packs", ()),
    ],
)
def test_the_same_terminals_hang_together_as_in_a_plan_drawn_by_hand(
    name: str, layout: str, leave_out: tuple[str, ...]
) -> None:
    text = example_sheet(name).read_text(encoding="utf-8")
    bare = re.sub(r"(?ms)^(wiring|choices):.*?(?=^\S|\Z)", "", text)
    drawn = read_sheet_bytes(text.encode(), name)
    laid = read_sheet_bytes(
        bare.replace("sheet: 1\n", f"sheet: 1\nlayout: {layout}\n").encode(), name
    )
    assert joined(laid, leave_out) == joined(drawn, leave_out)


def test_there_are_three() -> None:
    assert LAYOUTS == ("single-bus", "series-pair", "parallel-packs")
