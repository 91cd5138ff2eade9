"""The size of each symbol, and where its terminals lie."""

from __future__ import annotations

from advisor.report.diagram.labels import ABOVE, BELOW, block_size, width_of
from advisor.report.diagram.nodes import THROUGH, Circuit, Node, Side, short
from advisor.report.diagram.taps import PITCH

BODY = 64
"""Width of a symbol in a line."""
FRAME_HIGH = 30
BOX_TOP, BOX_LOW = 22, 8
"""A box begins so far above its line, and ends so far above its lower bound."""
MOTOR = 40
"""Height of the circle in a motor."""
CELLS = 30
"""Width of the battery symbol in a pack."""

_DOWN = ("plus", "charge-plus", "cells-plus", "case", "cells-minus", "charge-minus", "minus")
_RIGHT = frozenset(
    {"minus", "in-minus", "out-plus", "out-minus", "motor-plus", "motor-minus", "u", "v", "w"}
    | {"battery", "load"}
)
_NAMES = {
    "plus": "+",
    "minus": "−",
    "in-plus": "in +",
    "in-minus": "in −",
    "out-plus": "out +",
    "out-minus": "out −",
    "motor-plus": "motor +",
    "motor-minus": "motor −",
    "charge-plus": "charge +",
    "charge-minus": "charge −",
    "cells-plus": "cells +",
    "cells-minus": "cells −",
    "coil-plus": "+",
    "coil-minus": "−",
    "battery": "−",
}


def name_of(terminal: str) -> str:
    """A terminal as printed beside it."""
    return _NAMES.get(short(terminal), short(terminal))


def names_width(node: Node, side: Side) -> int:
    """Pixels for the names of the terminals on one side of a box."""
    names = [name_of(one) for one in node.terminals if node.side(one) == side]
    return max((width_of(one) for one in names), default=0)


def shape(circuit: Circuit) -> None:
    """Set the size of every symbol, and the side and height of its terminals."""
    for node in circuit.nodes:
        wide, high = block_size(node)
        if node.kind == "rail":
            node.width, node.top, node.bottom = max(8, wide), high + 16, 12
        elif node.kind == "bar":
            node.width, node.top, node.bottom = max(48, wide), high + 20, 14
        elif node.kind == "frame":
            node.width, node.bottom = 44, FRAME_HIGH + 14
            node.sides = {node.terminals[0]: "L"}
        elif node.kind in THROUGH:
            _through(node)
            node.width, node.top = max(BODY, wide), 24 + high
        else:
            _box(node, wide, high)
        node.top, node.bottom = max(node.top, ABOVE), max(node.bottom, BELOW)
        for terminal in node.terminals:
            listed = node.steps.setdefault(terminal, (0,))
            for end, step in zip(node.at(terminal), listed, strict=False):
                end.step = step


def _rows(node: Node, terminal: str, row: int) -> int:
    """Give a terminal its rows from one on, one for each run; the next free row."""
    count = max(1, len(node.at(terminal)))
    node.steps[terminal] = tuple(PITCH * (row + at) for at in range(count))
    return row + count


def _through(node: Node) -> None:
    """In and out on the line; a coil, a sense lead and the like below it."""
    first = [one for one in node.terminals if one in node.main]
    node.sides = {first[0]: "L", first[1]: "R"}
    rows: dict[Side, int] = {"L": 1, "R": 1}
    for terminal in node.terminals:
        if terminal not in node.main:
            side: Side = "R" if short(terminal) == "coil-minus" else "L"
            node.sides[terminal] = side
            rows[side] = _rows(node, terminal, rows[side])
    node.bottom = BOX_TOP + PITCH * (max(rows.values()) - 1)


def _box(node: Node, wide: int, high: int) -> None:
    """Terminals in rows at the left and right edge, the text between them."""
    sides: dict[Side, list[str]] = {"L": [], "R": []}
    if node.kind == "battery":
        sides["R"] = sorted(node.terminals, key=lambda one: _DOWN.index(short(one)))
    else:
        for terminal in node.terminals:
            right = short(terminal) in _RIGHT and node.kind != "motor"
            sides["R" if right else "L"].append(terminal)
    for side, listed in sides.items():
        row = 0
        for terminal in listed:
            node.sides[terminal] = side
            row = _rows(node, terminal, row)
    if node.kind == "battery":  # the minus lies at least two rows below the plus
        count = len(node.terminals) - 1
        for terminal in node.terminals:
            if short(terminal).endswith("minus"):
                node.steps[terminal] = (node.steps[terminal][0] + PITCH * max(0, 2 - count),)
    if node.source and node.subject == "converter":
        for terminal in node.terminals:  # clear of the line of its input to the right
            if short(terminal).startswith("out"):
                node.steps[terminal] = tuple(one + PITCH // 2 for one in node.steps[terminal])
    left, right_names = names_width(node, "L"), names_width(node, "R")
    if node.kind == "battery":  # a minus may still move to the left
        left, wide = right_names, wide + CELLS
    if node.kind == "motor":
        wide = max(wide, MOTOR)
    node.width = wide + left + right_names + 24
    lowest = max((max(one) for one in node.steps.values()), default=0)
    tall = high + (MOTOR if node.kind == "motor" else 0) + 10
    node.top = ABOVE
    node.bottom = max(30 + lowest, tall - BOX_TOP + BOX_LOW)
