"""The network solver against circuits of the textbooks.

The circuits and results are given from memory of the usual textbook forms (for the theorems see
any text on circuit theory, for example Nilsson and Riedel, "Electric Circuits", chapters 3 and 4);
no text was at hand. So each result is worked out a second time here: in exact fractions by a mesh
analysis of its own (`_exact`), or by the closed formula that is written beside it.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from advisor.physics.circuit import CurrentLoad, Network, PowerLoad, Resistance, Source
from advisor.physics.faults import fault_current, shares
from advisor.physics.network import solve


def _exact(rows: list[list[int | Fraction]], right: list[int | Fraction]) -> list[Fraction]:
    """Solve linear equations in fractions by Gauss and Jordan: nothing is rounded."""
    table = [[Fraction(x) for x in (*row, end)] for row, end in zip(rows, right, strict=True)]
    for n in range(len(table)):
        pivot = next(m for m in range(n, len(table)) if table[m][n])
        table[n], table[pivot] = table[pivot], table[n]
        table[n] = [x / table[n][n] for x in table[n]]
        for m in range(len(table)):
            if m != n:
                factor = table[m][n]
                table[m] = [x - factor * y for x, y in zip(table[m], table[n], strict=True)]
    return [row[-1] for row in table]


def test_unbalanced_wheatstone_bridge() -> None:
    """10 V over 1, 2 / 3, 4 ohm with 5 ohm across: three meshes, clockwise currents.

    Source mesh: 10 = (1 + 2) i1 - 1 i2 - 2 i3, with 1 ohm top left and 2 ohm bottom left; upper
    right mesh: 0 = -1 i1 + (1 + 3 + 5) i2 - 5 i3; lower: 0 = -2 i1 - 5 i2 + (2 + 4 + 5) i3.
    """
    i1, i2, i3 = _exact([[3, -1, -2], [-1, 9, -5], [-2, -5, 11]], [10, 0, 0])
    network = Network(
        resistances=(
            Resistance("top-left", "plus", "left", 1.0),
            Resistance("bottom-left", "left", "0", 2.0),
            Resistance("top-right", "plus", "right", 3.0),
            Resistance("bottom-right", "right", "0", 4.0),
            Resistance("bridge", "left", "right", 5.0),
        ),
        sources=(Source("battery", "plus", "0", 10.0, 0.0),),
        references=("0",),
    )
    found = solve(network).currents
    assert found["battery"] == pytest.approx(float(i1), rel=1e-12)
    assert found["top-right"] == pytest.approx(float(i2), rel=1e-12)
    assert found["bottom-right"] == pytest.approx(float(i3), rel=1e-12)
    assert found["bridge"] == pytest.approx(float(i3 - i2), rel=1e-12)
    assert i3 - i2 != 0


def test_a_balanced_bridge_carries_nothing_across() -> None:
    """Wheatstone's condition: R1 / R2 = R3 / R4."""
    network = Network(
        resistances=(
            Resistance("1", "plus", "left", 10.0),
            Resistance("2", "left", "0", 20.0),
            Resistance("3", "plus", "right", 30.0),
            Resistance("4", "right", "0", 60.0),
            Resistance("bridge", "left", "right", 5.0),
        ),
        sources=(Source("battery", "plus", "0", 10.0, 1.0),),
    )
    assert solve(network).currents["bridge"] == pytest.approx(0.0, abs=1e-14)


@pytest.mark.parametrize("steps", [1, 2, 3, 5, 10])
def test_ladder_of_equal_resistors_gives_fibonacci_numbers(steps: int) -> None:
    """n sections of 1 ohm in series and 1 ohm across have F(2n + 1) / F(2n) ohm at the input.

    1 section: 2/1; 2: 5/3; 3: 13/8. The limit is the golden ratio.
    """
    fibonacci = [0, 1]
    while len(fibonacci) < 2 * steps + 2:
        fibonacci.append(fibonacci[-1] + fibonacci[-2])
    rails = [Resistance(f"s{n}", f"n{n}", f"n{n + 1}", 1.0) for n in range(steps)]
    rungs = [Resistance(f"p{n}", f"n{n + 1}", "0", 1.0) for n in range(steps)]
    source = Source("battery", "n0", "0", 1.0, 0.0)
    current = solve(Network((*rails, *rungs), (source,), references=("0",))).currents["battery"]
    assert 1.0 / current == pytest.approx(fibonacci[2 * steps + 1] / fibonacci[2 * steps])
    if steps == 10:
        assert 1.0 / current == pytest.approx((1 + math.sqrt(5)) / 2, rel=1e-7)


