"""Questions about the tree in which the symbols hang together."""

from __future__ import annotations

from itertools import pairwise

from advisor.report.diagram.nodes import LINES, THROUGH, Node, short

LONG = 5
"""Symbols in a line from which on a block is folded."""
_RANK = {"controller": 0, "motor": 0, "load": 2, "monitor": 2, "charger": 3, "inlet": 3}
_INNER = frozenset({"key", "coil", "coil-plus", "coil-minus"})


def family(node: Node) -> list[Node]:
    """A symbol and all that hangs on it, parents before their branches."""
    found = [node]
    for one in found:
        found += one.kids
    return found


def is_fed(node: Node) -> bool:
    """A box at which current ends: no frame mark, no source."""
    return node.is_box and node.kind != "frame" and not node.source


def sort_branches(node: Node) -> None:
    """Branches from the top: drive, control, loads, charging, converters, loose ends."""
    rank: dict[Node, int] = {}
    for one in reversed(family(node)):
        rank[one] = min((rank[kid] for kid in one.kids), default=_own_rank(one))
        one.kids.sort(key=rank.__getitem__)


def _own_rank(node: Node) -> int:
    if node.kind == "frame":
        return 7
    if node.is_box:
        return _RANK.get(node.subject, 4)
    mates = [end.mate for end in node.ends if end is not node.entry]
    if any(one.node.source for one in mates):
        return 5
    if any(short(one.terminal) in _INNER or one.node.kind in LINES for one in mates):
        return 1
    return 6


def depth(node: Node) -> int:
    """Symbols in line from the source to one, itself counted."""
    found = 0
    while node.entry is not None and not node.source:
        parent = node.entry.mate.node
        if not is_fed(parent):
            found += 1
        node = parent
    return found


def columns_above(node: Node) -> set[int]:
    """Columns of all symbols that one hangs on, and the one left of the first."""
    found = {-1}
    while node.entry is not None:
        node = node.entry.mate.node
        found.add(node.col)
    return found


def bears(node: Node) -> bool:
    """Something that is fed returns by it."""
    if node.is_box:
        return node.kind != "frame"
    found = [node]
    for one in found:
        if one.is_box and one.kind != "frame":
            return True
        found += [] if one.is_box else one.minus_kids
    return False


def bearing(node: Node) -> list[Node]:
    """The branches of a minus conductor by which something returns."""
    return [one for one in node.minus_kids if bears(one)]


def return_height(node: Node) -> int:
    """The height at which something returns."""
    if node.is_box and node.minus_entry is not None:
        return node.y + node.minus_entry.step
    return node.y


def graft(node: Node) -> None:
    """Hang what the minus wave found like branches of the plus side."""
    found = [node]
    for one in found:
        own = [kid for kid in one.minus_kids if kid.entry is not None]
        one.kids += [kid for kid in own if kid not in one.kids]
        found += one.kids


def fold(sources: list[Node], boxes: list[Node]) -> Node | None:
    """Where a long block is folded: the bar from which the branches go out starts a new band.

    It is taken out of the tree, and stands as a source until it is placed. Of several, the one
    that leaves both bands short.
    """
    boxes = [one for one in boxes if one.entry is not None]
    long = max((depth(one) for one in boxes), default=0)
    if not sources or long < LONG:
        return None
    best: tuple[int, Node] | None = None
    node = sources[0]
    while node.kids:
        node = node.kids[0]
        if node.kind not in LINES or len(node.kids) < 2 or depth(node) < 2:
            continue
        under = set(family(node))
        own = depth(node)
        rest = [depth(one) for one in boxes if one not in under]
        width = max([own - 1, long - own, *rest])
        if best is None or width < best[0]:
            best = (width, node)
    if best is None:
        return None
    node = best[1]
    assert node.entry is not None
    node.entry.mate.node.kids.remove(node)
    node.source = node.folded = True
    return node


def uprights(packs: list[Node], pitch: int) -> dict[Node, Node]:
    """Parts between two packs of a string, by the upper pack; they are drawn upright."""
    found: dict[Node, Node] = {}
    for upper, lower in pairwise(packs):
        for end in upper.at(f"{upper.part}.minus"):
            node = end.mate.node
            ways = [one.mate for one in node.ends]
            if node.kind not in THROUGH or len(ways) != 2 or node.kids or upper in found:
                continue
            other = ways[1 - ways.index(end)]
            if other.node is not lower or other.terminal != f"{lower.part}.plus":
                continue
            for kids in (upper.minus_kids, lower.kids):
                if node in kids:
                    kids.remove(node)
            node.upright, node.flip = True, False
            node.sides = dict.fromkeys(node.terminals, "L")
            node.steps = {end.mate.terminal: (0,), other.mate.terminal: (pitch,)}
            other.mate.step = pitch
            node.bottom += pitch
            found[upper] = node
    return found
