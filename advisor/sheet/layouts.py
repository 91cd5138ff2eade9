"""Named layouts: the cable runs of a build whose maker has no plan of the cables.

A sheet says `layout: single-bus`, and the reader adds the runs of that layout over the parts it
lists. Their sizes and lengths are left out, so that they are asked for.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from advisor.problems import Place, shown
from advisor.sheet.build import Instance
from advisor.sheet.layout_drawing import Drawing, Way
from advisor.sheet.layout_parts import LayoutParts
from advisor.sheet.notes import Notes

_SIDE_BY_SIDE: tuple[Way, ...] = (
    ("packs", "traction", ".plus > (own) > [top]"),
    ("packs", "traction", ".minus > [bottom]"),
)

PACKS: dict[str, tuple[Way, ...]] = {
    "single-bus": _SIDE_BY_SIDE,
    "series-pair": (
        ("upper", "traction", ".plus > (own) > [top]"),
        ("lower", "traction", ".plus > (own) > upper.minus"),
        ("lower", "traction", ".minus > [bottom]"),
    ),
    "parallel-packs": _SIDE_BY_SIDE,
}
"""How the packs of each layout are joined; everything else is alike.

Of a pair in series the pack listed first is the lower one, at the minus of the battery. Parallel
packs are joined on the first bar of each pole where two are listed, else at the main device and the
shunt, so that everything else is behind these.
"""

LAYOUTS = tuple(PACKS)

FRONT: tuple[Way, ...] = (
    ("", "traction", "[plus] < (disconnect) < [ahead] < (main) < [top]"),
    ("", "traction", "[minus] > (shunt) > [bottom]"),
)

REST: tuple[Way, ...] = (
    ("", "traction", "[plus] > (contactor) > [behind]"),
    ("controller", "traction", "[behind] > .plus"),
    ("controller", "traction", ".minus > [minus]"),
    ("precharge", "precharge", "contactor.in > .in"),
    ("precharge", "precharge", ".out > contactor.out"),
    ("charger", "charge", "[charge-plus] > (charge) > .plus"),
    ("charger", "charge", ".minus > [charge-minus]"),
    ("inlet", "charge", "[charge-plus] > (charge) > .plus"),
    ("inlet", "charge", ".minus > [charge-minus]"),
    ("plugged", "charge", "inlet.plus > .plus"),
    ("plugged", "charge", ".minus > inlet.minus"),
    ("converter", "converter-input", "[feed] > (own) > .in-plus"),
    ("converter", "converter-input", ".in-minus > [minus]"),
    ("converter", "auxiliary", ".out-plus > (low) > [lasting] > (low-switch) > [low-plus]"),
    ("converter", "auxiliary", ".out-minus < [low-minus]"),
    ("buffer", "auxiliary", ".plus > (own) > [low-plus]"),
    ("buffer", "auxiliary", ".minus > [low-minus]"),
    ("load-lasting", "auxiliary", "[lasting] > (own) > .plus"),
    ("load-lasting", "auxiliary", ".minus > [low-minus]"),
    ("load-low", "auxiliary", "[low-plus] > (own) > .plus"),
    ("load-low", "auxiliary", ".minus > [low-minus]"),
    ("load-early", "traction", "[ahead] > (own) > .plus"),
    ("load-early", "traction", ".minus > [minus]"),
    ("load", "traction", "[plus] > (own) > .plus"),
    ("load", "traction", ".minus > [minus]"),
    ("key", "control", "[plus] > (own) > .in"),
    ("keyed", "control", "key.out > .key"),
    ("coil-driven", "control", "key.out > .coil-plus"),
    ("coil-driven", "control", ".coil-minus > controller.coil"),
    ("coil-keyed", "control", "key.out > .coil-plus"),
    ("coil-keyed", "control", ".coil-minus > [minus]"),
    ("sensing", "control", "[plus] > (own) > .sense"),
    ("ac-motor", "motor", "controller.u > .u"),
    ("ac-motor", "motor", "controller.v > .v"),
    ("ac-motor", "motor", "controller.w > .w"),
    ("dc-motor", "motor", "controller.motor-plus > .a1"),
    ("dc-motor", "motor", ".a2 > controller.motor-minus"),
    ("field", "motor", "controller.f1 > .f1"),
    ("field", "motor", ".f2 > controller.f2"),
    ("series-motor", "motor", "controller.motor-plus > .a1"),
    ("series-motor", "motor", ".a2 > .f1"),
    ("series-motor", "motor", ".f2 > controller.motor-minus"),
)

_NUMBERS = {"single-bus": (1, 1), "series-pair": (2, 2), "parallel-packs": (2, 500)}
_SERIES = {"series-pair": 2.0}
_WORDS = {
    "single-bus": "one pack",
    "series-pair": "two packs",
    "parallel-packs": "two or more packs",
}


def layout_runs(
    layout: str, place: Place, instances: Iterable[Instance], taken: Iterable[str], notes: Notes
) -> list[Instance]:
    """The cable runs of a layout over the parts of a sheet, all written at `place`.

    `taken` are ids that no run may get. Parts that the layout needs and the sheet lacks are noted,
    and there are no runs then.
    """
    listed = list(instances)
    parts = LayoutParts(listed)
    before = len(notes.problems)
    _lacking(layout, place, parts, notes)
    if len(notes.problems) > before or not parts.enough:
        return []
    drawing = Drawing(parts, layout == "parallel-packs", place, taken)
    front = drawing.draw(FRONT)
    packs = drawing.draw(PACKS[layout])
    return [*packs, *front, *drawing.draw(REST)]


def _lacking(layout: str, place: Place, parts: LayoutParts, notes: Notes) -> None:
    """Note what the layout cannot do without; not what was told of already."""
    if not notes.under("parts.packs"):
        _pack_number(layout, place, parts, notes)
    if not parts.slots["controller"] and not notes.under("parts.controllers"):
        problem = f"{layout} needs a controller"
        notes.add(place, "layout", problem, "list it under parts.controllers")
    for pole in ("plus", "minus"):
        if not parts.bars(pole, "traction") and not notes.under("parts.bus_bars"):
            advice = f"list it under parts.bus_bars with pole: {pole} and circuit: traction"
            notes.add(place, "layout", f"{layout} needs a {pole} bus bar", advice)


def _pack_number(layout: str, place: Place, parts: LayoutParts, notes: Notes) -> None:
    packs = parts.slots["packs"]
    counts = [(pack, pack.values["count"]) for pack in packs if "count" in pack.values]
    counted = [(pack, count) for pack, count in counts if count.value != 1.0]
    for pack, count in counted:
        problem = f"{shown(count.text)} packs stand here as one part of the layout"
        path = f"parts.packs[{pack.id}].count"
        notes.add(count.place, path, problem, "list each pack with its own id")
    listed = len(packs)
    least, most = _NUMBERS[layout]
    if counted:
        return
    if least <= listed <= most:
        _arranged(layout, place, parts, notes)
        return
    advice = "list each pack with its own id under parts.packs"
    if listed > most:
        others = "series-pair or parallel-packs" if listed == 2 else "parallel-packs"
        advice = f"write layout: {others}, or the cables under wiring"
    verb = "is" if listed < 2 else "are"
    problem = f"{layout} joins {_WORDS[layout]}, but {listed or 'none'} {verb} listed"
    notes.add(place, "layout", problem, advice)


def _arranged(layout: str, place: Place, parts: LayoutParts, notes: Notes) -> None:
    """Note a stated arrangement of the packs that is another one than the layout's."""
    listed = float(len(parts.slots["packs"]))
    series = _SERIES.get(layout, 1.0)
    wanted = {"packs_in_series": series, "packs_in_parallel": listed / series}
    for battery in parts.of.get("battery", []):
        stated = {name: battery.values[name] for name in wanted if name in battery.values}
        if len(stated) == 2 and math.prod(float(one.value) for one in stated.values()) != listed:
            return  # told of already
        for name, written in stated.items():
            if written.value != wanted[name]:
                words = name.replace("_", " ")
                problem = f"{shown(written.text)} {words}, but the layout on line {place.line} has "
                problem += f"{wanted[name]:g}"
                advice = f"write {name}: {wanted[name]:g}, or another layout"
                notes.add(written.place, f"battery.{name}", problem, advice)
