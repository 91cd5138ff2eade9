"""Where each symbol goes: columns by distance from the source, rows by branch.

The plus side runs from left to right, every branch in a row of its own. What is fed stands in one
column at the right. The conductors that gather the returns stand right of that, and the way back
to the source lies below. The 12 V side is a second such block under the first.
"""

from __future__ import annotations

from advisor.report.diagram.family import (
    bearing,
    bears,
    columns_above,
    depth,
    fold,
    graft,
    is_fed,
    return_height,
    uprights,
)
from advisor.report.diagram.nodes import LINES, THROUGH, Circuit, Node
from advisor.report.diagram.room import Room, needs, spare
from advisor.report.diagram.taps import GAP, PITCH, Taps, part_columns
from advisor.report.diagram.waves import sections_of


def place(circuit: Circuit) -> None:
    """Give every node its column and line, and every end its side and height."""
    placer = _Placer(circuit)
    for sources in sections_of(circuit):
        placer.section(sources)
    placer.gather()
    for node in circuit.nodes:
        if node.kind not in LINES:
            for end in node.ends:
                end.side = node.side(end.terminal)
                end.y = node.y + end.step
    taps = Taps(circuit, placer.gathers)
    for node in circuit.nodes:
        if node.kind in LINES:
            taps.give(node)
    part_columns(circuit)


class _Placer:
    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.room = Room()
        self.gathers: dict[Node, tuple[int, int]] = {}
        self._late: list[Node] = []
        self._width = 0

    # -- blocks --------------------------------------------------------------------------------

    def section(self, sources: list[Node]) -> None:
        """Place one block below what is there: its sources and rows, and the way back."""
        top = self.room.lowest() + (2 * PITCH if self.room.taken else 0)
        number = sources[0].section
        boxes = [one for one in self.circuit.nodes if one.section == number and is_fed(one)]
        folded = fold(sources, boxes)
        deep = max((depth(one) for one in boxes if one.entry), default=0) or 2
        shift = max(0, self._width - deep) if number else 0
        self._width = max(self._width, shift + deep)
        between = uprights(sources, PITCH)
        lowest = top
        for one in sources:
            self._columns(one, shift, shift + deep)
            lowest = self._tree(one, lowest)
            if one in between:
                node = between[one]
                node.col = one.col + 1
                start = one.y + one.steps[f"{one.part}.minus"][0]
                lowest = node.y = self.room.fit([(node.col, node.top, node.bottom)], start)
        base = self.room.lowest() + GAP
        for source in reversed(sources):
            for kid in source.minus_kids:
                if not is_fed(kid):
                    base = self._way_back(source, kid, base)
        if folded is not None:
            folded.source = False
            self._columns(folded, shift, shift + deep)
            self._tree(folded, self.room.lowest() + PITCH)
        for one in boxes:
            if one.entry is None and one.minus_entry is not None:
                self._columns(one, shift + deep, shift + deep)
                self._tree(one, top)

    def _columns(self, node: Node, col: int, last: int) -> None:
        """Columns of a tree: one more for each symbol; what is fed stands in the last."""
        waiting = [(node, col)]
        for one, at in waiting:
            one.col = at
            for kid in one.kids:
                step = kid.direct
                if step < 0 and at + step in columns_above(one):
                    step = 0
                ends = is_fed(kid) and not is_fed(one) and at < last and one.direct > 0
                waiting.append((kid, last if ends else at + step))

    def _tree(self, node: Node, y: int) -> int:
        """Place a node and all that hangs on it; its main branch in one line. The node's y."""
        chain = [(node, 0)]
        while chain[-1][0].kids:
            last, offset = chain[-1]
            kid = last.kids[0]
            assert kid.entry is not None
            chain.append((kid, offset + kid.entry.mate.step - kid.entry.step))
        y = self.room.fit(needs(chain), y)
        for one, offset in chain:
            one.y = y + offset
        for one, _ in reversed(chain):
            lowest = one.y
            for kid in one.kids[1:]:
                assert kid.entry is not None
                start = one.y + kid.entry.mate.step - kid.entry.step
                bar = one.kind in LINES
                lowest = max(lowest, self._tree(kid, lowest + PITCH if bar else start))
            self._stretch(one, lowest)
        return y

    def _stretch(self, node: Node, lowest: int) -> None:
        """A bar reaches down to its last branch, and to the taps that lead elsewhere."""
        if node.kind in LINES:
            low = lowest + spare(node) + node.bottom
            self.room.taken[node.col].append((node.y, low))

    # -- the way back --------------------------------------------------------------------------

    def _way_back(self, source: Node, first: Node, base: int) -> int:
        """Parts between the minus of a source and where the returns gather, in one line.

        Where they gather is placed later. The next free height.
        """
        chain = [first]
        while len(found := bearing(chain[-1])) == 1 and not found[0].is_box:
            chain.append(found[0])
        gather = len(found) > 1 and chain[-1].kind in LINES
        for at, one in enumerate(chain):
            one.col = source.col + 1 + at
            one.kids += [kid for kid in one.minus_kids if not bears(kid)]
        line = chain[:-1] if gather else chain
        y = self.room.fit([(one.col, one.top, one.bottom + spare(one)) for one in line], base)
        for one in chain:
            one.y = y
        for one in line:
            self._hang(one)
        if gather:
            self._late.append(chain[-1])
        return y + PITCH + 2 * GAP

    def _hang(self, node: Node) -> None:
        """Place what hangs on a part of the way back and feeds nothing."""
        lowest = node.y
        for kid in node.kids:
            graft(kid)
            self._columns(kid, node.col + 1, node.col + 2)
            lowest = self._tree(kid, lowest + PITCH)
        self._stretch(node, lowest)

    def gather(self) -> None:
        """Place where the returns gather: right of all that is fed, over the height of it."""

        def reach(node: Node) -> int:
            heights = [node.y, *(return_height(one) for one in bearing(node))]
            return max(heights) - min(heights)

        for node in sorted(self._late, key=reach):
            found = bearing(node)
            cols = [self._beside(kid) for kid in found]
            heights = [return_height(kid) for kid in found]
            self.gathers[node] = (min(heights), max(heights))
            top, low = min([node.y, *heights]), max([node.y, *heights])
            extra = PITCH * max(0, len(node.ends) - len(heights) - 1)
            node.col = max(node.col, 1 + max(cols), 1 + self.room.last(top, low))
            taken = (top - node.top, low + extra + node.bottom)
            self.room.taken[node.col].append(taken)
            self._hang(node)

    def _beside(self, node: Node) -> int:
        """Place a part between a box and where its return is gathered; its column."""
        if node.is_box:
            return node.col
        found = bearing(node)
        node.col = 1 + max(self._beside(one) for one in found)
        if node.kind in THROUGH and node.entry is not None:
            node.direct = -1
            node.flip = node.sides.get(node.entry.terminal) != "R"
        heights = [return_height(one) for one in found]
        node.y = min(heights)
        top, low = node.y - node.top, max(heights) + node.bottom
        while not self.room.free(node.col, top, low):
            node.col += 1
        self.room.taken[node.col].append((top, low))
        node.kids += [one for one in node.minus_kids if not bears(one)]
        self._hang(node)
        return node.col
