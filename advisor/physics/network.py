"""Steady direct current in a network of named nodes, by nodal analysis.

SI units: V, A, W, ohm. Unlike the formulas beside it this file branches, needs numpy and refuses
what has no answer with `NetworkError`; nothing that only screens a parts list imports it.

Signs. A resistance: positive from `a` to `b`. A source: positive when it delivers, out of `plus`. A
load: positive when it draws, from `plus` through the load to `minus`; negative when it feeds.

Method: modified nodal analysis (`islands.py`). Constant power P at voltage v draws P / v; Newton's
method starts from the voltages without such loads and so finds the upper of two solutions.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np

from advisor.physics.circuit import Island, Network, Solution
from advisor.physics.islands import (
    Part,
    Vector,
    check,
    islands_of,
    matrix_of,
    merged_nodes,
    nodes_of,
    refuse_ideal_loops,
)

__all__ = ["solve"]

TOLERANCE = 1e-7
"""Relative change of the voltage at every constant-power load in the last step of iteration. What
is left of the mismatch of its current is the square of that, 1e-14."""
MOST_STEPS = 100
"""Steps of iteration after which an island counts as having no solution."""


def solve(network: Network) -> Solution:
    """Voltages, currents, losses and powers of the network in steady state.

    Refused with `NetworkError`: a name used twice; a value that is no number; a resistance that is
    not above 0; sources without resistance that contradict each other or whose share is not
    determined; two references in an island; a load between two islands, whose current cannot
    return. A power that cannot be delivered is no error: `converged` is False then.
    """
    check(network)
    nodes = nodes_of(network)
    merged = merged_nodes(network)
    refuse_ideal_loops(network.sources, nodes, merged)
    parts, islands = islands_of(network, nodes, merged)

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


def _solve_part(part: Part) -> tuple[dict[str, float] | None, dict[str, float]]:
    """Voltages of the merged nodes (None without a solution), currents of sources of 0 ohm."""
    equations = matrix_of(part)
    matrix, right, row, ideal, kept = (
        equations.left, equations.right, equations.row, equations.ideal, equations.kept,
    )  # fmt: skip
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
        result = np.zeros(len(right))
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
    return at, {s.name: float(result[n]) for n, s in enumerate(ideal, len(row))}
