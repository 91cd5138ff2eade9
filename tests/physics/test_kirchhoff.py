"""Kirchhoff's voltage law and the law of each element, round the loops of random networks.

The current law, Tellegen, superposition and reciprocity are in `test_network.py`. Loops come from
the graph library, so the check shares nothing with the solver.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import networkx as nx
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.physics.circuit import CurrentLoad, Link, Network, Resistance, Solution, Source
from advisor.physics.faults import Responses
from advisor.physics.network import solve

NODES = 9


@dataclass(frozen=True)
class Case:
    """A connected random network, some nodes joined by links, sources anywhere."""

    network: Network
    solution: Solution


@st.composite
def cases(draw: st.DrawFn) -> Case:
    node = st.integers(0, NODES - 1)
    pairs = [(draw(st.integers(0, n - 1)), n) for n in range(1, NODES)]
    pairs += draw(st.lists(st.tuples(node, node).filter(lambda p: p[0] != p[1]), max_size=9))
    ohms = st.floats(0.001, 20.0)
    resistances = tuple(
        Resistance(f"r{i}", f"n{a}", f"n{b}", draw(ohms)) for i, (a, b) in enumerate(pairs)
    )
    ends = st.tuples(node, node).filter(lambda p: p[0] != p[1])
    sources = tuple(
        Source(f"s{i}", f"n{a}", f"n{b}", draw(st.floats(-60, 60)), draw(st.floats(0.002, 1.0)))
        for i, (a, b) in enumerate(draw(st.lists(ends, min_size=1, max_size=4)))
    )
    links = tuple(
        Link(f"l{i}", f"n{a}", f"x{i}") for i, a in enumerate(draw(st.lists(node, max_size=2)))
    )
    loads = tuple(
        CurrentLoad(f"c{i}", f"n{a}", f"n{b}", draw(st.floats(-80, 80)))
        for i, (a, b) in enumerate(draw(st.lists(ends, max_size=3)))
    )
    network = Network(resistances, sources, links, loads, (), ("n0",))
    return Case(network, solve(network))


def _scale(case: Case) -> float:
    """The largest voltage there is: rounding is a share of it."""
    emfs = [abs(one.emf) for one in case.network.sources]
    return max(*map(abs, case.solution.voltages.values()), *emfs, 1.0)


@settings(max_examples=100, deadline=None)
@given(case=cases())
def test_rises_and_drops_cancel_round_every_loop(case: Case) -> None:
    """Sum of I R and of E - I r round each loop of a cycle basis is zero, from currents alone."""
    drops: dict[tuple[str, str], float] = {}
    graph = nx.Graph()

    def put(name: str, start: str, end: str, drop: float) -> None:
        # Its name stands in the middle, so that two elements side by side make a loop as well.
        drops[start, name], drops[name, start] = drop, -drop
        drops[name, end] = drops[end, name] = 0.0
        graph.add_edges_from([(start, name), (name, end)])

    for r in case.network.resistances:
        put(r.name, r.a, r.b, case.solution.currents[r.name] * r.ohm)
    for s in case.network.sources:
        put(s.name, s.plus, s.minus, s.emf - case.solution.currents[s.name] * s.ohm)
    for loop in nx.cycle_basis(graph):
        total = math.fsum(drops[pair] for pair in pairwise([*loop, loop[0]]))
        assert abs(total) < 1e-9 * _scale(case)


@settings(max_examples=100, deadline=None)
@given(case=cases())
def test_every_element_keeps_its_own_law(case: Case) -> None:
    """Ohm: I R across a resistance. Source: E - I r at its terminals. Joined nodes: one voltage."""
    volts, currents = case.solution.voltages, case.solution.currents
    small = 1e-9 * _scale(case)
    for r in case.network.resistances:
        assert abs(volts[r.a] - volts[r.b] - currents[r.name] * r.ohm) < small
        assert case.solution.losses[r.name] == pytest.approx(currents[r.name] ** 2 * r.ohm)
    for s in case.network.sources:
        assert abs(volts[s.plus] - volts[s.minus] - s.emf + currents[s.name] * s.ohm) < small
        assert case.solution.powers[s.name] == pytest.approx(
            currents[s.name] * (volts[s.plus] - volts[s.minus]), abs=1e-6
        )
    for link in case.network.links:
        assert volts[link.a] == volts[link.b]
    for load in case.network.current_loads:
        assert currents[load.name] == load.ampere


@settings(max_examples=60, deadline=None)
@given(case=cases(), ampere=st.floats(-50, 50))
def test_one_more_load_adds_its_own_share(case: Case, ampere: float) -> None:
    """Superposition: every current with one load more is the old one and that of the load alone."""
    names = [one.name for one in (*case.network.resistances, *case.network.sources)]
    extra = CurrentLoad("extra", "n3", "n7", ampere)
    loads = (*case.network.current_loads, extra)
    network = case.network
    after = solve(
        Network(network.resistances, network.sources, network.links, loads, (), ("n0",))
    ).currents
    alone = Responses(network).per_ampere("n3", "n7")
    least = min(one.ohm for one in (*network.resistances, *network.sources))
    small = 1e-9 * _scale(case) / least
    for name in names:
        expected = case.solution.currents[name] + ampere * alone[name]
        assert abs(after[name] - expected) < small + 1e-9 * abs(ampere)
