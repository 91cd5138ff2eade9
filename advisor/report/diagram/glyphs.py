"""Pieces of SVG: lines, texts, finding numbers, and the symbol of each part."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import pairwise
from xml.sax.saxutils import escape

from advisor.report.diagram.labels import SIZE, Mark, Text, block_size
from advisor.report.diagram.library import lines_of
from advisor.report.diagram.nodes import THROUGH, Node, short
from advisor.report.diagram.picture import Point, Symbol
from advisor.report.diagram.symbols import BODY, MOTOR, name_of, names_width

THIN, THICK = 1.3, 2.2
_OUTLINE = 'fill="none" stroke="black" stroke-width="1.4"'
_SMALL = 9


def text(one: Text, size: int = SIZE) -> str:
    """A line of text."""
    weight = ' font-weight="bold"' if one.bold else ""
    return (
        f'<text x="{one.x}" y="{one.y}" text-anchor="{one.anchor}" font-size="{size}"{weight}>'
        f"{escape(one.text)}</text>"
    )


def mark(one: Mark) -> str:
    """A finding number in a circle."""
    size = 10 if one.number < 100 else 7
    return (
        f'<circle cx="{one.x}" cy="{one.y}" r="8" fill="white" stroke="black" stroke-width="1.2"/>'
        + text(Text(one.x, one.y + 4, str(one.number), bold=True), size)
    )


def line(points: Iterable[Point], width: float, extra: str = "") -> str:
    """A line through some points."""
    listed = " ".join(f"{x},{y}" for x, y in points)
    return f'<polyline points="{listed}" fill="none" stroke="black" stroke-width="{width}"{extra}/>'


def dot(point: Point, radius: float = 3.5) -> str:
    """A dot that joins lines."""
    return f'<circle cx="{point[0]}" cy="{point[1]}" r="{radius}"/>'


def symbol(one: Symbol) -> Iterable[str]:
    """The lines of a part and the names of its terminals."""
    kind = one.node.kind
    _, y0, _, y1 = one.body
    if kind == "rail":
        yield line([(one.x, y0), (one.x, y1)], THICK if one.thick else THIN)
    elif kind == "bar":
        yield line([(one.x, y0 - 8), (one.x, y1 + 8)], 6)
        for end, (terminal, (_, y)) in zip(one.node.ends, one.pins, strict=True):
            left = end.side == "L"
            x, anchor = (one.x - 6, "end") if left else (one.x + 6, "start")
            stud = short(terminal).rpartition("-")[2]
            yield text(Text(x, y - 3, stud, anchor=anchor), _SMALL)
    elif kind == "frame":
        yield _at(one.x, one.y, lines_of("frame", 0))
        yield text(Text(one.x, one.y + 40, "frame"))
    elif kind not in THROUGH:
        yield from _box(one)
    elif one.node.upright:
        low = one.y + max(max(steps) for steps in one.node.steps.values())
        yield _at(one.x, one.y, lines_of(kind, low - one.y, down=True))
        for y in (one.y, low):
            yield line([(one.x - BODY // 2, y), (one.x, y)], 1.4)
    else:
        half = BODY // 2
        lines = lines_of(kind, BODY)
        if one.node.flip:
            yield _at(one.x + half, one.y, lines, " scale(-1 1)")
        else:
            yield _at(one.x - half, one.y, lines)
        yield from _below(one)


def _at(x: int, y: int, lines: str, extra: str = "") -> str:
    return f'<g transform="translate({x} {y}){extra}">{lines}</g>'


def _below(one: Symbol) -> Iterable[str]:
    """The coil of a contactor, or the gauge on a shunt, with its terminals."""
    node, x, y = one.node, one.x, one.y
    inner = {name: steps for name, steps in node.steps.items() if name not in node.main}
    if not inner:
        return
    coil = node.kind == "contactor"
    half = 14 if coil else 22
    for terminal, steps in inner.items():
        way = -1 if node.side(terminal) == "L" else 1
        edge, near = x + way * BODY // 2, x + way * half
        joint = near + 5 * way
        yield line([(edge, y + steps[0]), (near, y + steps[0])], 1.4)
        for above, step in pairwise(steps):
            yield line([(edge, y + step), (joint, y + step), (joint, y + above)], 1.4)
            yield dot((joint, y + above), 3)
        at, anchor = (x + way * 18, "end" if way < 0 else "start") if coil else (x, "middle")
        base = y + steps[0] + (-5 if coil else 3)
        yield text(Text(at, base, name_of(terminal), anchor=anchor), _SMALL)
    rows = [steps[0] for steps in inner.values()]
    top, low = (y + rows[0] - 9, y + rows[0] + 9) if coil else (y + 16, y + max(rows) + 10)
    yield f'<rect x="{x - half}" y="{top}" width="{2 * half}" height="{low - top}" {_OUTLINE}/>'
    if coil:
        yield line([(x, top), (x, y - 4)], 1, ' stroke-dasharray="4 3"')


def _box(one: Symbol) -> Iterable[str]:
    node = one.node
    x0, y0, x1, y1 = one.body
    dash = ' stroke-dasharray="8 3 2 3"' if node.kind == "battery" else ""
    yield f'<rect x="{x0}" y="{y0}" width="{x1 - x0}" height="{y1 - y0}" {_OUTLINE}{dash}/>'
    for terminal in node.terminals:
        left = node.side(terminal) == "L"
        x, anchor = (x0 + 4, "start") if left else (x1 - 4, "end")
        steps = node.steps[terminal]
        yield text(Text(x, one.y + steps[0] + 4, name_of(terminal), anchor=anchor))
        if len(steps) > 1:  # one terminal, drawn long
            edge = x0 if left else x1
            yield line([(edge, one.y + steps[0] - 4), (edge, one.y + steps[-1] + 4)], 5)
    if node.kind == "battery":
        heights = [step for listed in node.steps.values() for step in listed]
        x = x1 - 8 - names_width(node, "R") - 14
        low, high = min(heights), max(heights)
        yield _at(x, one.y + low, lines_of("battery", high - low, down=True))
    if node.kind == "motor":
        x, y = _motor(node, one)
        yield f'<circle cx="{x}" cy="{y}" r="16" {_OUTLINE}/>'
        yield text(Text(x, y + 5, "M", bold=True), 15)


def _motor(node: Node, one: Symbol) -> Point:
    """The middle of the circle of a motor: above its text."""
    x0, y0, x1, y1 = one.body
    left, right = x0 + 8 + names_width(node, "L"), x1 - 8 - names_width(node, "R")
    _, high = block_size(node)
    return (left + right) // 2, (y0 + y1 - high - MOTOR) // 2 + MOTOR // 2
