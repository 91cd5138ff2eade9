"""Small sheets with circuits, right and wrong ones, and the example sheets."""

from __future__ import annotations

from advisor.facts import Facts, facts_of
from advisor.sheet.examples import find_scenarios
from advisor.sheet.reading import read_sheet, read_sheet_bytes

Runs = list[tuple[str, str]]


def sheet(parts: dict[str, list[str]], runs: Runs) -> Facts:
    """The facts of a sheet with parts by section and runs named run-1, run-2 and so on."""
    lines = ["sheet: 1", "title: a circuit", "parts:"]
    for section, ids in parts.items():
        lines.append(f"  {section}: [{', '.join(f'{{id: {one}}}' for one in ids)}]")
    if runs:
        lines.append("wiring:")
    for number, (a, b) in enumerate(runs, 1):
        lines.append(f"  - {{id: run-{number}, from: {a}, to: {b}}}")
    return facts_of(read_sheet_bytes("\n".join(lines).encode(), "sheet.yaml"))


def pairs(text: str) -> Runs:
    """Runs written as `a.plus b.in, c.out d.plus`."""
    found = [one.split() for one in text.split(",")]
    return [(a, b) for a, b in found]


DRIVE = "f1.out ctrl.plus, ctrl.minus pack-1.minus"
SHEETS: dict[str, tuple[dict[str, list[str]], str]] = {
    "bus bars": (
        {"packs": ["pack-1"], "fuses": ["f1", "f2"], "bus_bars": ["plus", "minus"]}
        | {"controllers": ["ctrl"], "loads": ["lamp"], "monitors": ["meter"], "motors": ["m"]},
        "pack-1.plus f1.in, f1.out plus.stud-1, plus.stud-2 ctrl.plus, ctrl.minus minus.stud-1,"
        "plus.stud-3 f2.in, f2.out lamp.plus, lamp.minus minus.stud-2, minus.stud-3 meter.load,"
        "meter.battery pack-1.minus, ctrl.u m.u, ctrl.v m.v, ctrl.w m.w, meter.sense plus.stud-4",
    ),
    "series": (
        {"packs": ["low", "top"], "fuses": ["f1"], "controllers": ["ctrl"]},
        "low.plus top.minus, top.plus f1.in, f1.out ctrl.plus, ctrl.minus low.minus",
    ),
    "fuse between the packs": (
        {"packs": ["top", "low"], "fuses": ["f1", "mid"], "controllers": ["ctrl"]},
        "low.plus mid.in, mid.out top.minus, top.plus f1.in, f1.out ctrl.plus,ctrl.minus low.minus",
    ),
    "parallel": (
        {"packs": ["a", "b"], "fuses": ["fa", "fb"], "bus_bars": ["plus", "minus"]}
        | {"controllers": ["ctrl"]},
        "a.plus fa.in, b.plus fb.in, fa.out plus.stud-1, fb.out plus.stud-2,"
        "plus.stud-3 ctrl.plus, ctrl.minus minus.stud-1, minus.stud-2 a.minus,"
        "minus.stud-3 b.minus",
    ),
    "precharge and coil": (
        {"packs": ["pack-1"], "contactors": ["k1"], "precharges": ["pre"], "key_switches": ["key"]}
        | {"controllers": ["ctrl"], "fuses": ["f1"]},
        "pack-1.plus f1.in, f1.out k1.in, k1.out ctrl.plus, k1.in pre.in, pre.out k1.out,"
        "ctrl.minus pack-1.minus, f1.out key.in, key.out ctrl.key, key.out k1.coil-plus,"
        "k1.coil-minus ctrl.coil",
    ),
    "12 V and frame": (
        {"packs": ["pack-1"], "fuses": ["f1", "f2"], "controllers": ["ctrl"]}
        | {"converters": ["conv"], "loads": ["lamp", "horn"], "buffers": ["buf"]},
        f"pack-1.plus f1.in, {DRIVE}, f1.out conv.in-plus, conv.in-minus pack-1.minus,"
        "conv.out-plus f2.in, f2.out lamp.plus, f2.out horn.plus, lamp.minus vehicle.frame,"
        "horn.minus vehicle.frame, conv.out-minus vehicle.frame, buf.plus conv.out-plus,"
        "buf.minus vehicle.frame, pack-1.case vehicle.frame",
    ),
    "two poles": (
        {"packs": ["pack-1"], "disconnects": ["sw"], "connectors": ["plug"]}
        | {"controllers": ["ctrl"], "chargers": ["chg"]},
        "pack-1.plus sw.in-plus, sw.out-plus ctrl.plus, ctrl.minus sw.out-minus,"
        "sw.in-minus pack-1.minus, pack-1.charge-plus plug.in-plus, plug.out-plus chg.plus,"
        "chg.minus plug.out-minus, plug.in-minus pack-1.charge-minus",
    ),
    "dead ends": (
        {"packs": ["pack-1"], "fuses": ["f1", "f2"], "controllers": ["ctrl"], "connectors": ["x"]},
        f"pack-1.plus f1.in, {DRIVE}, f1.out f2.in, ctrl.minus x.in",
    ),
    "loops": (
        {"packs": ["pack-1"], "fuses": ["f1"], "bus_bars": ["bus"], "controllers": ["ctrl"]},
        "pack-1.plus f1.in, f1.in f1.out, f1.out bus.stud-1, f1.out bus.stud-2,"
        "bus.stud-3 ctrl.plus, bus.stud-4 ctrl.plus, ctrl.minus pack-1.minus",
    ),
    "short": (
        {"packs": ["pack-1"], "fuses": ["f1"], "bus_bars": ["plus", "minus"]}
        | {"controllers": ["ctrl"]},
        "pack-1.plus f1.in, f1.out plus.stud-1, plus.stud-2 ctrl.plus, ctrl.minus minus.stud-1,"
        "minus.stud-2 pack-1.minus, plus.stud-3 minus.stud-3, pack-1.plus pack-1.minus",
    ),
    "reversed": (
        {"packs": ["pack-1"], "fuses": ["f1"], "controllers": ["ctrl"], "loads": ["lamp"]},
        "pack-1.plus f1.in, f1.out ctrl.minus, ctrl.plus pack-1.minus, lamp.minus f1.out,"
        "lamp.plus pack-1.minus",
    ),
    "floating": (
        {"packs": ["pack-1"], "fuses": ["f1"], "controllers": ["ctrl"], "loads": ["lamp", "horn"]}
        | {"motors": ["m"], "contactors": ["fwd", "rev"], "key_switches": ["key"]},
        f"pack-1.plus f1.in, {DRIVE}, key.out lamp.plus, lamp.minus horn.plus,"
        "ctrl.motor-plus fwd.in, ctrl.motor-plus rev.in, fwd.out m.a1, rev.out m.a2,"
        "m.f1 ctrl.motor-minus, m.f2 m.a1, fwd.coil-plus rev.coil-plus",
    ),
}
SCENARIOS = sorted(
    one.stem for one in find_scenarios().glob("*.yaml") if not one.stem.endswith(".expected")
)


def made(name: str) -> Facts:
    """The facts of a test sheet or a scenario."""
    if name in SHEETS:
        parts, runs = SHEETS[name]
        return sheet(parts, pairs(runs))
    return facts_of(read_sheet(find_scenarios() / f"{name}.yaml"))


def written_ends(facts: Facts) -> dict[str, tuple[str, str]]:
    """Both ends of every run, as the sheet writes them."""
    found = {}
    for one in facts.build.instances:
        if one.subject == "run" and {"from", "to"} <= set(one.values):
            found[one.id] = (str(one.values["from"].value), str(one.values["to"].value))
    return found
