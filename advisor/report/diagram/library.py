"""The lines of the symbols, drawn with the schematic library.

Symbols follow the common international set: a box with a line through it is a fuse, a slanted
blade a contact, a cross on it a breaker, a bar on it a disconnector, a half circle a contactor.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from functools import cache

import schemdraw
from schemdraw import elements
from schemdraw.segments import Segment, SegmentArc, SegmentCircle, SegmentPoly, SegmentType

schemdraw.use("svg")

SCALE = 32
"""Pixels of one unit of the library."""
_GAP = (math.nan, math.nan)
"""A break in a line, as the library writes it."""
_POINTS = 72
"""Points of an inch, by which the library scales."""


def _own(*segments: SegmentType) -> Callable[[], elements.Element]:
    """A symbol of one unit in length, made of the library's lines."""

    def make() -> elements.Element:
        element = elements.Element2Term()
        element.segments += segments
        return element

    return make


def _contact(*segments: SegmentType) -> Callable[[], elements.Element]:
    """A make contact; the blade hangs at the right and opens upwards."""
    blade = [(0, 0), (0.28, 0), _GAP, (0.2, 0.4), (0.76, 0), (1, 0)]
    return _own(Segment(blade), *segments)


_LINES: dict[str, Callable[[], elements.Element]] = {
    "fuse": elements.FuseIEEE,  # the box with a line through it; the library names it otherwise
    "resistor": elements.ResistorIEC,
    "shunt": elements.Rshunt,
    "battery": elements.Battery,
    "frame": elements.GroundChassis,
    "breaker": _contact(
        Segment([(0.18, 0.1), (0.38, -0.1)]),
        Segment([(0.18, -0.1), (0.38, 0.1)]),
    ),
    "switch": _contact(Segment([(0.28, 0.16), (0.28, -0.16)])),
    "contactor": _contact(SegmentArc((0.37, 0), 0.18, 0.18, theta1=180, theta2=0)),
    "key": _contact(
        Segment([(0.48, 0.2), (0.48, -0.22)], ls=":"),
        SegmentCircle((0.48, -0.32), 0.1),
    ),
    "connector": _own(
        Segment([(0, 0), (0.3, 0), _GAP, (0.7, 0), (1, 0)]),
        SegmentArc((0.5, 0), 0.4, 0.4, theta1=90, theta2=270),
        SegmentPoly([(0.38, 0.07), (0.7, 0.07), (0.7, -0.07), (0.38, -0.07)], fill="black"),
    ),
}


@cache
def lines_of(kind: str, length: int, down: bool = False) -> str:
    """The lines of a symbol as SVG, from 0,0 to the right (or down) over its length in pixels."""
    drawing = schemdraw.Drawing(show=False, inches_per_unit=SCALE / _POINTS, lw=1.4)
    element = _LINES[kind]().at((0, 0))
    if isinstance(element, elements.Element2Term):
        element = element.to((0, -length / SCALE) if down else (length / SCALE, 0))
    drawing.add(element)
    text = drawing.get_imagedata("svg").decode("utf-8")
    inner = text[text.index(">", text.index("<svg")) + 1 : text.rindex("</svg>")]
    inner = inner.replace("stroke-dasharray:-;", "")  # the library's word for an unbroken line
    return re.sub(r"-?\d+\.\d+", lambda found: f"{float(found[0]) + 0.0:.6g}", inner)