def test_two_unequal_batteries_in_parallel_on_a_load() -> None:
    """12 V / 0.5 ohm and 10 V / 0.25 ohm on 4 ohm: the first charges the second.

    Meshes: 12 - 10 = (0.5 + 0.25) i1 - 0.25 i2; 10 = -0.25 i1 + (0.25 + 4) i2.
    """
    half, quarter = Fraction(1, 2), Fraction(1, 4)
    i1, i2 = _exact([[half + quarter, -quarter], [-quarter, quarter + 4]], [2, 10])
    network = Network(
        resistances=(Resistance("load", "plus", "0", 4.0),),
        sources=(Source("one", "plus", "0", 12.0, 0.5), Source("two", "plus", "0", 10.0, 0.25)),
        references=("0",),
    )
    solution = solve(network)
    assert solution.currents["one"] == pytest.approx(float(i1))
    assert solution.currents["two"] == pytest.approx(float(i2 - i1))
    assert solution.currents["load"] == pytest.approx(float(i2))
    assert solution.currents["two"] < 0 < solution.currents["one"]
    share = shares(solution, ["one", "two"])
    assert share["one"] == pytest.approx(float(i1 / i2)) and share["one"] > 1


def test_millmans_theorem() -> None:
    """V = sum(E / R) / sum(1 / R), with a bare resistor as a branch of 0 V."""
    branches = [(24, 3), (-9, 2), (15, 5), (0, 6)]
    above = sum(Fraction(emf, ohm) for emf, ohm in branches)
    below = sum(Fraction(1, ohm) for _, ohm in branches)
    sources = tuple(
        Source(f"s{n}", "plus", "0", float(emf), float(ohm))
        for n, (emf, ohm) in enumerate(branches[:3])
    )
    network = Network((Resistance("r", "plus", "0", 6.0),), sources, references=("0",))
    assert solve(network).voltages["plus"] == pytest.approx(float(above / below), rel=1e-12)


def test_delta_and_star_are_equivalent() -> None:
    """Kennelly's formulas: Ra = Rab Rca / (Rab + Rbc + Rca), and so round."""
    ab, bc, ca = Fraction(10), Fraction(20), Fraction(30)
    total = ab + bc + ca
    delta = (
        Resistance("ab", "a", "b", float(ab)),
        Resistance("bc", "b", "c", float(bc)),
        Resistance("ca", "c", "a", float(ca)),
    )
    star = (
        Resistance("a", "a", "centre", float(ab * ca / total)),
        Resistance("b", "b", "centre", float(ab * bc / total)),
        Resistance("c", "c", "centre", float(bc * ca / total)),
    )
    fed = (CurrentLoad("x", "c", "a", 3.0), CurrentLoad("y", "c", "b", -1.25))
    one = solve(Network(delta, current_loads=fed, references=("c",))).voltages
    other = solve(Network(star, current_loads=fed, references=("c",))).voltages
    # Delta: (1/10 + 1/30) a - 1/10 b = 3; -1/10 a + (1/10 + 1/20) b = -5/4
    a, b = _exact([[1 / ab + 1 / ca, -1 / ab], [-1 / ab, 1 / ab + 1 / bc]], [3, Fraction(-5, 4)])
    for found in (one, other):
        assert found["a"] == pytest.approx(float(a), rel=1e-12)
        assert found["b"] == pytest.approx(float(b), rel=1e-12)


def test_greatest_power_is_at_equal_resistance() -> None:
    """Jacobi: the load takes most, E^2 / 4 R, when its resistance is that of the source."""

    def power(ohm: float) -> float:
        network = Network((Resistance("r", "p", "0", ohm),), (Source("s", "p", "0", 48.0, 0.2),))
        return solve(network).losses["r"]

    assert power(0.2) == pytest.approx(48.0**2 / (4 * 0.2))
    assert power(0.19) < power(0.2) > power(0.21)
    source = (Source("s", "p", "0", 48.0, 0.2),)
    for watt, delivered in ((2879.99, True), (2880.01, False)):
        load = (PowerLoad("drive", "p", "0", watt),)
        assert solve(Network(sources=source, power_loads=load)).converged is delivered


def test_twelve_equal_edges_of_a_cube() -> None:
    """Known puzzle: along the diagonal of the body 5/6 R, of a face 3/4, an edge 7/12 R."""
    edges = tuple(
        Resistance(f"{n}-{n | bit}", str(n), str(n | bit), 1.0)
        for n in range(8)
        for bit in (1, 2, 4)
        if not n & bit
    )
    for corner, ohm in (("7", Fraction(5, 6)), ("3", Fraction(3, 4)), ("1", Fraction(7, 12))):
        network = Network(edges, current_loads=(CurrentLoad("test", corner, "0", -1.0),))
        volts = solve(network).voltages
        assert volts[corner] - volts["0"] == pytest.approx(float(ohm), rel=1e-12)


def test_fault_current_by_nortons_theorem() -> None:
    """12 V over 4 and 12 ohm in series, taken across the 12 ohm: 9 V behind 3 ohm, so 3 A."""
    network = Network(
        (Resistance("low", "mid", "0", 12.0), Resistance("high", "plus", "mid", 4.0)),
        (Source("battery", "plus", "0", 12.0, 0.0),),
    )
    assert fault_current(network, "mid", "0") == pytest.approx(3.0, rel=1e-12)
