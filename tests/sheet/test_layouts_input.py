"""Named layouts in a sheet: mistakes with their lines, the runs written out, and any parts list.

The messages were written by hand from the sheets.
"""

from __future__ import annotations

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.problems import ProblemsFoundError
from advisor.sheet.build import Build
from advisor.sheet.layout_text import runs_as_yaml, with_runs
from advisor.sheet.layouts import LAYOUTS
from advisor.sheet.reading import read_sheet_bytes
from advisor.sheet.schema import sheet_schema
from tests.sheet.test_layouts import BARS, DRIVE, FUSES, LEAST, LOW, PACK, PACKS, read, runs_of
from tests.sheet.test_schema import as_editor_reads


def messages(text: str) -> list[str]:
    with pytest.raises(ProblemsFoundError) as caught:
        read_sheet_bytes(text.encode(), "cart.yaml")
    return [str(one).removeprefix("cart.yaml:") for one in caught.value.problems]


def sheet(layout: str, *parts: str, head: str = "") -> str:
    return f"sheet: 1\nlayout: {layout}\n{head}parts:\n{''.join(parts)}"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        pytest.param(
            sheet("single-buss", PACK, LEAST),
            ['2:9: layout: "single-buss" is no layout; write "single-bus"'],
            id="misspelt",
        ),
        pytest.param(
            sheet("star", PACK, LEAST),
            [
                '2:9: layout: "star" is no layout; '
                "write one of: single-bus, series-pair, parallel-packs"
            ],
            id="no such layout",
        ),
        pytest.param(
            sheet("[single-bus]", PACK, LEAST),
            ["2:9: layout: one text is expected here; write layout: a text"],
            id="a list",
        ),
        pytest.param(
            sheet("single-bus", "  loads: none\n"),
            [
                "2:1: layout: single-bus joins one pack, but none is listed; "
                "list each pack with its own id under parts.packs",
                "2:1: layout: single-bus needs a controller; list it under parts.controllers",
                "2:1: layout: single-bus needs a minus bus bar; "
                "list it under parts.bus_bars with pole: minus and circuit: traction",
                "2:1: layout: single-bus needs a plus bus bar; "
                "list it under parts.bus_bars with pole: plus and circuit: traction",
            ],
            id="everything is lacking",
        ),
        pytest.param(
            sheet("single-bus", PACKS, LEAST),
            [
                "2:1: layout: single-bus joins one pack, but 2 are listed; "
                "write layout: series-pair or parallel-packs, or the cables under wiring"
            ],
            id="too many packs for one bus",
        ),
        pytest.param(
            sheet("series-pair", PACK.replace("]", ", {id: b}, {id: c}]"), LEAST),
            [
                "2:1: layout: series-pair joins two packs, but 3 are listed; "
                "write layout: parallel-packs, or the cables under wiring"
            ],
            id="too many packs for a pair",
        ),
        pytest.param(
            sheet("parallel-packs", PACK, LEAST),
            [
                "2:1: layout: parallel-packs joins two or more packs, but 1 is listed; "
                "list each pack with its own id under parts.packs"
            ],
            id="too few packs",
        ),
        pytest.param(
            sheet("series-pair", "  packs: [{id: pack-a, count: 2}]\n", LEAST),
            [
                '4:31: parts.packs[pack-a].count: "2" packs stand here as one part of the layout; '
                "list each pack with its own id"
            ],
            id="counted packs",
        ),
        pytest.param(
            sheet("parallel-packs", PACKS, LEAST, head="battery: {packs_in_series: 2}\n"),
            [
                '3:28: battery.packs_in_series: "2" packs in series, '
                "but the layout on line 2 has 1; write packs_in_series: 1, or another layout"
            ],
            id="another arrangement",
        ),
        pytest.param(
            sheet("single-bus", PACK, "  controllers: [{id: ctrl_1}]\n", BARS),
            [
                '5:22: parts.controllers[1].id: "ctrl_1" is no id; '
                "write small letters, digits and hyphens, such as main-fuse"
            ],
            id="the part is listed, but wrongly: not told again",
        ),
        pytest.param(
            sheet("single-bus", PACK, LEAST) + "wiring: [{id: run-1, from: ctrl.plus}]\n",
            [
                "2:1: layout: the cables are listed as well, under wiring on line 9; "
                "keep one of them: line 2 or line 9",
                "9:28: wiring[run-1]: the run has `from` but no `to`; "
                "add to: with the terminal where it ends, or unknown",
            ],
            id="layout and cables",
        ),
        pytest.param(
            sheet("single-bus", PACK, LEAST, head="wiring: none\n"),
            [
                "2:1: layout: the cables are listed as well, under wiring on line 3; "
                "keep one of them: line 2 or line 3"
            ],
            id="layout and no cables",
        ),
        pytest.param(
            sheet("single-bus", PACK, "  bus_bars: [{id: b, pole: plus}]\n", head="use: {x: 1}\n"),
            [
                "2:1: layout: single-bus needs a controller; list it under parts.controllers",
                "2:1: layout: single-bus needs a minus bus bar; "
                "list it under parts.bus_bars with pole: minus and circuit: traction",
                '3:7: use.x: "x" is not known here; remove it',
            ],
            id="together with other mistakes",
        ),
    ],
)
def test_mistakes_with_their_lines(text: str, expected: list[str]) -> None:
    assert messages(text) == expected


