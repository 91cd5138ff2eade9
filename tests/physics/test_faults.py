"""One inverse must answer as the solver does, place by place: superposition and Thevenin's theorem.

Both are theorems of linear networks; the solver itself is checked against textbooks elsewhere.
"""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics.circuit import CurrentLoad, Link, Network, NetworkError, Resistance, Source
from advisor.physics.faults import Responses, fault_current
from advisor.physics.network import solve

OHMS = st.floats(1e-4, 10.0)


@st.composite
def meshes(draw: st.DrawFn) -> Network:
    """Up to eight nodes in a chain with cross runs, one or two sources, some links."""
    size = draw(st.integers(3, 8))
    runs = [Resistance(f"r{n}", f"n{n}", f"n{n + 1}", draw(OHMS)) for n in range(size - 1)]
    for k in range(draw(st.integers(0, 5))):
        a, b = draw(st.integers(0, size - 1)), draw(st.integers(0, size - 1))
        if a != b:
            runs.append(Resistance(f"x{k}", f"n{a}", f"n{b}", draw(OHMS)))
    sources = [Source("one", "n0", f"n{size - 1}", draw(st.floats(1.0, 60.0)), draw(OHMS))]
    if draw(st.booleans()):
        sources.append(Source("two", "n1", f"n{size - 1}", draw(st.floats(1.0, 60.0)), draw(OHMS)))
    links = (Link("joint", "n1", "extra"),)
    return Network(tuple(runs), tuple(sources), links, references=("n0",))


@given(meshes())
def test_a_response_adds_to_the_open_circuit_as_the_solver_finds_it(network: Network) -> None:
    responses = Responses(network)
    at = ("n1", "n2")
    loaded = solve(
        Network(
            network.resistances,
            network.sources,
            network.links,
            (CurrentLoad("draw", *at, 7.0),),
            references=network.references,
        )
    )
    idle = solve(network)
    per_ampere = responses.per_ampere(*at)
    for name, current in loaded.currents.items():
        if name != "draw":
            expected = idle.currents[name] + 7.0 * per_ampere[name]
            assert current == pytest.approx(expected, rel=1e-6, abs=1e-6)


@given(meshes())
def test_a_fault_is_what_the_solver_finds_with_the_fault_put_in(network: Network) -> None:
    responses = Responses(network)
    for a, b in (("n0", "n1"), ("n2", "n0"), ("extra", "n2")):
        expected = fault_current(network, a, b)
        assert responses.fault(a, b) == pytest.approx(expected, rel=1e-6, abs=1e-6)


def test_places_that_no_conductor_joins_and_places_that_are_unknown() -> None:
    network = Network(
        (Resistance("r", "a", "b", 1.0), Resistance("s", "c", "d", 1.0)),
        (Source("pack", "a", "b", 12.0, 0.1),),
    )
    responses = Responses(network)
    assert responses.per_ampere("a", "c") == {}
    assert responses.fault("a", "c") == 0.0
    assert math.isinf(responses.resistance("a", "d"))
    with pytest.raises(NetworkError, match="nowhere: no element ends here"):
        responses.fault("a", "nowhere")


def test_a_source_without_resistance_has_no_limit() -> None:
    network = Network((Resistance("r", "a", "b", 1.0),), (Source("pack", "a", "b", 12.0, 0.0),))
    assert Responses(network).fault("a", "b") == math.inf
    assert Responses(network).per_ampere("a", "b")["pack"] == pytest.approx(1.0)
