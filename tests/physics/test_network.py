"""The network solver: Kirchhoff, Tellegen, superposition, reciprocity, and what it refuses."""

from __future__ import annotations

import math
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.physics.circuit import (
    CurrentLoad,
    Link,
    Network,
    NetworkError,
    PowerLoad,
    Resistance,
    Solution,
    Source,
)
from advisor.physics.faults import fault_current, shares
from advisor.physics.network import solve

OHMS = st.floats(0.001, 100.0)


@st.composite
def networks(draw: st.DrawFn, power: bool = False) -> Network:
    """A connected network of up to eight nodes; all sources stand on the reference."""
    count = draw(st.integers(2, 8))
    node = st.integers(0, count - 1)
    pairs = [(draw(st.integers(0, n - 1)), n) for n in range(1, count)]
    pairs += draw(st.lists(st.tuples(node, node), max_size=8))
    resistances = tuple(
        Resistance(f"r{i}", f"n{a}", f"n{b}", draw(OHMS)) for i, (a, b) in enumerate(pairs)
    )
    sources = tuple(
        Source(f"s{i}", f"n{draw(st.integers(1, count - 1))}", "n0", draw(st.floats(1, 60)), r)
        for i, r in enumerate(draw(st.lists(st.floats(0.001, 1), min_size=1, max_size=3)))
    )
    loads = tuple(
        CurrentLoad(f"c{i}", f"n{draw(node)}", f"n{draw(node)}", amperes)
        for i, amperes in enumerate(draw(st.lists(st.floats(-50, 50), max_size=3)))
    )
    fed = Network(resistances, sources, (), () if power else loads, (), ("n0",))
    if not power:
        return fed
    # Less than the greatest power that the network can give at that place, E^2 / 4 R.
    at = f"n{draw(st.integers(1, count - 1))}"
    voltage = solve(fed).voltages[at]
    limit = voltage * fault_current(fed, at, "n0") / 4.0
    watt = draw(st.floats(0.0, 0.99)) * limit
    return replace(fed, power_loads=(PowerLoad("p", at, "n0", watt),))


def _into_nodes(network: Network, solution: Solution) -> dict[str, list[float]]:
    """What flows into each node through each element."""
    into: dict[str, list[float]] = {node: [] for node in solution.voltages}
    for r in network.resistances:
        into[r.a].append(-solution.currents[r.name])
        into[r.b].append(solution.currents[r.name])
    for s in network.sources:
        into[s.plus].append(solution.currents[s.name])
        into[s.minus].append(-solution.currents[s.name])
    for load in (*network.current_loads, *network.power_loads):
        into[load.plus].append(-solution.currents[load.name])
        into[load.minus].append(solution.currents[load.name])
    return into


def _largest(network: Network) -> float:
    """A bound for rounding: the largest voltage over the smallest resistance."""
    solution = solve(network)
    ohms = [one.ohm for one in (*network.resistances, *network.sources)]
    volts = [abs(v) for v in solution.voltages.values()] + [abs(s.emf) for s in network.sources]
    return max(volts) / min(ohms) + 1.0


@pytest.mark.parametrize("power", [False, True])
@settings(max_examples=80, deadline=None)
@given(data=st.data())
def test_currents_balance_at_every_node_and_power_over_all(
    power: bool, data: st.DataObject
) -> None:
    network = data.draw(networks(power=power))
    solution = solve(network)
    assert solution.converged
    scale = _largest(network)
    for node, currents in _into_nodes(network, solution).items():
        assert abs(math.fsum(currents)) < 1e-9 * scale, node
    volts = solution.voltages
    heat = [solution.losses[r.name] for r in network.resistances]
    drawn = [
        solution.currents[one.name] * (volts[one.plus] - volts[one.minus])
        for one in (*network.current_loads, *network.power_loads)
    ]
    delivered = [solution.powers[s.name] for s in network.sources]
    most = max(abs(one) for one in (*heat, *drawn, *delivered, 1.0))
    reach = scale * max(abs(one) for one in (*volts.values(), 1.0))
    assert math.fsum(heat + drawn) == pytest.approx(
        math.fsum(delivered), abs=1e-9 * max(most, reach)
    )
    for p in network.power_loads:
        across = volts[p.plus] - volts[p.minus]
        assert solution.currents[p.name] * across == pytest.approx(p.watt, rel=1e-9)


