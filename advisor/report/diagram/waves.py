"""How the circuit hangs together from its sources, which decides where each symbol goes.

From every plus pole a wave runs out over the conductors, and from every minus pole another. The
first wave to reach a symbol adopts it. What is fed ends the plus wave; the minus wave tells by
what it returns.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from typing import Literal

from advisor.report.diagram.family import sort_branches
from advisor.report.diagram.nodes import LINES, THROUGH, Circuit, End, Node, short

Wave = Literal["plus", "minus", "loose"]

_PLUS = ("plus", "charge-plus", "cells-plus", "out-plus")
_MINUS = ("minus", "charge-minus", "cells-minus", "out-minus")


def sections_of(circuit: Circuit) -> list[list[Node]]:
    """Let the waves run; the sources of each section in drawing order.

    First the packs, then what feeds the 12 V side, then what hangs on neither, each of which has
    the first of its symbols in place of a source.
    """
    packs = _stacked([one for one in circuit.nodes if one.subject == "pack"])
    low = [one for one in circuit.nodes if one.source and one.subject != "pack"]
    sections = [packs] if packs else []
    if low:
        sections.append(low)
    for number, sources in enumerate(sections):
        for one in sources:
            one.section = number
    everything = [one for sources in sections for one in sources]
    starts = [*_poles(everything, _PLUS, "plus"), *_poles(everything, _MINUS, "minus")]
    _spread(starts)
    _loose(circuit)
    for one in circuit.nodes:
        if not _owned(one):
            one.section = len(sections)
            one.source = True
            sections.append([one])
            _spread(_hanging(one))
            _loose(circuit)
    for one in circuit.nodes:
        if one.source or one.entry is None:
            sort_branches(one)
    return sections


def _poles(sources: list[Node], names: tuple[str, ...], wave: Wave) -> list[tuple[End, Wave]]:
    ends = [end for one in sources for name in names for end in one.at(f"{one.part}.{name}")]
    return [(end, wave) for end in ends]


def _hanging(node: Node) -> list[tuple[End, Wave]]:
    return [(end, "loose") for end in node.ends]


def _owned(node: Node) -> bool:
    return node.source or node.entry is not None or node.minus_entry is not None


def _loose(circuit: Circuit) -> None:
    """What hangs on something placed, on a side that no wave came from."""
    for one in circuit.nodes:
        if _owned(one):
            _spread(_hanging(one))


def exits(node: Node, entry: str) -> list[End]:
    """Where a wave goes on that came in by one terminal."""
    if node.kind in LINES:
        return node.ends
    if node.kind in THROUGH and entry in node.main:
        return [one for one in node.ends if one.terminal in node.main and one.terminal != entry]
    return []


def _spread(starts: Iterable[tuple[End, Wave]]) -> None:
    queue = deque(starts)
    while queue:
        end, wave = queue.popleft()
        mate, parent = end.mate, end.node
        node = mate.node
        if node.source or (wave != "loose" and mate.terminal not in node.main):
            continue
        if wave == "minus" and node.is_box and node.kind != "frame":
            if node.minus_entry is None:
                node.minus_entry = mate
                node.section = node.section if node.entry else parent.section
                parent.minus_kids.append(node)
            continue
        if node.entry is not None or (wave == "loose" and _owned(node)):
            continue
        node.entry = mate
        node.section = parent.section
        (parent.minus_kids if wave == "minus" else parent.kids).append(node)
        if wave == "loose":
            node.direct = parent.direct if parent.kind in THROUGH | LINES else 1
            if parent.kind not in LINES and parent.side(end.terminal) == "L":
                node.direct = -1
        if node.kind in THROUGH or node.kind == "frame":
            _turn(node, mate.terminal, node.direct)
        queue.extend((one, wave) for one in exits(node, mate.terminal))


def _turn(node: Node, entry: str, direct: int) -> None:
    """Draw a part so that a wave going right comes in at its left."""
    node.flip = (node.sides.get(entry) == "R") == (direct > 0)


def _stacked(packs: list[Node]) -> list[Node]:
    """Packs from the top of each series string down to its bottom.

    The minus of a string goes out left where another stands below it, else right.
    """
    lower: dict[Node, Node] = {}
    for one in packs:
        above = _above(one)
        if above is not None and above not in lower:
            lower[above] = one
    tops = [one for one in packs if one not in lower.values()]
    found: list[Node] = []
    for one in [*tops, *packs]:
        here: Node | None = one
        while here is not None and here not in found:
            found.append(here)
            here = lower.get(here)
    for one in packs:
        if one not in lower and one is not found[-1]:
            for name in _MINUS:
                if f"{one.part}.{name}" in one.sides:
                    one.sides[f"{one.part}.{name}"] = "L"
    return found


def _above(pack: Node) -> Node | None:
    """The pack whose minus hangs on the plus of this one."""
    queue = deque(pack.at(f"{pack.part}.plus"))
    seen = {pack}
    while queue:
        mate = queue.popleft().mate
        node = mate.node
        if node.subject == "pack" and node.kind == "battery" and node is not pack:
            if short(mate.terminal) == "minus":
                return node
            continue
        if node not in seen:
            seen.add(node)
            queue.extend(exits(node, mate.terminal))
    return None
