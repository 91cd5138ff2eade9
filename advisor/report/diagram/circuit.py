"""The circuit of a build as things to draw: parts with terminals, rails, and the runs between them.

A terminal with two or more runs is drawn out as a rail, a line with one tap for each of them, so
that every run ends at a point of its own; a coil, a key input and the like have a row for each
instead. A bus bar is such a line by itself. A part of two poles
is drawn pole by pole, and every lead to the vehicle frame has a frame symbol of its own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from advisor.facts import Facts
from advisor.report.diagram.nodes import LINES, THROUGH, Circuit, Edge, End, Kind, Node, short
from advisor.sheet.build import Instance
from advisor.vocabulary import TERMINALS
from advisor.wiring.plan import FRAME, Plan, ends_of

_KINDS: dict[str, Kind] = {
    "fuse": "fuse",
    "breaker": "breaker",
    "disconnect": "switch",
    "key_switch": "key",
    "contactor": "contactor",
    "connector": "connector",
    "precharge": "resistor",
    "monitor": "shunt",
    "bus_bar": "bar",
    "pack": "battery",
    "buffer": "battery",
    "motor": "motor",
}
_POLES = (("in", "out"), ("in-plus", "out-plus"), ("in-minus", "out-minus"))
_FEEDS = ("plus", "minus", "in-plus", "in-minus", "out-plus", "out-minus")
_SHOWN = {
    "controller": ("plus", "minus"),
    "converter": ("in-plus", "in-minus", "out-plus", "out-minus"),
    "monitor": ("sense", "battery"),
}


def circuit_of(facts: Facts, plan: Plan) -> Circuit:
    """The nodes and edges of a build's plan."""
    build = facts.build
    listed = {*plan.runs, *plan.motor_runs}
    runs = [(one.id, pair) for one in build.instances if (pair := ends_of(one))]
    runs = [(name, pair) for name, pair in runs if name in listed]
    leads = Counter(end for _, pair in runs for end in pair)
    feeding = {
        one.id
        for one in build.instances
        if one.subject == "converter"
        and (leads[f"{one.id}.out-plus"] or leads[f"{one.id}.out-minus"])
    }
    nodes: list[Node] = []
    for one in build.instances:
        if one.subject in TERMINALS and one.subject != "vehicle":
            nodes += _nodes(one, leads, one.id in feeding)
    maker = _Maker(nodes, leads)
    edges = [maker.edge(name, a, b) for name, (a, b) in runs]
    touched = {end.rpartition(".")[0] for end in leads}
    return Circuit(
        tuple(one for one in maker.nodes if one.ends),
        (*maker.links, *edges),
        tuple(
            one.id
            for one in build.instances
            if one.subject in TERMINALS and one.subject != "vehicle" and one.id not in touched
        ),
        tuple(one.id for one in build.instances if one.subject == "run" and one.id not in listed),
    )


class _Maker:
    """Joins runs to nodes, by a rail where a terminal has several."""

    def __init__(self, nodes: list[Node], leads: Counter[str]) -> None:
        self.nodes = nodes
        self.links: list[Edge] = []
        self._leads = leads
        self._of = {end: one for one in nodes for end in one.terminals}

    def edge(self, name: str, a: str, b: str) -> Edge:
        return _join(name, self._end(a, name, "a"), self._end(b, name, "b"))

    def _end(self, terminal: str, run: str, tag: str) -> End:
        if terminal == FRAME:
            key = f"{FRAME}:{run}:{tag}"
            mark = Node(key, "vehicle", "vehicle", "frame", (FRAME,), frozenset({FRAME}))
            self.nodes.append(mark)
            return End(mark, terminal)
        node = self._of[terminal]
        inner = node.kind != "battery" and terminal not in node.main
        if node.kind in LINES or inner or self._leads[terminal] < 2:
            return End(node, terminal)
        rail = Node(f"rail:{terminal}", node.part, "", "rail", (terminal,), frozenset({terminal}))
        self._of[terminal] = rail
        self.nodes.append(rail)
        self.links.append(_join("", End(node, terminal), End(rail, terminal)))
        return End(rail, terminal)


def _join(name: str, a: End, b: End) -> Edge:
    edge = Edge(name, a, b)
    for end in (a, b):
        end.edge = edge
        end.node.ends.append(end)
    return edge


def _nodes(one: Instance, leads: Counter[str], feeding: bool) -> Iterator[Node]:
    """The nodes of one part that runs touch."""
    own = one.id
    used = [name for name in TERMINALS[one.subject] if leads[f"{own}.{name}"]]
    if not used:
        return
    kind = _KINDS.get(one.subject, "box")
    if kind == "shunt" and set(used) & {"sense", "supply"} and not {"battery", "load"} <= set(used):
        kind = "box"

    def full(names: tuple[str, ...] | list[str]) -> tuple[str, ...]:
        return tuple(f"{own}.{name}" for name in names)

    if one.subject in ("disconnect", "connector"):
        for pole in _POLES:
            if set(pole) & set(used):
                key = own if pole == _POLES[0] else f"{own}:{short(pole[0])[3:]}"
                yield Node(key, own, one.subject, kind, full(pole), frozenset(full(pole)))
        return
    main: tuple[str, ...]
    if kind == "shunt":
        main = ("battery", "load")
    elif kind in THROUGH:
        main = ("in", "out")
    elif kind in ("bar", "motor"):
        main = tuple(used)
    elif one.subject == "monitor":
        main = ("sense", "supply", "battery")
    else:
        main = _FEEDS
    if kind == "bar" or kind == "motor":
        shown: tuple[str, ...] = tuple(used)
    else:
        always = main if kind in THROUGH else _SHOWN.get(one.subject, ("plus", "minus"))
        if one.subject == "converter" and not feeding:
            always = ("in-plus", "in-minus")
        shown = tuple(name for name in TERMINALS[one.subject] if name in always or name in used)
    source = kind == "battery" or feeding
    yield Node(own, own, one.subject, kind, full(shown), frozenset(full(main)), source)