@settings(max_examples=60, deadline=None)
@given(network=networks())
def test_superposition(network: Network) -> None:
    """Each source alone, the others at 0 V, and each current alone: the voltages add up."""
    dead = tuple(replace(s, emf=0.0) for s in network.sources)
    alone = [
        replace(network, sources=(*dead[:n], s, *dead[n + 1 :]), current_loads=())
        for n, s in enumerate(network.sources)
    ]
    alone += [replace(network, sources=dead, current_loads=(c,)) for c in network.current_loads]
    parts = [solve(one).voltages for one in alone]
    for node, volts in solve(network).voltages.items():
        total = math.fsum(part.get(node, 0.0) for part in parts)
        assert total == pytest.approx(volts, abs=1e-8 * (1 + max(map(abs, [volts, total]))) * 10)


@settings(max_examples=60, deadline=None)
@given(network=networks(), data=st.data())
def test_reciprocity(network: Network, data: st.DataObject) -> None:
    """A current here gives there the voltage that the same current there would give here."""
    dead = tuple(replace(s, emf=0.0) for s in network.sources)
    names = sorted({node for r in network.resistances for node in (r.a, r.b)} - {"n0"})
    here, there = data.draw(st.sampled_from(names)), data.draw(st.sampled_from(names))

    def volts(fed: str, seen: str) -> float:
        load = CurrentLoad("test", "n0", fed, 1.0)
        return solve(replace(network, sources=dead, current_loads=(load,))).voltages[seen]

    assert volts(here, there) == pytest.approx(volts(there, here), rel=1e-7, abs=1e-9)


@given(first=OHMS, second=OHMS, ampere=st.floats(0.1, 100))
def test_equal_packs_in_parallel_share_by_conductance(
    first: float, second: float, ampere: float
) -> None:
    packs = Source("one", "bus", "0", 51.2, first), Source("two", "bus", "0", 51.2, second)
    network = Network(sources=packs, current_loads=(CurrentLoad("load", "bus", "0", ampere),))
    share = shares(solve(network), ["one", "two"])
    # The difference of 51.2 V and the bus voltage loses digits when the drop is small.
    exact = 51.2 * 1e-13 / (ampere * first * second / (first + second))
    assert share["one"] == pytest.approx(second / (first + second), rel=1e-9, abs=exact)
    assert sum(share.values()) == pytest.approx(1.0)


def _fed(emf: float, ohm: float, watt: float) -> Network:
    return Network(
        sources=(Source("pack", "plus", "0", emf, ohm),),
        power_loads=(PowerLoad("drive", "plus", "0", watt),),
        references=("0",),
    )


@given(emf=st.floats(1, 400), ohm=st.floats(1e-4, 10), part=st.floats(-5.0, 0.9999))
def test_constant_power_against_the_quadratic(emf: float, ohm: float, part: float) -> None:
    """v = (E + sqrt(E^2 - 4 R P)) / 2, from P = v (E - v) / R."""
    watt = part * emf**2 / (4 * ohm)
    solution = solve(_fed(emf, ohm, watt))
    assert solution.converged
    expected = (emf + math.sqrt(emf**2 - 4 * ohm * watt)) / 2
    assert solution.voltages["plus"] == pytest.approx(expected, rel=1e-9)


@given(emf=st.floats(1, 400), ohm=st.floats(1e-4, 10), part=st.floats(1.000001, 50.0))
def test_no_solution_beyond_the_greatest_power(emf: float, ohm: float, part: float) -> None:
    """The most a source can deliver is E^2 / 4 R (maximum power transfer)."""
    lit = Source("other", "lamp", "l0", 12.0, 0.1), Resistance("bulb", "lamp", "l0", 1.1)
    network = _fed(emf, ohm, part * emf**2 / (4 * ohm))
    network = replace(network, sources=(*network.sources, lit[0]), resistances=(lit[1],))
    solution = solve(network)
    assert not solution.converged
    assert solution.undelivered == ("drive",)
    assert math.isnan(solution.voltages["plus"])
    assert math.isnan(solution.currents["drive"])
    assert math.isnan(solution.currents["pack"])
    assert solution.currents["bulb"] == pytest.approx(10.0)  # the other island is not touched
    assert [one.converged for one in solution.islands] == [False, True]


def test_a_reversed_load_of_constant_power_has_no_solution() -> None:
    network = replace(_fed(48, 0.1, 100), power_loads=(PowerLoad("drive", "0", "plus", 100),))
    assert solve(network).undelivered == ("drive",)


