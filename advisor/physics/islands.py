"""A network cut into islands, checked, with the matrix of each: what solving it starts from.

SI units. Modified nodal analysis, one island after the other (Ho, Ruehli and Brennan, IEEE Trans.
Circuits and Systems 22 (1975) 504-509).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from advisor.physics.circuit import (
    CurrentLoad,
    Island,
    Joint,
    Link,
    Load,
    Network,
    NetworkError,
    PowerLoad,
    Resistance,
    Source,
)

__all__ = [
    "Groups",
    "Matrix",
    "Part",
    "check",
    "islands_of",
    "joined_nodes",
    "joints_of",
    "matrix_of",
    "merged_nodes",
    "nodes_of",
    "refuse_ideal_loops",
]

Vector = NDArray[np.float64]


class Groups:
    """Nodes put together in groups, each with one node that stands for it."""

    def __init__(self, nodes: Iterable[str]) -> None:
        self._above = {node: node for node in nodes}

    def __contains__(self, node: object) -> bool:
        return node in self._above

    def of(self, node: str) -> str:
        above = self._above
        while above[node] != node:
            above[node] = above[above[node]]
            node = above[node]
        return node

    def join(self, a: str, b: str) -> None:
        self._above[self.of(b)] = self.of(a)


@dataclass
class Part:
    """One island: its merged nodes and the elements between them."""

    nodes: list[str]
    reference: str
    resistances: list[Resistance] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)
    current_loads: list[CurrentLoad] = field(default_factory=list)
    power_loads: list[PowerLoad] = field(default_factory=list)


def _ends(one: Joint | Load) -> tuple[str, str]:
    return (one.a, one.b) if isinstance(one, Resistance | Link) else (one.plus, one.minus)


def joints_of(network: Network) -> list[Joint]:
    return [*network.sources, *network.resistances, *network.links]


def _elements(network: Network) -> list[Joint | Load]:
    return [*joints_of(network), *network.current_loads, *network.power_loads]


def nodes_of(network: Network) -> list[str]:
    """Every node once, in the order of first mention."""
    return list(dict.fromkeys(node for one in _elements(network) for node in _ends(one)))


def check(network: Network) -> None:
    wrong: list[str] = []
    values: list[tuple[str, str, float]] = [
        *((r.name, "resistance", r.ohm) for r in network.resistances),
        *((s.name, "internal resistance", s.ohm) for s in network.sources),
        *((s.name, "electromotive force", s.emf) for s in network.sources),
        *((c.name, "current", c.ampere) for c in network.current_loads),
        *((p.name, "power", p.watt) for p in network.power_loads),
    ]
    wrong += [
        f"{name}: the {what} is {value}, not a finite number"
        for name, what, value in values
        if not math.isfinite(value)
    ]
    wrong += [
        f"{r.name}: the resistance is {r.ohm} ohm; it must be above 0 (use a link for a joint)"
        for r in network.resistances
        if r.ohm <= 0
    ]
    wrong += [
        f"{s.name}: the internal resistance is {s.ohm} ohm; it must not be below 0"
        for s in network.sources
        if s.ohm < 0
    ]
    seen: set[str] = set()
    for one in _elements(network):
        if one.name in seen:
            wrong.append(f"{one.name}: two elements have this name")
        seen.add(one.name)
    nodes = set(nodes_of(network))
    wrong += [f"{node}: no element ends here" for node in network.references if node not in nodes]
    if wrong:
        raise NetworkError("; ".join(wrong))


def refuse_ideal_loops(sources: Iterable[Source], nodes: list[str], merged: Groups) -> None:
    """Refuse a closed loop of sources without resistance: its current has no definite value."""
    height = {merged.of(node): 0.0 for node in nodes}  # voltage above the tree's own zero
    tree = {node: [node] for node in height}
    for one in sources:
        if one.ohm != 0:
            continue
        plus, minus = merged.of(one.plus), merged.of(one.minus)
        gap = height[minus] + one.emf - height[plus]
        if tree[plus] is tree[minus]:
            why = (
                "the current that each carries is not determined"
                if math.isclose(gap, 0.0, abs_tol=1e-9)
                else f"the voltages around it differ by {abs(gap):.6g} V, the current has no limit"
            )
            raise NetworkError(
                f"{one.name}: closes a loop of sources and links without any resistance; {why}"
            )
        for node in tree[plus]:
            height[node] += gap
        joined = tree[minus] + tree[plus]
        for node in joined:
            tree[node] = joined


def islands_of(
    network: Network, nodes: list[str], merged: Groups
) -> tuple[list[Part], list[Island]]:
    """The network cut into islands, with the reference of each."""
    joined = Groups(nodes)
    for element in joints_of(network):
        joined.join(*_ends(element))
    members: dict[str, list[str]] = {}
    for node in nodes:
        members.setdefault(joined.of(node), []).append(node)
    named: dict[str, str] = {}
    for node in network.references:
        other = named.setdefault(joined.of(node), node)
        if merged.of(other) != merged.of(node):
            raise NetworkError(f"{node}: a second reference beside {other} in the same island")
    parts: dict[str, Part] = {}
    islands = []
    for key, own in members.items():
        reference = named.get(key, own[0])
        islands.append(Island(tuple(own), reference, key not in named))
        kept = list(dict.fromkeys(merged.of(node) for node in own))
        parts[key] = Part(kept, merged.of(reference))
    for r in network.resistances:
        a, b = merged.of(r.a), merged.of(r.b)
        parts[joined.of(r.a)].resistances.append(replace(r, a=a, b=b))
    for s in network.sources:
        plus, minus = merged.of(s.plus), merged.of(s.minus)
        parts[joined.of(s.plus)].sources.append(replace(s, plus=plus, minus=minus))
    loads: list[Load] = [one for one in network.current_loads if one.ampere]
    loads += [one for one in network.power_loads if one.watt]
    for load in loads:
        part = parts[joined.of(load.plus)]
        if joined.of(load.plus) != joined.of(load.minus):
            raise NetworkError(
                f"{load.name}: nothing but loads joins {load.plus} and {load.minus}; "
                "its current has no way to return"
            )
        plus, minus = merged.of(load.plus), merged.of(load.minus)
        if isinstance(load, CurrentLoad):
            part.current_loads.append(replace(load, plus=plus, minus=minus))
        else:
            part.power_loads.append(replace(load, plus=plus, minus=minus))
    return list(parts.values()), islands


@dataclass(frozen=True)
class Matrix:
    """The equations of one island: `left` x = `right`, without loads of constant power.

    The unknowns are the voltages of the nodes by `row`, then the currents of the sources without
    resistance, `ideal`. `kept` are the unknowns without the reference, whose voltage is 0.
    """

    left: Vector
    right: Vector
    row: dict[str, int]
    ideal: tuple[Source, ...]
    kept: NDArray[np.intp]


def matrix_of(part: Part) -> Matrix:
    """The equations of an island."""
    free = [node for node in part.nodes if node != part.reference]
    row = {node: n for n, node in enumerate(free)} | {part.reference: len(free)}
    ideal = tuple(one for one in part.sources if one.ohm == 0)
    size = len(free) + 1 + len(ideal)
    matrix = np.zeros((size, size))
    right = np.zeros(size)

    def conduct(a: int, b: int, siemens: float) -> None:
        matrix[a, a] += siemens
        matrix[b, b] += siemens
        matrix[a, b] -= siemens
        matrix[b, a] -= siemens

    for r in part.resistances:
        conduct(row[r.a], row[r.b], 1.0 / r.ohm)
    for s in part.sources:
        if s.ohm > 0:
            conduct(row[s.plus], row[s.minus], 1.0 / s.ohm)
            right[row[s.plus]] += s.emf / s.ohm
            right[row[s.minus]] -= s.emf / s.ohm
    for n, s in enumerate(ideal, len(free) + 1):
        plus, minus = row[s.plus], row[s.minus]
        matrix[plus, n] -= 1.0
        matrix[minus, n] += 1.0
        matrix[n, plus] += 1.0
        matrix[n, minus] -= 1.0
        right[n] = s.emf
    for c in part.current_loads:
        right[row[c.plus]] -= c.ampere
        right[row[c.minus]] += c.ampere
    return Matrix(matrix, right, row, ideal, np.delete(np.arange(size), len(free)))


def merged_nodes(network: Network) -> Groups:
    """The nodes of a network, those joined by links put together."""
    merged = Groups(nodes_of(network))
    for link in network.links:
        merged.join(link.a, link.b)
    return merged


def joined_nodes(network: Network) -> Groups:
    """The nodes of a network, those that hang together in any way but by loads put together."""
    joined = Groups(nodes_of(network))
    for element in joints_of(network):
        joined.join(*_ends(element))
    return joined
