"""Room in the columns: what is taken, and what a line of symbols needs."""

from __future__ import annotations

from collections import defaultdict

from advisor.report.diagram.family import is_fed
from advisor.report.diagram.nodes import LINES, Node
from advisor.report.diagram.taps import GAP, PITCH

Item = tuple[int, int, int]
"""A column, and what is needed in it above and below a line."""


class Room:
    """What is taken in each column, as intervals of y."""

    def __init__(self) -> None:
        self.taken: dict[int, list[tuple[int, int]]] = defaultdict(list)

    def free(self, col: int, top: int, bottom: int) -> bool:
        return all(bottom <= a or b <= top for a, b in self.taken[col])

    def fit(self, items: list[Item], y: int) -> int:
        """The first y from here down at which all items are free; they are taken."""
        moved = True
        while moved:
            moved = False
            for col, above, below in items:
                for a, b in self.taken[col]:
                    if y - above < b and a < y + below:
                        y, moved = b + above, True
        for col, above, below in items:
            self.taken[col].append((y - above, y + below))
        return y

    def lowest(self) -> int:
        return max((b for taken in self.taken.values() for _, b in taken), default=0)

    def last(self, top: int, bottom: int) -> int:
        """The last column with anything between two heights."""
        return max((col for col in self.taken if not self.free(col, top, bottom)), default=0)


def needs(chain: list[tuple[Node, int]]) -> list[Item]:
    """Room for the symbols of a line, each with its offset, and for the wires between them."""
    items = [(one.col, one.top - off, one.bottom + off + spare(one)) for one, off in chain]

    def wire(between: range, line: int) -> list[Item]:
        return [(col, GAP - line, GAP + line) for col in between]

    for one, offset in chain:
        if one.entry is not None and not one.folded:
            low, high = sorted((one.entry.mate.node.col, one.col))
            items += wire(range(low + 1, high), offset + one.entry.step)
        if is_fed(one):
            line = offset + max(one.steps.get(f"{one.part}.minus", (0,)))
            taken = {other.col for other, _ in chain}
            items += [
                item for item in wire(range(one.col + 1, one.col + 4), line) if item[0] not in taken
            ]
    return items


def spare(node: Node) -> int:
    """Height that a bar needs for taps that belong to no branch of it."""
    if node.kind not in LINES:
        return 0
    tied = 1 + len(node.kids) + len(node.minus_kids)
    return PITCH * max(0, len(node.ends) - tied)
