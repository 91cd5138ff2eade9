"""The drawing as data: symbols, wires as corner points, dots, texts; in pixels from the top left.

The tests trace this by its coordinates alone and compare it with the plan.
"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.report.diagram.labels import Mark, Text
from advisor.report.diagram.nodes import Node

Point = tuple[int, int]
Box = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Wire:
    """A run, or without a name the link from a terminal to its rail."""

    run: str
    start: str
    end: str
    points: tuple[Point, ...]
    thick: bool


@dataclass(frozen=True, slots=True)
class Label:
    """The text of a part or a run with its finding numbers; `box` is what it takes at most."""

    of: str
    texts: tuple[Text, ...]
    marks: tuple[Mark, ...]
    box: Box
    inside: bool = False


@dataclass(frozen=True, slots=True)
class Symbol:
    """A part or one pole of it. `pins` are where wires may end, by terminal."""

    node: Node
    x: int
    y: int
    body: Box
    pins: tuple[tuple[str, Point], ...]
    thick: bool


@dataclass(frozen=True, slots=True)
class Picture:
    """The whole drawing. `apart` are parts that no run touches, `endless` runs without an end."""

    symbols: tuple[Symbol, ...]
    wires: tuple[Wire, ...]
    dots: tuple[Point, ...]
    labels: tuple[Label, ...]
    apart: tuple[str, ...]
    endless: tuple[str, ...]
    width: int
    height: int
