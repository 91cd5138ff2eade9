"""Open-circuit curves against the cell models they were read from.

The frozen numbers come from PyBaMM 26.10.1.1: electrode limits by its state-of-health solver, then
the difference of the two electrode potentials at 25 °C. The marked test computes them again.
"""

from __future__ import annotations

import pytest

from advisor.physics.cells import open_circuit_voltage
from advisor.tables.reader import curve, table

TENTHS = {
    "nmc": ("Chen2020", [2.5000, 3.2959, 3.4852, 3.5814, 3.6670, 3.7509, 3.8406, 3.9479, 4.0421,
                         4.0967, 4.2000]),
    "lfp": ("Prada2013", [2.0000, 2.9781, 3.1685, 3.2058, 3.2525, 3.2660, 3.2688, 3.2740, 3.3097,
                          3.3142, 3.6000]),
    "nca": ("NCA_Kim2011", [2.7000, 3.2471, 3.3721, 3.4918, 3.5978, 3.6846, 3.7678, 3.8742, 3.9803,
                            4.0803, 4.2000]),
}  # fmt: skip
MEANS = {"nmc": 3.7221, "lfp": 3.1953}  # mean over 0 to 100 %, same computation


@pytest.mark.parametrize("chemistry", TENTHS)
def test_curve_gives_the_frozen_voltages(chemistry: str) -> None:
    _, voltages = TENTHS[chemistry]
    found = [curve("open-circuit", chemistry, n / 10) for n in range(11)]
    assert found == pytest.approx(voltages, abs=0.00005)  # four decimals are printed


@pytest.mark.parametrize("chemistry", MEANS)
def test_mean_voltage_of_the_curve(chemistry: str) -> None:
    """Straight lines 5 % apart cut the bends at both ends: within 0.5 %."""
    found = table("open-circuit")
    steps = [n / 1000 for n in range(1001)]
    voltages = open_circuit_voltage(steps, found.numbers("charge"), found.numbers(chemistry))
    assert sum(voltages) / len(steps) == pytest.approx(MEANS[chemistry], rel=5e-3)


def test_lfp_voltage_cannot_tell_the_charge_in_the_middle() -> None:
    """8 mV from 50 to 70 %, 22 mV from 40 to 70 % (PyBaMM, Prada2013; printed in whole mV)."""
    low, middle, high = (curve("open-circuit", "lfp", charge) or 0.0 for charge in (0.4, 0.5, 0.7))
    assert high - middle == pytest.approx(0.008, abs=0.0005)
    assert high - low == pytest.approx(0.022, abs=0.0005)


@pytest.mark.reference
@pytest.mark.parametrize("chemistry", TENTHS)
def test_curve_against_the_model_itself(chemistry: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The model solved anew; 1 mV allows for another version of the solver."""
    monkeypatch.setenv("PYBAMM_DISABLE_TELEMETRY", "true")
    pybamm = pytest.importorskip("pybamm")
    name, voltages = TENTHS[chemistry]
    values = pybamm.ParameterValues(name)
    cell = pybamm.LithiumIonParameters()
    x0, x100, y100, y0 = pybamm.lithium_ion.get_min_max_stoichiometries(values, cell)
    for n, frozen in enumerate(voltages):
        x, y = x0 + n / 10 * (x100 - x0), y0 + n / 10 * (y100 - y0)
        kelvin = pybamm.Scalar(298.15)
        positive = cell.p.prim.U(pybamm.Scalar(y), kelvin)
        negative = cell.n.prim.U(pybamm.Scalar(x), kelvin)
        solved = float(values.evaluate(positive - negative).item())
        assert curve("open-circuit", chemistry, n / 10) == pytest.approx(solved, abs=1e-3)
        assert solved == pytest.approx(frozen, abs=1e-3)
