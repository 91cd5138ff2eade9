"""The devices passed on the ways from a source to a run, and the fewest that hold its current."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise, product

import rustworkx as rx

from advisor.wiring.found import Found, combined
from advisor.wiring.graph import Wires
from advisor.wiring.plan import Joint

Chain = tuple[str, ...]
"""Devices passed on a way from a source, the nearest to the source first."""


def least_cut(
    chains: tuple[Chain, ...], rating: Callable[[str], Found]
) -> tuple[Found, tuple[str, ...]]:
    """The devices with the least sum of ratings (A) that every way passes, and that sum."""
    kept = tuple(dict.fromkeys(one for one in chains if one))
    names = _cut(kept, lambda name: rating(name).value)
    every = dict.fromkeys(name for one in kept for name in one)
    return combined(sum(rating(one).value for one in names), [rating(one) for one in every]), names


def _cut(chains: tuple[Chain, ...], amps: Callable[[str], float]) -> tuple[str, ...]:
    if not chains:
        return ()
    each = dict.fromkeys(min(reversed(one), key=amps) for one in chains)
    found = [tuple(each)]
    for shared in dict.fromkeys(name for one in chains for name in reversed(one)):
        rest = tuple(one for one in chains if shared not in one)
        if len(rest) < len(chains) - 1:
            found.append((shared, *_cut(rest, amps)))
    return min(found, key=lambda cut: (sum(map(amps, cut)), len(cut)))


def chains_between(wires: Wires, plus: str, end: str, run: Joint) -> list[Chain]:
    """The devices passed on every way from a source to an end of a run, not through the run.

    Worked on nets: what hangs together without a device is one point, so that a cable beside
    a device takes it out of the way.
    """
    devices = [one for one in wires.joints if one.kind == "device"]
    bare = wires.less(without={run.name, *(one.name for one in devices)})
    nets = dict(bare.nets)
    for alone in (plus, end, *(pole for one in devices for pole in (one.a, one.b))):
        nets.setdefault(alone, len(nets) + 1_000_000)  # nothing but a device ends there
    if nets[plus] == nets[end]:
        return []
    between: dict[tuple[int, int], list[str]] = {}
    graph: rx.PyGraph[int, None] = rx.PyGraph(multigraph=False)
    number = {net: graph.add_node(net) for net in sorted(set(nets.values()))}
    for one in devices:
        a, b = nets[one.a], nets[one.b]
        if a != b:
            graph.add_edge(number[a], number[b], None)
            between.setdefault((min(a, b), max(a, b)), []).append(one.part)
    found: list[Chain] = []
    for nodes in rx.all_simple_paths(graph, number[nets[plus]], number[nets[end]]):
        points = [graph[node] for node in nodes]
        steps = [between[min(a, b), max(a, b)] for a, b in pairwise(points)]
        found += list(product(*steps))
    return found