def test_500_parts_and_cables_are_the_most() -> None:
    rows = "".join(f"    - {{id: lamp-{number}, bus: traction}}\n" for number in range(200))
    (found,) = messages(sheet("single-bus", PACK, LEAST, "  loads:\n", rows))
    assert found == "2:1: layout: more than 500 parts with the 404 cables of the layout; list fewer"


def test_an_unknown_plan_may_stand_beside_a_layout() -> None:
    text = sheet("single-bus", PACK, LEAST, head="wiring: unknown\n")
    assert len(runs_of(read_sheet_bytes(text.encode(), "cart.yaml"))) == 4


# -- written out ---------------------------------------------------------------------------------


def ends_of(build: Build) -> list[tuple[str, ...]]:
    keys = ("from", "to", "circuit")
    return [(one.id, *(str(one.values[key].value) for key in keys)) for one in runs_of(build)]


def test_the_section_as_text() -> None:
    build = read("single-bus", PACK, LEAST, "  fuses: [{id: spare, role: branch}]\n")
    assert runs_as_yaml(build) == (
        "wiring:\n"
        "  - {id: run-pack-a-plus, from: pack-a.plus, to: plus-bus.stud-1, circuit: traction, "
        "gauge: unknown, length: unknown}\n"
        "  - {id: run-pack-a-minus, from: pack-a.minus, to: minus-bus.stud-1, circuit: traction, "
        "gauge: unknown, length: unknown}\n"
        "  - {id: run-ctrl-plus, from: plus-bus.stud-2, to: ctrl.plus, circuit: traction, "
        "gauge: unknown, length: unknown}\n"
        "  - {id: run-ctrl-minus, from: ctrl.minus, to: minus-bus.stud-2, circuit: traction, "
        "gauge: unknown, length: unknown}\n"
        "  # Without a cable so far, add those they have:\n"
        "  #   spare\n"
    )


