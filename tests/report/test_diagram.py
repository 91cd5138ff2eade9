"""The drawing of a circuit, traced by its coordinates and compared with the sheet.

What must be joined is taken from the runs as the sheet writes them, not from the drawing's own
modules; `tracing` follows the lines as a finger would.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import replace
from itertools import combinations, pairwise

import pytest

from advisor.facts import Facts
from advisor.report.diagram import Picture, picture_of
from advisor.report.diagram.nodes import Edge, End, Node
from advisor.report.diagram.tracks import Route, Upright, give_tracks
from advisor.vocabulary import TERMINALS, VOCABULARY
from advisor.wiring.plan import plan_of
from tests.report.circuits import SCENARIOS, SHEETS, made, sheet, written_ends
from tests.report.tracing import Groups, clashes, dots_expected, nets_drawn


def pictured(facts: Facts, marks: dict[str, list[int]] | None = None) -> Picture:
    return picture_of(facts, plan_of(facts), marks or {})


def nets_written(facts: Facts) -> Groups:
    """Terminals that the runs join; all studs of a bus bar are one."""
    groups = Groups()
    for ends in written_ends(facts).values():
        groups.join(*ends)
        for end in ends:
            part = end.rpartition(".")[0]
            instance = facts.instance(part)
            if instance is not None and instance.subject == "bus_bar":
                groups.join(end, f"all of {part}")
    return groups


def faults(facts: Facts, picture: Picture) -> list[str]:
    """Everything in which a drawing differs from its sheet, or cannot be read."""
    ends = written_ends(facts)
    drawn = Counter(one.run for one in picture.wires if one.run)
    wrong = [f"{run} is drawn {drawn[run]} times" for run in ends if drawn[run] != 1]
    wrong += [f"{run} is in no sheet" for run in drawn if run not in ends]
    for wire in picture.wires:
        if wire.run in ends and (wire.start, wire.end) != ends[wire.run]:
            wrong.append(f"{wire.run} joins {wire.start} and {wire.end}")
    traced, misleading = nets_drawn(picture)
    wanted = nets_written(facts)
    for a, b in combinations(sorted({end for pair in ends.values() for end in pair}), 2):
        if (traced.find(a) == traced.find(b)) != (wanted.find(a) == wanted.find(b)):
            wrong.append(f"{a} and {b} are joined in one of sheet and drawing only")
    if set(picture.dots) != dots_expected(picture):
        wrong.append("a dot is missing, or stands where nothing joins")
    return [*wrong, *misleading, *clashes(picture)]


@pytest.mark.parametrize("name", [*SHEETS, *SCENARIOS])
def test_a_finger_finds_what_the_sheet_says(name: str) -> None:
    facts = made(name)
    assert faults(facts, pictured(facts)) == []


def _on_one_bar(start: str, end: str) -> bool:
    return start.startswith("bus-bar") and start.split(".")[0] == end.split(".")[0]


@pytest.mark.parametrize("seed", range(60))
def test_any_tangle_is_drawn_as_written(seed: int) -> None:
    """Runs between terminals picked at random: no sheet is too odd to be drawn."""
    chance = random.Random(seed)
    subjects = [one for one in TERMINALS if one != "vehicle"]
    kinds = ["pack", *chance.choices(subjects, k=chance.randint(1, 16))]
    parts: dict[str, list[str]] = {}
    ends = ["vehicle.frame"]
    for number, kind in enumerate(kinds):
        name = f"{kind.replace('_', '-')}-no-{number}"
        parts.setdefault(VOCABULARY.subjects[kind].section.removeprefix("parts."), []).append(name)
        ends += [f"{name}.{end}" for end in TERMINALS[kind][:6]]
    drawn = [tuple(chance.sample(ends, 2)) for _ in range(chance.randint(1, 60))]
    runs = [one for one in drawn if not _on_one_bar(*one)]  # the sheet refuses those
    facts = sheet(parts, runs)  # type: ignore[arg-type]
    assert faults(facts, pictured(facts, {"run-1": [1, 22, 333]})) == []


def test_a_long_chain_is_drawn() -> None:
    fuses = [f"f{number}" for number in range(240)]
    runs = [(f"{a}.out", f"{b}.in") for a, b in pairwise(fuses)]
    runs = [
        ("pack-1.plus", "f0.in"),
        *runs,
        ("f239.out", "ctrl.plus"),
        ("ctrl.minus", "pack-1.minus"),
    ]
    facts = sheet({"packs": ["pack-1"], "fuses": fuses, "controllers": ["ctrl"]}, runs)
    assert len([one for one in pictured(facts).wires if one.run]) == len(runs)


def test_two_wires_that_change_places_do_not_run_on_one_line() -> None:
    """From left above to right below, and from left below to right above, in one channel."""
    down = Upright(1, ((0, "L"), (100, "R")))
    up = Upright(1, ((100, "L"), (0, "R")))
    routes = [_route(down), _route(up)]
    assert give_tracks([down, up], {0, 100}, routes) == 3
    pieces = [(piece.track, piece.ends) for one in routes for piece in one.uprights]
    assert len(pieces) == 3
    levels: dict[int, list[tuple[int, str]]] = {}
    for track, ends in pieces:
        for y, side in ends:
            if side is not None:
                levels.setdefault(y, []).append((track, side))
    for (a, side), (b, other) in levels.values():  # what goes left stands left
        assert {side, other} == {"L", "R"}
        assert (a < b) == (side == "L")


def _route(upright: Upright) -> Route:
    node = Node("x", "x", "fuse", "fuse", (), frozenset())
    return Route(Edge("x", End(node, ""), End(node, "")), [upright])


def test_the_tracing_finds_faults() -> None:
    """A drawing spoilt on purpose is not passed."""
    facts = made("bus bars")
    good = pictured(facts)
    first, second, *rest = good.wires
    moved = replace(first, points=tuple((x, y + 7) for x, y in first.points))
    twisted = replace(first, start=first.end, end=first.start)
    same_line = replace(second, points=first.points)
    label = good.labels[0]
    for spoilt in (
        replace(good, wires=good.wires[1:]),
        replace(good, wires=(first, *good.wires)),
        replace(good, wires=(moved, second, *rest)),
        replace(good, wires=(twisted, second, *rest)),
        replace(good, wires=(first, same_line, *rest)),
        replace(good, dots=((1, 1), *good.dots)),
        replace(good, labels=(label, replace(label, of="copy"), *good.labels[1:])),
    ):
        assert faults(facts, spoilt) != []


# -- where things stand ------------------------------------------------------------------------


def middles(picture: Picture) -> dict[str, tuple[int, int]]:
    return {one.node.key: (one.x, one.y) for one in picture.symbols}


def test_sources_left_loads_right_plus_above_minus() -> None:
    at = middles(pictured(made("bus bars")))
    assert at["pack-1"][0] < at["f1"][0] < at["plus"][0] < at["ctrl"][0] < at["m"][0]
    assert at["ctrl"][0] == at["lamp"][0]
    assert at["ctrl"][0] < at["minus"][0]
    assert at["meter"][1] > max(at[one][1] for one in ("f1", "f2", "ctrl", "lamp"))


def test_series_packs_are_stacked_from_the_plus_down() -> None:
    for name in ("series", "fuse between the packs"):
        at = middles(pictured(made(name)))
        assert at["top"][0] == at["low"][0]
        assert at["top"][1] < at["low"][1]


def test_parallel_packs_have_their_fuses_beside_them() -> None:
    at = middles(pictured(made("parallel")))
    assert at["a"][1] == at["fa"][1]
    assert at["b"][1] == at["fb"][1]
    assert at["fa"][0] == at["fb"][0]


def test_precharge_stands_across_its_contactor() -> None:
    at = middles(pictured(made("precharge and coil")))
    assert at["pre"][0] == at["k1"][0]
    assert at["pre"][1] > at["k1"][1]
