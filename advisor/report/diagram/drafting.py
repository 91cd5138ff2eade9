"""From a circuit with places and routes to the drawing in pixels."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from advisor.facts import Facts
from advisor.report.diagram.circuit import circuit_of
from advisor.report.diagram.labels import (
    ABOVE,
    BELOW,
    LINE,
    MARK,
    Mark,
    Text,
    block,
    block_size,
    name_parts,
    run_lines,
    width_of,
)
from advisor.report.diagram.nodes import LINES, THROUGH, Circuit, Edge, End, Node
from advisor.report.diagram.picture import Box, Label, Picture, Point, Symbol, Wire
from advisor.report.diagram.place import place
from advisor.report.diagram.routes import route
from advisor.report.diagram.symbols import (
    BODY,
    BOX_LOW,
    BOX_TOP,
    CELLS,
    FRAME_HIGH,
    MOTOR,
    names_width,
    shape,
)
from advisor.report.diagram.taps import extent
from advisor.report.diagram.tracks import Route
from advisor.wiring.plan import Plan

TRACK = 10
"""Distance of neighbouring upright wires."""
_THICK = ("traction", "motor")


def picture_of(
    facts: Facts, plan: Plan, marks: Mapping[str, Sequence[int]], system: str = "si"
) -> Picture:
    """The drawing of a build's plan, with the numbers of findings by id of part or run."""
    numbers = {name: tuple(sorted(set(listed))) for name, listed in marks.items()}
    circuit = circuit_of(facts, plan)
    name_parts(facts, circuit, numbers, system)
    shape(circuit)
    place(circuit)
    return _Drafter(facts, circuit, numbers, system).picture()


