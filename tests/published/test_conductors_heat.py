"""Heat balance of a run in still air, against independent libraries."""

from __future__ import annotations

import math

import fluids
import ht
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import conductors, heat

CELSIUS = 273.15


@pytest.mark.parametrize("kelvin", [250.0, 300.0, 350.0, 400.0, 600.0])
def test_air_against_the_library(kelvin: float) -> None:
    """US Standard Atmosphere (1976) in `fluids`: the same formulas, only rounding differs."""
    atmosphere = fluids.ATMOSPHERE_1976
    assert heat.air_viscosity(kelvin) == pytest.approx(atmosphere.viscosity(kelvin), rel=1e-9)
    assert heat.air_conductivity(kelvin) == pytest.approx(
        atmosphere.thermal_conductivity(kelvin), rel=1e-9
    )


@pytest.mark.parametrize(
    ("kelvin", "viscosity", "conductivity", "number"),
    [(300, 184.6e-7, 26.3e-3, 0.707), (350, 208.2e-7, 30.0e-3, 0.700),
     (400, 230.1e-7, 33.8e-3, 0.690)],
)  # fmt: skip
def test_air_against_a_handbook_table(
    kelvin: float, viscosity: float, conductivity: float, number: float
) -> None:
    """Incropera, Table A.4, from memory. Measured air: two correlations of it agree to 1.5 %."""
    assert heat.air_viscosity(kelvin) == pytest.approx(viscosity, rel=0.015)
    assert heat.air_conductivity(kelvin) == pytest.approx(conductivity, rel=0.015)
    assert heat.prandtl(kelvin) == pytest.approx(number, rel=0.015)


def test_nusselt_of_a_printed_example() -> None:
    """Documentation of `ht`, after Incropera, 6th edition: Pr 0.69, Gr 2.63e9 give 139.13."""
    assert heat.cylinder_nusselt(0.69 * 2.63e9, 0.69) == pytest.approx(139.13, abs=0.005)


@pytest.mark.parametrize("number", [1e-3, 1.0, 300.0, 2e4, 5e6, 1e10])
@pytest.mark.parametrize("fluid", [0.68, 0.71, 7.0])
def test_nusselt_against_the_library(number: float, fluid: float) -> None:
    """`ht`: the same correlation, so only rounding differs."""
    library = ht.Nu_horizontal_cylinder_Churchill_Chu(Pr=fluid, Gr=number / fluid)
    assert heat.cylinder_nusselt(number, fluid) == pytest.approx(library, rel=1e-12)


def others(number: float) -> tuple[float, float]:
    """Morgan (1975), Kuehn and Goldstein (1976), level cylinders in air, by `ht`."""
    return (
        ht.Nu_horizontal_cylinder_Morgan(Pr=0.7, Gr=number / 0.7),
        ht.Nu_horizontal_cylinder_Kuehn_Goldstein(Pr=0.7, Gr=number / 0.7),
    )


@pytest.mark.parametrize("number", [2e4, 5e6])
def test_nusselt_of_thick_runs_against_other_correlations(number: float) -> None:
    """Fits to scattered data: 15 % is what such fits are worth (common practice, no source)."""
    for other in others(number):
        assert heat.cylinder_nusselt(number, 0.7) == pytest.approx(other, rel=0.15)


@pytest.mark.parametrize("number", [100.0, 300.0, 1000.0, 3000.0])
def test_nusselt_of_cables_is_the_lowest_of_three_correlations(number: float) -> None:
    """Less heat leaves by this one than by the other two: the run comes out warmer."""
    assert heat.cylinder_nusselt(number, 0.7) < min(others(number))


@pytest.mark.parametrize(
    ("surface", "ambient", "diameter"), [(378.15, 303.15, 0.0125), (330.0, 320.0, 0.006)]
)
def test_rayleigh_against_the_library(surface: float, ambient: float, diameter: float) -> None:
    """`fluids.Grashof` and `Prandtl`: expansion 1/T, density P / (R T), R = 287.05 J/(kg K).

    R is rounded in its fifth digit, squared: 4e-5 at most.
    """
    mean = (surface + ambient) / 2
    atmosphere = fluids.ATMOSPHERE_1976
    grashof = fluids.Grashof(
        L=diameter,
        beta=1 / mean,
        T1=surface,
        T2=ambient,
        rho=101325 / (287.05 * mean),
        mu=atmosphere.viscosity(mean),
    )
    prandtl = fluids.Prandtl(
        Cp=1007.0, k=atmosphere.thermal_conductivity(mean), mu=atmosphere.viscosity(mean)
    )
    assert heat.rayleigh(surface, ambient, diameter) == pytest.approx(grashof * prandtl, rel=1e-4)


