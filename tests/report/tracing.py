"""Traces a drawing by its coordinates alone, like a finger on paper."""

from __future__ import annotations

from collections import defaultdict
from itertools import combinations, pairwise

from advisor.report.diagram.picture import Box, Picture, Point

Piece = tuple[Point, Point]


class Groups:
    """Sets of things found to hang together."""

    def __init__(self) -> None:
        self.parent: dict[object, object] = {}

    def find(self, one: object) -> object:
        self.parent.setdefault(one, one)
        while self.parent[one] != one:
            one = self.parent[one]
        return one

    def join(self, a: object, b: object) -> None:
        self.parent[self.find(a)] = self.find(b)


def pieces(points: tuple[Point, ...]) -> list[Piece]:
    """The straight pieces of a line; all must be level or upright."""
    found = [(a, b) for a, b in pairwise(points) if a != b]
    for (ax, ay), (bx, by) in found:
        assert ax == bx or ay == by, "slanted wire"
    return found


def on(point: Point, piece: Piece) -> bool:
    """A point lies on a piece, ends included."""
    (ax, ay), (bx, by) = piece
    x, y = point
    return min(ax, bx) <= x <= max(ax, bx) and min(ay, by) <= y <= max(ay, by)


def overlap(one: Piece, other: Piece) -> bool:
    """Two pieces share more than a point."""
    (ax, ay), (bx, by) = one
    (cx, cy), (dx, dy) = other
    if ax == bx == cx == dx:
        return max(min(ay, by), min(cy, dy)) < min(max(ay, by), max(cy, dy))
    if ay == by == cy == dy:
        return max(min(ax, bx), min(cx, dx)) < min(max(ax, bx), max(cx, dx))
    return False


def enters(piece: Piece, box: Box) -> bool:
    """A piece runs through the inside of a box."""
    (ax, ay), (bx, by) = piece
    x0, y0, x1, y1 = box
    return min(ax, bx) < x1 and max(ax, bx) > x0 and min(ay, by) < y1 and max(ay, by) > y0


def cut(one: Box, other: Box) -> bool:
    """Two boxes overlap."""
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def nets_drawn(picture: Picture) -> tuple[Groups, list[str]]:
    """Terminals that the drawing joins, and everything about its lines that misleads."""
    wrong: list[str] = []
    groups = Groups()
    lines: dict[str, list[Piece]] = {}
    pins: dict[str, set[Point]] = defaultdict(set)
    at: dict[Point, set[str]] = defaultdict(set)
    for symbol in picture.symbols:
        node = symbol.node
        for terminal, point in symbol.pins:
            pins[terminal].add(point)
            at[point].add(node.key)
        if node.kind in ("bar", "rail"):
            x0, y0, x1, y1 = symbol.body
            middle = (x0 + x1) // 2
            lines[f"line {node.key}"] = [((middle, y0), (middle, y1))]
            for terminal, point in symbol.pins:
                if not on(point, ((middle, y0), (middle, y1))):
                    wrong.append(f"{terminal} lies off its line")
                groups.join(terminal, f"line {node.key}")
    for number, wire in enumerate(picture.wires):
        name = f"wire {wire.run or number}"
        lines[name] = pieces(wire.points)
        for terminal, point in ((wire.start, wire.points[0]), (wire.end, wire.points[-1])):
            if point not in pins[terminal]:
                wrong.append(f"{name} ends off {terminal}")
            groups.join(name, terminal)
    for (a, ones), (b, others) in combinations(lines.items(), 2):
        for one in ones:
            for other in others:
                if overlap(one, other):
                    wrong.append(f"{a} and {b} share a piece of line")
                touching = {p for p in one if on(p, other)} | {p for p in other if on(p, one)}
                for point in touching:
                    if not at[point]:
                        wrong.append(f"{a} touches {b} at {point}")
                    groups.join(a, b)
    for wire in picture.wires:
        for one, other in combinations(pieces(wire.points), 2):
            if overlap(one, other):
                wrong.append(f"{wire.run} runs back over itself")
    return groups, wrong + _across(picture, lines)


def _across(picture: Picture, lines: dict[str, list[Piece]]) -> list[str]:
    """Wires that pass squarely over a bar or a rail, where they would read as joined to it."""
    wrong = []
    for symbol in picture.symbols:
        if symbol.node.kind not in ("bar", "rail"):
            continue
        own = lines[f"line {symbol.node.key}"][0]
        (x, top), (_, low) = own
        for name, listed in lines.items():
            for (ax, ay), (bx, by) in listed:
                over = ay == by and min(ax, bx) < x < max(ax, bx) and top <= ay <= low
                if over and name.startswith("wire"):
                    wrong.append(f"{name} passes over {symbol.node.key}")
    return wrong


def clashes(picture: Picture) -> list[str]:
    """Symbols, labels and wires in each other's way, or outside the sheet."""
    wrong = []
    bodies = [(one.node.key, one.body) for one in picture.symbols]
    labels = [(one.of, one.box) for one in picture.labels if not one.inside]
    for (a, one), (b, other) in combinations([*bodies, *labels], 2):
        if cut(one, other):
            wrong.append(f"{a} overlaps {b}")
    for name, (x0, y0, x1, y1) in [*bodies, *labels]:
        if x0 < 0 or y0 < 0 or x1 > picture.width or y1 > picture.height:
            wrong.append(f"{name} lies outside")
    for wire in picture.wires:
        for one in pieces(wire.points):
            for symbol in picture.symbols:
                if symbol.node.kind not in ("bar", "rail") and enters(one, symbol.body):
                    wrong.append(f"{wire.run or wire.start} runs through {symbol.node.key}")
            for label in picture.labels:
                if label.inside:
                    continue
                own = label.of == wire.run and one[0][1] == one[1][1]
                if not own and enters(one, label.box):
                    wrong.append(f"{wire.run or wire.start} runs through the label {label.of}")
            for x, y in one:
                if not (0 <= x <= picture.width and 0 <= y <= picture.height):
                    wrong.append(f"{wire.run} leaves the sheet")
    return wrong


def dots_expected(picture: Picture) -> set[Point]:
    """Where a rail meets wires so that three lines or more come together."""
    found = set()
    for symbol in picture.symbols:
        if symbol.node.kind != "rail":
            continue
        _, y0, _, y1 = symbol.body
        for _, (x, y) in symbol.pins:
            arms = sum(point == (x, y) for _, point in symbol.pins)
            arms += (y > y0) + (y < y1)
            if arms > 2:
                found.add((x, y))
    return found