class _Drafter:
    def __init__(
        self, facts: Facts, circuit: Circuit, marks: dict[str, tuple[int, ...]], system: str
    ) -> None:
        self.circuit = circuit
        self.marks = marks
        runs = [edge for edge in circuit.edges if edge.run]
        self.texts = {edge: run_lines(facts, edge.run, system) for edge in runs}
        self.at = {edge: _label_end(edge) for edge in runs}
        self.thick = {edge for edge in runs if _circuit(facts, edge.run) in _THICK}
        heights = {
            edge: (end, LINE * len(self.texts[edge][0]) + 4, BELOW) for edge, end in self.at.items()
        }
        self.routes = route(circuit, heights)
        self._across()
        self._down()

    def _across(self) -> None:
        """The x of every column and channel."""
        count = max((one.col for one in self.circuit.nodes), default=-1) + 1
        wide = [0] * count
        for node in self.circuit.nodes:
            wide[node.col] = max(wide[node.col], node.width)
        need = {(channel, side): 6 for channel in range(count + 1) for side in "LR"}
        for edge, end in self.at.items():
            zone = (end.channel, "R" if end.side == "L" else "L")
            need[zone] = max(need[zone], self._wide(edge) + 12)
        self.zone: dict[tuple[int, str], Point] = {}
        self.track: dict[int, int] = {}
        self.middle: list[int] = []
        x = 16
        for channel in range(count + 1):
            self.zone[channel, "L"] = (x, x + need[channel, "L"])
            self.track[channel] = x + need[channel, "L"] + TRACK // 2
            x += need[channel, "L"] + TRACK * self.routes.tracks.get(channel, 0)
            self.zone[channel, "R"] = (x, x + need[channel, "R"])
            x += need[channel, "R"]
            if channel < count:
                half = (wide[channel] + 1) // 2
                self.middle.append(x + half)
                x += 2 * half
        self.width = x + 16

    def _down(self) -> None:
        """What to add to every y, and the height."""
        bounds = [y for one in self.circuit.nodes for y in extent(one)]
        bounds += [y for one in self.routes.routes for piece in one.uprights for y, _ in piece.ends]
        bounds += [y for end in self.at.values() for y in (end.y - ABOVE, end.y + BELOW)]
        self.shift = 10 - min(bounds, default=0)
        self.height = max(bounds, default=0) + self.shift + 10

    def _wide(self, edge: Edge) -> int:
        above, below = self.texts[edge]
        first = MARK * len(self.marks.get(edge.run, ())) + width_of(above[0])
        return max(first, *(width_of(one) for one in (*above, below)))

    def picture(self) -> Picture:
        nodes = self.circuit.nodes
        labels = [self._run_label(edge) for edge in self.texts]
        labels += [self._part_label(one) for one in nodes if one.title or one.text]
        return Picture(
            tuple(self._symbol(one) for one in nodes),
            tuple(self._wire(one) for one in self.routes.routes),
            tuple(dot for one in nodes for dot in self._dots(one)),
            tuple(labels),
            self.circuit.apart,
            self.circuit.endless,
            self.width,
            self.height,
        )

    # -- pieces --------------------------------------------------------------------------------

    def _pin(self, end: End) -> Point:
        node = end.node
        x, y = self.middle[node.col], end.y + self.shift
        if node.kind in LINES or node.kind == "frame":
            return x, y
        half = (BODY if node.kind in THROUGH else node.width) // 2
        return (x - half if end.side == "L" else x + half), y

    def _body(self, node: Node) -> Box:
        x, y = self.middle[node.col], node.y + self.shift
        if node.kind in LINES:
            return x - 2, node.span[0] + self.shift, x + 2, node.span[1] + self.shift
        if node.kind in THROUGH:
            return x - BODY // 2, y - 14, x + BODY // 2, y + node.bottom - 8
        if node.kind == "frame":
            return x - 12, y, x + 12, y + FRAME_HIGH
        half = node.width // 2
        return x - half, y - BOX_TOP, x + half, y + node.bottom - BOX_LOW

    def _symbol(self, node: Node) -> Symbol:
        pins = tuple((end.terminal, self._pin(end)) for end in node.ends)
        thick = any(end.edge in self.thick for end in node.ends)
        x, y = self.middle[node.col], node.y + self.shift
        return Symbol(node, x, y, self._body(node), pins, thick)

    def _wire(self, one: Route) -> Wire:
        edge = one.edge
        points = [self._pin(edge.a)]
        for piece in one.uprights:
            x = self.track[piece.channel] + TRACK * piece.track
            points += [(x, y + self.shift) for y, _ in piece.ends]
        points.append(self._pin(edge.b))
        last = len(points) - 1
        kept = [
            here
            for at, here in enumerate(points)
            if at in (0, last) or not points[at - 1][1] == here[1] == points[at + 1][1]
        ]
        thick = edge in self.thick
        if not edge.run:
            rail = edge.a.node if edge.a.node.kind == "rail" else edge.b.node
            thick = any(end.edge in self.thick for end in rail.ends)
        return Wire(edge.run, edge.a.terminal, edge.b.terminal, tuple(kept), thick)

    def _dots(self, node: Node) -> list[Point]:
        """On a rail: where three lines meet."""
        if node.kind != "rail":
            return []
        heights = [end.y for end in node.ends]
        low, high = node.span
        inner = {y for y in heights if heights.count(y) > 1 or low < y < high}
        return [(self.middle[node.col], y + self.shift) for y in sorted(inner)]

    # -- texts ---------------------------------------------------------------------------------

    def _run_label(self, edge: Edge) -> Label:
        above, below = self.texts[edge]
        end = self.at[edge]
        left, right = self.zone[end.channel, "R" if end.side == "L" else "L"]
        x, y = (left + right) // 2, end.y + self.shift
        half = (self._wide(edge) + 1) // 2
        top = y - 4 - LINE * len(above)
        numbers = self.marks.get(edge.run, ())
        texts = [Text(x, top + LINE * at + LINE - 1, line) for at, line in enumerate(above)]
        marks: list[Mark] = []
        if numbers:
            start = x - (MARK * len(numbers) + width_of(above[0])) // 2
            marks = [
                Mark(one, start + MARK * at + 9, texts[0].y - 4) for at, one in enumerate(numbers)
            ]
            texts[0] = Text(start + MARK * len(numbers), texts[0].y, above[0], anchor="start")
        texts.append(Text(x, y + LINE, below))
        return Label(edge.run, tuple(texts), tuple(marks), (x - half, top, x + half, y + BELOW - 1))

    def _part_label(self, node: Node) -> Label:
        x, y = self.middle[node.col], node.y + self.shift
        wide, high = block_size(node)
        inside = node.is_box
        if inside:
            x0, y0, x1, y1 = self._body(node)
            x0, x1 = x0 + 8 + names_width(node, "L"), x1 - 8 - names_width(node, "R")
            x1 -= CELLS if node.kind == "battery" else 0
            x = (x0 + x1) // 2
            extra = MOTOR if node.kind == "motor" else 0
            top = (y0 + y1 - high - extra) // 2 + extra
        else:
            span = node.span[0] + self.shift
            top = (span - 12 if node.kind in LINES else y - 17) - high
        texts, marks = block(node, x, top)
        half = (wide + 1) // 2
        return Label(node.key, texts, marks, (x - half, top, x + half, top + high), inside)


def _circuit(facts: Facts, run: str) -> object:
    instance = facts.instance(run)
    written = instance.values.get("circuit") if instance is not None else None
    return written.value if written is not None else None


def _label_end(edge: Edge) -> End:
    """A label stands where its wire runs into the left of a symbol, else at its start."""
    ends = [one for one in (edge.a, edge.b) if one.side == "L"]
    ends.sort(key=lambda one: one.node.kind in LINES)
    return ends[0] if ends else edge.a
