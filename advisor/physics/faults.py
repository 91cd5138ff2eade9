"""Faults and superposition: what a network does with its loads taken off. SI units.

Needs numpy; `NetworkError` for what has no answer. A response is linear, so one inverse of the
matrix of an island answers for every place in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from advisor.physics.circuit import Network, NetworkError, Solution, Source
from advisor.physics.islands import (
    Matrix,
    Vector,
    check,
    islands_of,
    joined_nodes,
    joints_of,
    matrix_of,
    merged_nodes,
    nodes_of,
    refuse_ideal_loops,
)
from advisor.physics.network import solve

__all__ = ["Responses", "fault_current", "shares"]


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
    check(network)
    nodes = nodes_of(network)
    merged, joined = merged_nodes(network), joined_nodes(network)
    for node in (at_plus, at_minus):
        if node not in nodes:
            raise NetworkError(f"{node}: no element ends here")
    if merged.of(at_plus) == merged.of(at_minus):
        raise NetworkError(f"{at_plus} and {at_minus} are one node: the place is shorted already")
    if joined.of(at_plus) != joined.of(at_minus):
        return 0.0
    kept = tuple(node for node in network.references if node in set(nodes_of(bare)))
    bare = replace(bare, references=kept)
    refuse_ideal_loops(bare.sources, nodes, merged)
    open_voltage = solve(bare).voltages
    fault = Source("fault", at_minus, at_plus, 0.0, 0.0)
    while any(fault.name == one.name for one in joints_of(bare)):
        fault = replace(fault, name=fault.name + "-")
    try:
        refuse_ideal_loops((*bare.sources, fault), nodes, merged)
    except NetworkError:
        gap = open_voltage[at_plus] - open_voltage[at_minus]
        return math.copysign(math.inf, gap) if gap else 0.0
    return solve(replace(bare, sources=(*bare.sources, fault))).currents[fault.name]


class Responses:
    """The answers of a network without its loads to a current or a fault at any two nodes.

    Refused like `solve`. Nodes that are no node of the network raise `NetworkError`.
    """

    def __init__(self, network: Network) -> None:
        bare = replace(network, current_loads=(), power_loads=(), references=())
        check(bare)
        nodes = nodes_of(bare)
        self._bare = bare
        self._merged = merged_nodes(bare)
        refuse_ideal_loops(bare.sources, nodes, self._merged)
        parts, _ = islands_of(bare, nodes, self._merged)
        self._islands: dict[str, int] = {}
        self._shares: dict[tuple[str, str], Mapping[str, float]] = {}
        self._solved: list[tuple[Matrix, Vector, Vector]] = []
        for number, part in enumerate(parts):
            equations = matrix_of(part)
            kept = equations.kept
            inverse = np.zeros_like(equations.left)
            inverse[np.ix_(kept, kept)] = np.linalg.inv(equations.left[np.ix_(kept, kept)])
            self._solved.append((equations, inverse, inverse @ equations.right))
            for node in part.nodes:
                self._islands[node] = number

    def _rows(self, plus: str, minus: str) -> tuple[int, int, int] | None:
        """The island and the rows of two nodes; None when no conductor joins them."""
        for node in (plus, minus):
            if node not in self._merged:
                raise NetworkError(f"{node}: no element ends here")
        a, b = self._merged.of(plus), self._merged.of(minus)
        island = self._islands[a]
        if island != self._islands[b]:
            return None
        row = self._solved[island][0].row
        return island, row[a], row[b]

    def per_ampere(self, plus: str, minus: str) -> Mapping[str, float]:
        """Current (A) in every resistance and source for 1 A drawn from plus to minus alone.

        Empty when no conductor joins the two. Signs as in `solve`. Source: superposition.
        """
        found = self._shares.get((plus, minus))
        if found is None:
            found = self._shares[plus, minus] = self._shared(plus, minus)
        return found

    def _shared(self, plus: str, minus: str) -> Mapping[str, float]:
        found = self._rows(plus, minus)
        if found is None:
            return {}
        island, a, b = found
        equations, inverse, _ = self._solved[island]
        answer = inverse[:, b] - inverse[:, a]
        row, at = equations.row, self._merged.of
        own = self._islands
        currents = {
            r.name: float(answer[row[at(r.a)]] - answer[row[at(r.b)]]) / r.ohm
            for r in self._bare.resistances
            if own[at(r.a)] == island
        }
        ideal = {s.name: float(answer[n]) for n, s in enumerate(equations.ideal, len(row))}
        for s in self._bare.sources:
            if own[at(s.plus)] == island:
                across = float(answer[row[at(s.plus)]] - answer[row[at(s.minus)]])
                currents[s.name] = ideal[s.name] if s.ohm == 0 else -across / s.ohm
        return currents

    def resistance(self, plus: str, minus: str) -> float:
        """Resistance (ohm) seen into the network at two nodes, sources taken as their own.

        Infinite when no conductor joins the two. Source: Thevenin's theorem.
        """
        found = self._rows(plus, minus)
        if found is None:
            return math.inf
        island, a, b = found
        inverse = self._solved[island][1]
        return float(inverse[a, a] + inverse[b, b] - inverse[a, b] - inverse[b, a])

    def open_voltage(self, plus: str, minus: str) -> float:
        """Voltage (V) between two nodes without any load; 0 when no conductor joins them."""
        found = self._rows(plus, minus)
        if found is None:
            return 0.0
        island, a, b = found
        voltages = self._solved[island][2]
        return float(voltages[a] - voltages[b])

    def fault(self, plus: str, minus: str) -> float:
        """Current (A) of a fault without resistance between two nodes, as `fault_current` gives.

        0 when no conductor joins them, infinite when no resistance limits it.
        """
        voltage, seen = self.open_voltage(plus, minus), self.resistance(plus, minus)
        if voltage == 0 or math.isinf(seen):
            return 0.0
        return voltage / seen if seen > 1e-12 else math.copysign(math.inf, voltage)
