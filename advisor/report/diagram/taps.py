"""Where each run meets a bar or a rail, and columns in which nothing is in another's way."""

from __future__ import annotations

from advisor.report.diagram.labels import ABOVE, BELOW
from advisor.report.diagram.nodes import LINES, Circuit, End, Node, Side

PITCH = ABOVE + BELOW - 1
"""Distance of neighbouring terminals: a wire with its label above and below."""
GAP = 12
"""Room between a wire and what stands beside it."""


class Taps:
    """Gives every run at a bar a side and a height, level with its other end where it can.

    `gathers` are the bars in which returns gather, each with the heights it gathers from.
    """

    def __init__(self, circuit: Circuit, gathers: dict[Node, tuple[int, int]]) -> None:
        self.circuit = circuit
        self.gathers = gathers

    def give(self, node: Node) -> None:
        """Place all ends at one bar."""
        tied = {kid.entry.mate for kid in node.kids if kid.entry}
        tied |= {kid.minus_entry.mate for kid in node.minus_kids if kid.minus_entry}
        level: list[tuple[int, End]] = []
        other: list[End] = []
        for end in node.ends:
            end.side = self._side(node, end)
            y = self._level(node, end)
            if y is None:
                other.append(end)
            else:
                level.append((y, end))
        used: dict[str, list[int]] = {"L": [], "R": []}
        low = high = node.y
        for y, end in sorted(level, key=lambda one: (one[1] not in tied, one[0])):
            reach = (min(low, y), max(high, y))
            clear = all(abs(y - one) >= PITCH for one in used[end.side])
            if clear and (end in tied or self._clear(node, *reach)):
                end.y, (low, high) = y, reach
                used[end.side].append(y)
            else:
                other.append(end)
        for end in other:
            y = node.y
            while any(abs(y - one) < PITCH for one in used[end.side]):
                y += PITCH // 2
            end.y = y
            used[end.side].append(y)
        heights = [end.y for end in node.ends]
        node.span = (min(heights), max(heights))

    @staticmethod
    def _side(node: Node, end: End) -> Side:
        mate = end.mate
        if node.folded and end is node.entry:
            return "L"
        if mate.node is node:
            return "R"
        if mate.node.kind in LINES:
            return "L" if mate.node.col < node.col else "R"
        return "L" if mate.channel <= node.col else "R"

    @staticmethod
    def _level(node: Node, end: End) -> int | None:
        """The height at which a wire could run straight from here to its other end."""
        mate = end.mate
        if node.folded and end is node.entry:
            return node.y
        if mate.node is node:
            return None
        if mate.node.kind in LINES:
            if mate is mate.node.entry:
                return mate.node.y
            return node.y if end is node.entry else None
        if (end.side == "L") != (mate.side == "R"):
            return None
        if end is node.entry and node.minus_kids and mate.y != node.y:
            return None
        return mate.y

    def _clear(self, node: Node, low: int, high: int) -> bool:
        """No other symbol stands in the column over this height, and no returns pass it."""
        if node in self.gathers:
            for one, (top, bottom) in self.gathers.items():
                passed = one is not node and one.col >= node.col
                if passed and top < high + PITCH and low < bottom + PITCH:
                    return False
        return not any(
            one is not node
            and one.col == node.col
            and one.y - one.top < high + GAP
            and low - GAP < max(one.y + one.bottom, one.span[1])
            for one in self.circuit.nodes
        )


def extent(node: Node) -> tuple[int, int]:
    """From the top to the bottom of a symbol with its text."""
    if node.kind in LINES:
        return node.span[0] - node.top, node.span[1] + node.bottom
    return node.y - node.top, node.y + node.bottom


def part_columns(circuit: Circuit) -> None:
    """Where symbols of one column are in each other's way, move some to a column of their own."""
    fresh: dict[Node, int] = {}
    count = 0
    for col in sorted({one.col for one in circuit.nodes}):
        parted: list[list[Node]] = []
        for node in [one for one in circuit.nodes if one.col == col]:
            top, low = extent(node)
            for room in parted:
                if all(low <= extent(one)[0] or extent(one)[1] <= top for one in room):
                    room.append(node)
                    break
            else:
                parted.append([node])
        for room in parted:
            fresh |= dict.fromkeys(room, count)
            count += 1
    for node, col in fresh.items():
        node.col = col
