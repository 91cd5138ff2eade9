"""Steady direct current in a network of named nodes, by nodal analysis.

SI units: V, A, W, ohm. Unlike the formulas beside it this file branches, needs numpy and refuses
what has no answer with `NetworkError`; nothing that only screens a parts list imports it.

Signs. A resistance: positive from `a` to `b`. A source: positive when it delivers, out of `plus`. A
load: positive when it draws, from `plus` through the load to `minus`; negative when it feeds.

Method: modified nodal analysis, one island after the other (Ho, Ruehli and Brennan, IEEE Trans.
Circuits and Systems 22 (1975) 504-509). Constant power P at voltage v draws P / v; Newton's method
starts from the voltages without such loads and so finds the upper of two solutions.
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
    Solution,
    Source,
)

__all__ = [
    "CurrentLoad",
    "Island",
    "Link",
    "Network",
    "NetworkError",
    "PowerLoad",
    "Resistance",
    "Solution",
    "Source",
    "fault_current",
    "shares",
    "solve",
]

TOLERANCE = 1e-7
"""Relative change of the voltage at every constant-power load in the last step of iteration. What
is left of the mismatch of its current is the square of that, 1e-14."""
MOST_STEPS = 100
"""Steps of iteration after which an island counts as having no solution."""


Vector = NDArray[np.float64]


class _Groups:
    """Nodes put together in groups, each with one node that stands for it."""

    def __init__(self, nodes: Iterable[str]) -> None:
        self._above = {node: node for node in nodes}

    def of(self, node: str) -> str:
        above = self._above
        while above[node] != node:
            above[node] = above[above[node]]
            node = above[node]
        return node

    def join(self, a: str, b: str) -> None:
        self._above[self.of(b)] = self.of(a)


@dataclass
class _Part:
    """One island: its merged nodes and the elements between them."""

    nodes: list[str]
    reference: str
    resistances: list[Resistance] = field(default_factory=list)
    sources: list[Source] = field(default_factory=list)
    current_loads: list[CurrentLoad] = field(default_factory=list)
    power_loads: list[PowerLoad] = field(default_factory=list)


def solve(network: Network) -> Solution:
    """Voltages, currents, losses and powers of the network in steady state.

    Refused with `NetworkError`: a name used twice; a value that is no number; a resistance that is
    not above 0; sources without resistance that contradict each other or whose share is not
    determined; two references in an island; a load between two islands, whose current cannot
    return. A power that cannot be delivered is no error: `converged` is False then.
    """
    _check(network)
    nodes = _nodes(network)
    merged = _Groups(nodes)
    for link in network.links:
        merged.join(link.a, link.b)
    _refuse_ideal_loops(network.sources, nodes, merged)
    parts, islands = _islands(network, nodes, merged)

    volts: dict[str, float] = {}
    ideal_currents: dict[str, float] = {}
    undelivered: list[str] = []
    found: list[Island] = []
    for part, island in zip(parts, islands, strict=True):
        at, ideal = _solve_part(part)
        if at is None:
            undelivered += [load.name for load in part.power_loads]
            at = dict.fromkeys(part.nodes, math.nan)
            ideal = {one.name: math.nan for one in part.sources if one.ohm == 0}
            island = replace(island, converged=False)
        found.append(island)
        volts |= at
        ideal_currents |= ideal
    voltages = {node: volts[merged.of(node)] for node in nodes}
    return _solution(network, voltages, ideal_currents, found, undelivered)


def _solution(
    network: Network,
    voltages: dict[str, float],
    ideal_currents: dict[str, float],
    islands: list[Island],
    undelivered: list[str],
) -> Solution:
    currents: dict[str, float] = {}
    losses: dict[str, float] = {}
    powers: dict[str, float] = {}
    for r in network.resistances:
        currents[r.name] = (voltages[r.a] - voltages[r.b]) / r.ohm
        losses[r.name] = currents[r.name] ** 2 * r.ohm
    for s in network.sources:
        across = voltages[s.plus] - voltages[s.minus]
        current = ideal_currents[s.name] if s.ohm == 0 else (s.emf - across) / s.ohm
        currents[s.name] = current
        losses[s.name] = current**2 * s.ohm
        powers[s.name] = across * current
    for c in network.current_loads:
        currents[c.name] = c.ampere
    for p in network.power_loads:
        across = voltages[p.plus] - voltages[p.minus]
        currents[p.name] = p.watt / across if p.watt else 0.0
    for name in undelivered:
        currents[name] = math.nan
    return Solution(
        voltages, currents, losses, powers, tuple(islands),
        all(one.converged for one in islands), tuple(undelivered),
    )  # fmt: skip


def _ends(one: Joint | Load) -> tuple[str, str]:
    return (one.a, one.b) if isinstance(one, Resistance | Link) else (one.plus, one.minus)


def _joints(network: Network) -> list[Joint]:
    return [*network.sources, *network.resistances, *network.links]


def _elements(network: Network) -> list[Joint | Load]:
    return [*_joints(network), *network.current_loads, *network.power_loads]


def _nodes(network: Network) -> list[str]:
    """Every node once, in the order of first mention."""
    return list(dict.fromkeys(node for one in _elements(network) for node in _ends(one)))


def _check(network: Network) -> None:
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
    nodes = set(_nodes(network))
    wrong += [f"{node}: no element ends here" for node in network.references if node not in nodes]
    if wrong:
        raise NetworkError("; ".join(wrong))


def _refuse_ideal_loops(sources: Iterable[Source], nodes: list[str], merged: _Groups) -> None:
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


def _islands(
    network: Network, nodes: list[str], merged: _Groups
) -> tuple[list[_Part], list[Island]]:
    """The network cut into islands, with the reference of each."""
    joined = _Groups(nodes)
    for element in _joints(network):
        joined.join(*_ends(element))
    members: dict[str, list[str]] = {}
    for node in nodes:
        members.setdefault(joined.of(node), []).append(node)
    named: dict[str, str] = {}
    for node in network.references:
        other = named.setdefault(joined.of(node), node)
        if merged.of(other) != merged.of(node):
            raise NetworkError(f"{node}: a second reference beside {other} in the same island")
    parts: dict[str, _Part] = {}
    islands = []
    for key, own in members.items():
        reference = named.get(key, own[0])
        islands.append(Island(tuple(own), reference, key not in named))
        kept = list(dict.fromkeys(merged.of(node) for node in own))
        parts[key] = _Part(kept, merged.of(reference))
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


def _solve_part(part: _Part) -> tuple[dict[str, float] | None, dict[str, float]]:
    """Voltages of the merged nodes (None without a solution), currents of sources of 0 ohm."""
    free = [node for node in part.nodes if node != part.reference]
    row = {node: n for n, node in enumerate(free)} | {part.reference: len(free)}
    ideal = [one for one in part.sources if one.ohm == 0]
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

    kept = np.delete(np.arange(size), len(free))
    loads = part.power_loads
    pluses = np.array([row[one.plus] for one in loads], dtype=int)
    minuses = np.array([row[one.minus] for one in loads], dtype=int)
    watts = np.array([one.watt for one in loads])

    def answer(across: Vector | None) -> Vector:
        """All unknowns, the loads of power made straight at the voltages `across` them."""
        left, known = matrix, right
        if across is not None:
            left, known = matrix.copy(), right.copy()
            slope, offset = -watts / across**2, 2.0 * watts / across
            np.add.at(left, (pluses, pluses), slope)
            np.add.at(left, (minuses, minuses), slope)
            np.add.at(left, (pluses, minuses), -slope)
            np.add.at(left, (minuses, pluses), -slope)
            np.add.at(known, pluses, -offset)
            np.add.at(known, minuses, offset)
        result = np.zeros(size)
        result[kept] = np.linalg.solve(left[np.ix_(kept, kept)], known[kept])
        return result

    result = answer(None)
    if loads:
        converged = False
        across = result[pluses] - result[minuses]
        for _ in range(MOST_STEPS):
            if not (np.isfinite(across).all() and (across > 0).all()):
                break
            try:
                result = answer(across)
            except np.linalg.LinAlgError:
                break
            new = result[pluses] - result[minuses]
            if (np.abs(new - across) <= TOLERANCE * across).all():
                converged = True
                break
            across = np.maximum(new, across / 2.0)  # never below zero in one step
        if not converged:
            return None, {}
    at = {node: float(result[n]) for node, n in row.items()}
    return at, {s.name: float(result[n]) for n, s in enumerate(ideal, len(free) + 1)}


def shares(solution: Solution, names: Iterable[str]) -> dict[str, float]:
    """The part of the common current that each of the named sources delivers; they add to 1.

    Above 1 or below 0 where one source charges another; NaN when the currents add to nothing.
    """
    currents = {name: solution.currents[name] for name in names}
    total = math.fsum(currents.values())
    return {name: one / total if total else math.nan for name, one in currents.items()}


def fault_current(network: Network, at_plus: str, at_minus: str) -> float:
    """Prospective current (A) of a fault without resistance from `at_plus` to `at_minus`.

    Steady value from the sources of the network alone. The loads are taken off: what a machine or
    a capacitor adds for a moment is not in it. 0 where no circuit is closed, infinite where no
    resistance limits it. `NetworkError` if the nodes are unknown or are joined by links already.
    """
    bare = replace(network, current_loads=(), power_loads=())
    _check(network)
    nodes = _nodes(network)
    merged, joined = _Groups(nodes), _Groups(nodes)
    for node in (at_plus, at_minus):
        if node not in nodes:
            raise NetworkError(f"{node}: no element ends here")
    for link in network.links:
        merged.join(link.a, link.b)
    if merged.of(at_plus) == merged.of(at_minus):
        raise NetworkError(f"{at_plus} and {at_minus} are one node: the place is shorted already")
    for element in _joints(network):
        joined.join(*_ends(element))
    if joined.of(at_plus) != joined.of(at_minus):
        return 0.0
    kept = tuple(node for node in network.references if node in set(_nodes(bare)))
    bare = replace(bare, references=kept)
    _refuse_ideal_loops(bare.sources, nodes, merged)
    open_voltage = solve(bare).voltages
    fault = Source("fault", at_minus, at_plus, 0.0, 0.0)
    while any(fault.name == one.name for one in _joints(bare)):
        fault = replace(fault, name=fault.name + "-")
    try:
        _refuse_ideal_loops((*bare.sources, fault), nodes, merged)
    except NetworkError:
        gap = open_voltage[at_plus] - open_voltage[at_minus]
        return math.copysign(math.inf, gap) if gap else 0.0
    return solve(replace(bare, sources=(*bare.sources, fault))).currents[fault.name]