@pytest.mark.parametrize(("surface", "diameter"), [(438.15, 0.1), (378.15, 0.0125), (320.0, 0.006)])
def test_convection_against_the_libraries(surface: float, diameter: float) -> None:
    """`ht` and `fluids` throughout, in a room of 23 °C; R rounded as above, so 4e-5 at most."""
    room = 23 + CELSIUS
    mean = (surface + room) / 2
    atmosphere = fluids.ATMOSPHERE_1976
    conductivity, viscosity = atmosphere.thermal_conductivity(mean), atmosphere.viscosity(mean)
    prandtl = fluids.Prandtl(Cp=1007.0, k=conductivity, mu=viscosity)
    density = 101325 / (287.05 * mean)
    grashof = fluids.Grashof(
        L=diameter, beta=1 / mean, T1=surface, T2=room, rho=density, mu=viscosity
    )
    nusselt = ht.Nu_horizontal_cylinder_Churchill_Chu(Pr=prandtl, Gr=grashof)
    per_metre = nusselt * conductivity / diameter * math.pi * diameter * (surface - room)
    found = heat.convection_loss(surface, room, diameter)
    assert found == pytest.approx(per_metre, rel=1e-4)
    radiated = heat.radiation_loss(surface, room, diameter, 0.85)
    assert heat.heat_loss(surface, room, diameter, 0.85) == pytest.approx(found + radiated)


def test_radiation_against_the_library() -> None:
    """`ht.radiation.q_rad`, per area, with the older constant of CODATA 2014: 5.670367e-8."""
    per_area = ht.radiation.q_rad(0.9, T=378.15, T2=303.15)
    found = heat.radiation_loss(378.15, 303.15, 0.0125, 0.9)
    assert found == pytest.approx(per_area * math.pi * 0.0125 * 5.670374419 / 5.670367, rel=1e-9)


@given(st.floats(1, 250), st.floats(250, 330), st.floats(0.002, 0.03), st.floats(0.05, 1.0))
def test_temperature_and_current_are_inverse(
    rise: float, ambient: float, diameter: float, emissivity: float
) -> None:
    current = heat.steady_current(ambient + rise, 5e-4, diameter, ambient, emissivity)
    found = heat.steady_temperature(current, 5e-4, diameter, ambient, emissivity)
    assert found == pytest.approx(ambient + rise, abs=1e-6)


@given(st.floats(0, 400), st.floats(0, 400))
def test_more_current_is_never_cooler(one: float, other: float) -> None:
    less, more = sorted((one, other))
    cool, hot = (heat.steady_temperature(i, 5e-4, 0.01, 300.0, 0.9) for i in (less, more))
    assert hot >= cool


def test_limits_of_the_balance() -> None:
    """No current: ambient. Too much: infinite, not the end of the search. Unknown stays unknown."""
    currents = np.array([0.0, 1e4, math.nan])
    found = heat.steady_temperature(currents, 5e-4, 0.01, 300.0, 0.9)
    assert found[0] == pytest.approx(300.0, abs=1e-9)
    assert found[1] == math.inf
    assert math.isnan(found[2])


def test_balance_closes() -> None:
    """Energy: the heat of the current in hot copper is what the run gives off."""
    per_metre = conductors.resistivity() / conductors.gauge_area(4)
    found = heat.steady_temperature(160.0, per_metre, 0.009, 303.15, 0.9)
    made = 160.0**2 * conductors.resistance(1.0, conductors.gauge_area(4), found)
    assert heat.heat_loss(found, 303.15, 0.009, 0.9) == pytest.approx(made, rel=1e-9)


def test_rise_through_insulation_against_the_library() -> None:
    """`ht`: resistance of a cylinder ln(ro / ri) / (2 pi k L)."""
    resistance = ht.R_cylinder(Di=0.0059, Do=0.0091, k=1 / 5.0, L=1.0)
    assert heat.insulation_rise(28.0, 0.0059, 0.0091, 5.0) == pytest.approx(28.0 * resistance)
