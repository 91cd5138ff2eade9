"""Packs that stand the wrong way round in a series string.

Two equal packs against each other add to nothing, so no voltage tells it; the way does: on the way
of a consumer's current from pole to pole every pack must be passed from its minus to its plus.
"""

from __future__ import annotations

from itertools import pairwise

import rustworkx as rx

from advisor.wiring.plan import Consumer, Supply
from advisor.wiring.topology import Topology, written

Passed = tuple[Supply, bool]
"""A pack on a way, and whether it is passed from its minus to its plus."""


def opposed(topology: Topology) -> dict[str, str]:
    """Packs passed backwards where others are passed forwards, each with the way that shows it.

    Of a string the smaller number of packs is named; of two halves, those against the poles of the
    consumer.
    """
    found: dict[str, str] = {}
    for one in topology.plan.consumers:
        if one.kind not in ("drive", "charge", "converter", "load"):
            continue
        ways = _ways(topology, one)
        if not ways or any(all(forward for _, forward in way) for way in ways):
            continue
        for way in ways:
            backward = [supply for supply, forward in way if not forward]
            ahead = [supply for supply, forward in way if forward]
            if ahead:
                wrong = backward if len(backward) <= len(ahead) else ahead
                text = _text(topology, way)
                found |= {supply.part: text for supply in wrong if supply.part not in found}
    return found


def _ways(topology: Topology, one: Consumer) -> list[tuple[Passed, ...]]:
    """Every way through packs from the minus to the plus of a consumer."""
    wires = topology.held.wires
    start, stop = wires.net(one.minus), wires.net(one.plus)
    graph: rx.PyGraph[int, Supply] = rx.PyGraph(multigraph=True)
    number: dict[int, int] = {}
    between: dict[tuple[int, int], Passed] = {}
    for supply in topology.held.supplies("traction"):
        low, high = wires.net(supply.minus), wires.net(supply.plus)
        for net in (low, high):
            if net not in number:
                number[net] = graph.add_node(net)
        graph.add_edge(number[low], number[high], supply)
        between.setdefault((low, high), (supply, True))
        between.setdefault((high, low), (supply, False))
    if start == stop or start not in number or stop not in number:
        return []
    found = []
    for nodes in rx.all_simple_paths(graph, number[start], number[stop]):
        nets = [graph[node] for node in nodes]
        found.append(tuple(between[step] for step in pairwise(nets)))
    return found


def _text(topology: Topology, way: tuple[Passed, ...]) -> str:
    """The packs of a way and the runs between them."""
    wires = topology.held.wires
    pieces = []
    for (before, rose), (after, rises) in pairwise(way):
        end = before.plus if rose else before.minus
        begin = after.minus if rises else after.plus
        pieces.append(written(wires.path(end, begin) or (), end, begin))
    return " and ".join(pieces)


__all__ = ["opposed"]