def test_links_join_nodes_and_islands_are_reported() -> None:
    network = Network(
        resistances=(Resistance("wire", "a", "c", 2.0),),
        sources=(Source("pack", "a", "b", 12.0, 0.0), Source("alone", "x", "y", 5.0, 1.0)),
        links=(Link("joint", "b", "d"), Link("other", "c", "d")),
        references=("d",),
    )
    solution = solve(network)
    assert solution.voltages["b"] == solution.voltages["d"] == 0.0
    assert solution.currents["wire"] == pytest.approx(6.0)
    assert solution.currents["pack"] == pytest.approx(6.0)
    first, second = solution.islands
    assert (set(first.nodes), first.reference, first.floating) == ({"a", "b", "c", "d"}, "d", False)
    assert (second.nodes, second.reference, second.floating) == (("x", "y"), "x", True)
    assert solution.voltages["y"] == pytest.approx(-5.0)


WIRE = Resistance("wire", "a", "b", 1.0)
PACK = Source("pack", "a", "b", 12.0, 0.1)
IDEAL = Source("pack", "a", "b", 12.0, 0.0)


@pytest.mark.parametrize(
    ("network", "words"),
    [
        (Network((replace(WIRE, ohm=0.0),)), "wire: the resistance is 0.0 ohm"),
        (Network((replace(WIRE, ohm=math.nan),)), "wire: the resistance is nan"),
        (Network((WIRE,), (replace(PACK, ohm=-1.0),)), "pack: the internal resistance is -1.0"),
        (Network((WIRE, WIRE)), "wire: two elements have this name"),
        (Network((WIRE,), references=("z",)), "z: no element ends here"),
        (Network((WIRE,), references=("a", "b")), "b: a second reference beside a"),
        (Network((), (IDEAL,), (Link("joint", "a", "b"),)), "differ by 12 V"),
        (Network((), (IDEAL, Source("two", "a", "b", 13.0, 0.0))), "two: closes a loop.* 1 V"),
        (Network((), (IDEAL, Source("two", "a", "b", 12.0, 0.0))), "is not determined"),
        (
            Network((WIRE,), current_loads=(CurrentLoad("lamp", "a", "z", 1.0),)),
            "lamp: nothing but loads joins a and z",
        ),
    ],
)
def test_what_has_no_answer_is_refused_in_words(network: Network, words: str) -> None:
    with pytest.raises(NetworkError, match=words):
        solve(network)


def test_fault_current() -> None:
    """Two equal packs of 5 mOhm behind 2 mOhm of cable: 51.2 V / 4.5 mOhm, by Ohm's law."""
    network = Network(
        resistances=(Resistance("cable", "bus", "far", 0.002),),
        sources=(Source("one", "bus", "0", 51.2, 0.005), Source("two", "bus", "0", 51.2, 0.005)),
        power_loads=(PowerLoad("drive", "far", "0", 3000.0),),
    )
    assert fault_current(network, "far", "0") == pytest.approx(51.2 / 0.0045)
    assert fault_current(network, "bus", "0") == pytest.approx(51.2 / 0.0025)
    assert fault_current(network, "0", "bus") == pytest.approx(-51.2 / 0.0025)
    ideal = Network(sources=(IDEAL, Source("other", "x", "y", 5.0, 1.0)))
    assert fault_current(ideal, "a", "b") == math.inf
    assert fault_current(ideal, "a", "x") == 0.0
    with pytest.raises(NetworkError, match="z: no element ends here"):
        fault_current(ideal, "z", "a")
    with pytest.raises(NetworkError, match="shorted already"):
        fault_current(Network((WIRE,), links=(Link("joint", "a", "b"),)), "a", "b")


@settings(max_examples=40, deadline=None)
@given(network=networks(), data=st.data())
def test_fault_current_is_open_voltage_over_inner_resistance(
    network: Network, data: st.DataObject
) -> None:
    """Norton's and Thevenin's theorems, the inner resistance found with a current of 1 A."""
    at = data.draw(st.sampled_from(sorted({r.b for r in network.resistances} - {"n0"})))
    bare = replace(network, current_loads=())
    dead = replace(bare, sources=tuple(replace(s, emf=0.0) for s in bare.sources))
    dead = replace(dead, current_loads=(CurrentLoad("test", "n0", at, 1.0),))
    inner = solve(dead).voltages[at]
    expected = solve(bare).voltages[at] / inner
    assert fault_current(network, at, "n0") == pytest.approx(expected, rel=1e-7, abs=1e-6)


def test_a_screening_does_not_load_the_solver() -> None:
    sheet = Path(__file__).parents[2] / "scenarios" / "three-facts.yaml"  # it lists no cables
    code = (
        "import sys\n"
        "from advisor.cli import main\n"
        f"sys.argv = ['advisor', 'screen', {str(sheet)!r}]\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print('findings' if 'advisor.findings' in sys.modules else 'nothing ran')\n"
        "print('loaded:', [one for one in ('numpy', 'advisor.physics.network') "
        "if one in sys.modules])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-2:] == ["findings", "loaded: []"]