@pytest.mark.parametrize("layout", LAYOUTS)
def test_the_sheet_with_the_runs_reads_back_to_the_same(layout: str) -> None:
    packs = PACK if layout == "single-bus" else PACKS
    text = sheet(layout, packs, LEAST, DRIVE, FUSES, LOW)
    before = read_sheet_bytes(text.encode(), "cart.yaml")
    written = with_runs(text, before)
    after = read_sheet_bytes(written.encode(), "cart.yaml")
    assert ends_of(after) == ends_of(before)
    assert {name for one in runs_of(after) for name in one.answers} == {"gauge", "length"}
    assert "layout:" not in written
    assert written == text.replace(f"layout: {layout}\n", runs_as_yaml(before))
    assert [one for one in after.instances if one.subject != "run"] != []


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("sheet: 1\nlayout: single-bus\n", "sheet: 1\n{runs}"),
        ("layout: 'single-bus'\n# mine\nsheet: 1\n", "{runs}# mine\nsheet: 1\n"),
        ("sheet: 1\nlayout: single-bus  # for now\n", "sheet: 1\n# for now\n{runs}"),
        ("sheet: 1\nlayout: single-bus\nwiring: unknown\n", "sheet: 1\n{runs}"),
        (
            "sheet: 1\nwiring: unknown  # ask Jo\ntitle: x\nlayout: single-bus\n",
            "sheet: 1\ntitle: x\n# ask Jo\n{runs}",
        ),
        ("\ufeffsheet: 1\nlayout: single-bus\n", "\ufeffsheet: 1\n{runs}"),
        ("\ufefflayout: single-bus\nsheet: 1\n", "\ufeff{runs}sheet: 1\n"),
        (
            "sheet: 1\ntitle: |\n  layout: single-bus\nlayout: single-bus\n",
            "sheet: 1\ntitle: |\n  layout: single-bus\n{runs}",
        ),
    ],
)
@pytest.mark.parametrize("ending", ["\n", "\r\n"])
def test_nothing_else_of_the_text_is_changed(before: str, after: str, ending: str) -> None:
    rest = f"parts:\n{PACK}{LEAST}"
    text = (before + rest).replace("\n", ending)
    build = read_sheet_bytes(text.encode(), "cart.yaml")
    expected = after.format(runs=runs_as_yaml(build)) + rest
    assert with_runs(text, build) == expected.replace("\n", ending)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            f"sheet: 1\nparts:\n{PACK}",
            "cart.yaml: layout: the sheet names no layout; write layout: and its name",
        ),
        (
            f"sheet: 1\nlayout:\n  single-bus\nparts:\n{PACK}{LEAST}",
            "cart.yaml:2:1: layout: the layout does not stand on a line of its own; "
            "write it so: layout: single-bus",
        ),
        (
            f"sheet: 1\nlayout: single-bus\nwiring:\n  unknown\nparts:\n{PACK}{LEAST}",
            "cart.yaml:3:1: layout: `wiring: unknown` does not stand on a line of its own; "
            "write it so, or remove it",
        ),
        (
            "{sheet: 1, layout: single-bus, parts: {packs: [{id: p}], controllers: [{id: c}], "
            "bus_bars: [{id: a, pole: plus}, {id: b, pole: minus}]}}",
            "cart.yaml:1:12: layout: the layout does not stand on a line of its own; "
            "write it so: layout: single-bus",
        ),
    ],
)
def test_a_text_in_which_the_runs_have_no_place(text: str, expected: str) -> None:
    build = read_sheet_bytes(text.encode(), "cart.yaml")
    with pytest.raises(ProblemsFoundError) as caught:
        with_runs(text, build)
    assert str(caught.value) == expected


# -- schema and any parts list -------------------------------------------------------------------


def test_an_editor_knows_the_layouts_and_that_they_stand_instead_of_cables() -> None:
    schema = sheet_schema()
    for layout in LAYOUTS:
        jsonschema.validate(as_editor_reads(sheet(layout, PACKS, LEAST)), schema)
    cables = "wiring: [{id: run-1}]\n"
    for wrong in (sheet("star", PACK), sheet("single-bus", PACK, LEAST, head=cables)):
        with pytest.raises(jsonschema.ValidationError):
            jsonschema.validate(as_editor_reads(wrong), schema)


FLAG = st.sampled_from(["", ", {}: yes", ", {}: no"])


def flags(*names: str) -> st.SearchStrategy[str]:
    return st.tuples(*(FLAG.map(lambda one, n=name: one.format(n)) for name in names)).map("".join)


def choice(name: str, words: str) -> st.SearchStrategy[str]:
    return st.sampled_from(["", *(f", {name}: {word}" for word in words.split())])


def parts(kind: str, stem: str, *extra: st.SearchStrategy[str]) -> st.SearchStrategy[str]:
    one = st.tuples(*extra).map("".join)
    return st.lists(one, max_size=3).map(
        lambda all_: (
            f"  {kind}:\n"
            + "".join(f"    - {{id: {stem}-{n}{more}}}\n" for n, more in enumerate(all_))
            if all_
            else ""
        )
    )


