"""The way of each wire: straight where it can be, else by tracks in the channels between columns.

A wire leaves a terminal level. It turns only in a channel, on a track of its own, and passes
other columns on a level where nothing stands. So no wire runs through a symbol or a label, and no
two wires share a piece of line: where they cross, they cross squarely.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from dataclasses import dataclass

from advisor.report.diagram.nodes import Circuit, Edge, End, Side, short
from advisor.report.diagram.taps import extent
from advisor.report.diagram.tracks import CLEAR, Route, Upright, give_tracks

CROSSING = 24
"""A crossing counts like this much length."""
RETURN = 200
"""A way back that does not run below counts like so much more."""
Interval = tuple[int, int]


@dataclass(slots=True)
class Routes:
    """All wires, and how many tracks each channel needs."""

    routes: list[Route]
    tracks: dict[int, int]


class _Levels:
    """Where a level line may run: what stands in columns and in the channels beside them."""

    def __init__(self, circuit: Circuit, labels: dict[Edge, tuple[End, int, int]]) -> None:
        self.columns: dict[int, list[Interval]] = defaultdict(list)
        self.stubs: dict[int, list[tuple[int, End]]] = defaultdict(list)
        self.texts: dict[tuple[int, Side], list[tuple[int, int, Edge]]] = defaultdict(list)
        self.lanes: list[tuple[int, int, int]] = []
        for node in circuit.nodes:
            self.columns[node.col].append(extent(node))
            for end in node.ends:
                self.stubs[end.channel].append((end.y, end))
        for edge, (end, above, below) in labels.items():
            zone: Side = "R" if end.side == "L" else "L"
            self.texts[end.channel, zone].append((end.y - above, end.y + below, edge))

    def blocked(self, edge: Edge, first: int, last: int) -> list[Interval]:
        """Levels that a line from one channel to another must not take, merged."""
        found: list[Interval] = []
        for col in range(first, last):
            found += [(a - CLEAR, b + CLEAR) for a, b in self.columns.get(col, ())]
        for channel in range(first, last + 1):
            found += [
                (y - CLEAR, y + CLEAR)
                for y, end in self.stubs.get(channel, ())
                if end.edge is not edge
            ]
            for zone in ("L", "R"):
                if (channel, zone) not in ((first, "L"), (last, "R")):
                    texts = self.texts.get((channel, zone), ())
                    found += [(a - 2, b + 2) for a, b, one in texts if one is not edge]
        found += [(y - CLEAR, y + CLEAR) for a, b, y in self.lanes if a <= last and first <= b]
        merged: list[Interval] = []
        for a, b in sorted(found):
            if merged and a < merged[-1][1]:
                merged[-1] = (merged[-1][0], max(b, merged[-1][1]))
            else:
                merged.append((a, b))
        return merged

    def level(self, edge: Edge, left: End, right: End) -> int:
        """The free level nearest to both ends."""
        first, last = left.channel, right.channel
        blocked = self.blocked(edge, first, last)
        starts = [a for a, _ in blocked]

        def free(y: int) -> bool:
            at = bisect_right(starts, y) - 1
            return at < 0 or not (blocked[at][0] < y < blocked[at][1])

        wanted = []
        if left.side == "R":
            wanted.append(left.y)
        if right.side == "L":
            wanted.append(right.y)
        for y in wanted:
            if _own(edge, y) and free(y):
                return y
        edges = [y for interval in blocked for y in interval]
        taken = {left.y, right.y}
        beyond = max([*edges, *taken]) + 2 * CLEAR
        near = [y + step for y in taken for step in (-2 * CLEAR, 2 * CLEAR)]
        choices = [y for y in (*edges, *near, beyond) if free(y)]
        choices = [y for y in choices if all(abs(y - one) >= CLEAR for one in taken)]
        back = any(short(one.terminal).endswith("minus") for one in (left, right))

        def cost(y: int) -> tuple[int, int]:
            above = RETURN if back and y < max(taken) else 0
            return self._cost(y, left) + self._cost(y, right) + above, y

        return min(choices, key=cost)

    def _cost(self, y: int, end: End) -> int:
        """Length of the upright from one end to a level, and what it crosses on the way."""
        low, high = min(y, end.y), max(y, end.y)
        crossed = sum(low < one < high for one, _ in self.stubs.get(end.channel, ()))
        crossed += sum(low < one < high and a < end.channel < b for a, b, one in self.lanes)
        return high - low + CROSSING * crossed


def _own(edge: Edge, y: int) -> bool:
    """A level of one of its ends does not meet the other end from the wrong side."""
    ends = [one for one in (edge.a, edge.b) if one.y == y]
    return len(ends) == 1 or {one.side for one in ends} == {"L", "R"}


def route(circuit: Circuit, labels: dict[Edge, tuple[End, int, int]]) -> Routes:
    """Route every edge; `labels` tell at which end each label stands, and its height."""
    levels = _Levels(circuit, labels)
    routes: dict[Edge, Route] = {}
    uprights: dict[int, list[Upright]] = defaultdict(list)

    def order(edge: Edge) -> tuple[bool, int, int]:
        span = abs(edge.a.channel - edge.b.channel)
        return edge.a.y != edge.b.y, span, abs(edge.a.y - edge.b.y)

    for edge in sorted(circuit.edges, key=order):
        found = _route(edge, levels)
        routes[edge] = found
        for one in found.uprights:
            uprights[one.channel].append(one)
    tracks = {}
    for channel, listed in uprights.items():
        known = {y for y, _ in levels.stubs[channel]}
        known |= {y for first, last, y in levels.lanes if first <= channel <= last}
        tracks[channel] = give_tracks(listed, known, list(routes.values()))
    return Routes([routes[edge] for edge in circuit.edges], tracks)


def _route(edge: Edge, levels: _Levels) -> Route:
    left, right = sorted((edge.a, edge.b), key=lambda end: (end.channel, end.side))
    found = Route(edge)
    if left.channel == right.channel:
        straight = left.y == right.y and left.side != right.side
        if not straight:
            found.uprights = [_upright(left.channel, left, right)]
        return found
    y = levels.level(edge, left, right)
    levels.lanes.append((left.channel, right.channel, y))
    pieces = []
    if y != left.y:
        pieces.append(Upright(left.channel, ((left.y, _from(left)), (y, "R"))))
    if y != right.y:
        pieces.append(Upright(right.channel, ((y, "L"), (right.y, _from(right)))))
    found.uprights = pieces if left is edge.a else [_turned(one) for one in reversed(pieces)]
    return found


def _from(end: End) -> Side:
    """The side of a track on which the wire goes on to a terminal."""
    return "L" if end.side == "R" else "R"


def _upright(channel: int, a: End, b: End) -> Upright:
    edge = a.edge
    assert edge is not None
    first, second = (a, b) if edge.a is a else (b, a)
    return Upright(channel, ((first.y, _from(first)), (second.y, _from(second))))


def _turned(one: Upright) -> Upright:
    return Upright(one.channel, (one.ends[1], one.ends[0]))