DEVICE = (
    choice("role", "main pack charge converter-input converter-output branch controls"),
    choice("protects", "pack-a box-0 socket-0 conv-0 lamp-0 lamp-1 small-0 key-0 meter-0 ctrl"),
)
THINGS = st.tuples(
    parts("fuses", "fuse", *DEVICE),
    parts("breakers", "breaker", *DEVICE),
    parts("disconnects", "switch", choice("circuit", "traction charge auxiliary control")),
    parts(
        "contactors",
        "relay",
        choice("role", "main auxiliary reversing charge"),
        choice("driver", "key controller bms"),
        choice("coil_fed_from", "battery converter controller"),
    ),
    parts("precharges", "soft", choice("place", "across-contactor internal")),
    parts("key_switches", "key", choice("switched", "coil logic both")),
    parts("monitors", "meter", choice("kind", "coulomb voltage")),
    parts("chargers", "box", flags("on_board", "bypasses_bms", "to_discharge_port")),
    parts("inlets", "socket", choice("circuit", "charge traction"), flags("bypasses_bms")),
    parts(
        "converters",
        "conv",
        choice("fed_from", "after-contactor after-disconnect ahead-of-disconnect"),
        flags("returns_through_frame"),
    ),
    parts("buffers", "small", choice("charged_by", "converter pack-tap"), flags("fused")),
    parts(
        "loads",
        "lamp",
        choice("bus", "12v traction tap"),
        flags("fused", "ahead_of_disconnect", "on_with_key_off"),
    ),
    parts("motors", "motor", choice("type", "series-dc separately-excited pm-dc pm-ac")),
).map("".join)
LOW_BARS = (
    "    - {id: low-plus, pole: plus, circuit: auxiliary}\n"
    "    - {id: low-minus, pole: minus, circuit: auxiliary}\n"
)
PROTECTED = ["box-0", "socket-0", "conv-0", "lamp-0", "lamp-1", "small-0", "key-0", "meter-0"]


@given(st.sampled_from(LAYOUTS), THINGS, st.sampled_from(["", LOW_BARS]))
@settings(max_examples=300, deadline=None)
def test_no_layout_joins_two_poles_or_two_circuits(layout: str, things: str, low: str) -> None:
    """Whatever is listed: plus and minus, and traction and 12 V, stay apart by every conductor.

    Runs, bus bars, devices, switches and shunts conduct; consumers and sources do not.
    """
    for part in PROTECTED:
        if f"id: {part}" not in things:
            things = things.replace(f", protects: {part}", "")
    packs = PACK if layout == "single-bus" else PACKS
    text = sheet(layout, packs, LEAST, low, things)
    build = read_sheet_bytes(text.encode(), "cart.yaml")
    groups = _conductors(build)
    for plus, minus in (
        ("pack-a.plus", "pack-a.minus"),
        ("pack-b.plus", "pack-b.minus"),
        ("ctrl.plus", "ctrl.minus"),
        ("conv-0.in-plus", "conv-0.in-minus"),
        ("conv-0.out-plus", "conv-0.out-minus"),
        ("conv-0.in-plus", "conv-0.out-plus"),
        ("conv-0.in-minus", "conv-0.out-minus"),
        ("lamp-0.plus", "lamp-0.minus"),
        ("small-0.plus", "small-0.minus"),
        ("small-0.plus", "plus-bus"),
        ("box-0.plus", "box-0.minus"),
        ("plus-bus", "minus-bus"),
        ("plus-bus", "vehicle.frame"),
        ("minus-bus", "vehicle.frame"),
    ):
        assert not any({plus, minus} <= group for group in groups), (plus, minus)
    assert with_runs(text, build)


def _conductors(build: Build) -> list[set[str]]:
    """Groups of terminals that hang together when every switch is closed."""
    inside = {"fuse", "breaker", "disconnect", "contactor", "key_switch", "monitor", "bus_bar"}
    subject = {one.id: one.subject for one in build.instances}
    groups: list[set[str]] = []
    for one in runs_of(build):
        pair = set()
        for key in ("from", "to"):
            part, _, terminal = str(one.values[key].value).rpartition(".")
            through = terminal in ("in", "out", "battery", "load") or subject[part] == "bus_bar"
            pair.add(part if subject[part] in inside and through else f"{part}.{terminal}")
        touched = [group for group in groups if group & pair]
        groups = [group for group in groups if not group & pair] + [pair.union(*touched)]
    return groups
