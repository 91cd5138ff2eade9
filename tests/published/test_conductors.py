"""Copper against ASTM B258, the old wire tables, and printed voltage drops."""

from __future__ import annotations

import math

import pytest

from advisor.physics import conductors
from advisor.physics.cells import short_circuit_current
from advisor.units import parse_area

INCH = 0.0254
FOOT = 0.3048
CIRCULAR_MIL = math.pi / 4 * (INCH / 1000) ** 2
CELSIUS = 273.15

# gauge number, mils (ASTM B258-02, rounded), ohm per 1000 ft at 20 °C (NBS Circular 31 as tabulated
# by HyperPhysics, Georgia State University)
WIRES = [
    (18, 40.3, 6.385), (16, 50.8, 4.016), (14, 64.1, 2.525), (12, 80.8, 1.588),
    (10, 101.9, 0.9989), (8, 128.5, 0.6282), (6, 162.0, 0.3951), (4, 204.3, 0.2485),
    (3, 229.4, 0.1970), (2, 257.6, 0.1563), (1, 289.3, 0.1240), (0, 324.9, 0.0983),
    (-1, 364.8, 0.0780), (-2, 409.6, 0.0618), (-3, 460.0, 0.0490),
]  # fmt: skip


@pytest.mark.parametrize(("gauge", "mils", "ohms"), WIRES)
def test_wire_table(gauge: int, mils: float, ohms: float) -> None:
    assert conductors.gauge_diameter(gauge) / INCH * 1000 == pytest.approx(mils, abs=0.05)
    area = conductors.gauge_area(gauge)
    found = conductors.resistance(1000 * FOOT, area)
    # 1.5e-3: mils are rounded (1e-3 in the area of No. 16); the last column has 3 digits at the end
    assert found == pytest.approx(ohms, rel=1.5e-3)


@pytest.mark.parametrize(("gauge", "inches"), [(36, 0.0050), (-3, 0.4600)])
def test_gauges_that_define_the_scale(gauge: int, inches: float) -> None:
    """ASTM B258: No. 36 and No. 4/0 by definition."""
    assert conductors.gauge_diameter(gauge) == pytest.approx(inches * INCH, rel=1e-9)


@pytest.mark.parametrize(
    ("written", "gauge"), [("10 AWG", 10), ("1/0 AWG", 0), ("2/0 AWG", -1), ("4/0 AWG", -3)]
)
def test_sheet_and_formula_agree_on_a_gauge(written: str, gauge: int) -> None:
    assert parse_area(written).value == pytest.approx(conductors.gauge_area(gauge), rel=1e-9)


def test_coefficient_on_two_bases() -> None:
    """NEC chapter 9 Table 8 note 2: 0.00323 on the base of 75 °C; three digits are printed."""
    hot = 75 + CELSIUS
    slope = conductors.temperature_factor(hot + 1, hot) - 1
    assert slope == pytest.approx(0.00323, abs=0.000005)


@pytest.mark.parametrize("celsius", [0, 40, 75, 105])
def test_temperature_against_the_inverse_form(celsius: float) -> None:
    """IEC 60949:1988, FAA AC 43.13-1B par. 11-66: (234.5 + T) / 254.5; 234.45 would be exact."""
    found = conductors.temperature_factor(celsius + CELSIUS)
    assert found == pytest.approx((234.5 + celsius) / 254.5, rel=2e-4)


def test_length_that_a_hot_conductor_still_allows() -> None:
    """FAA AC 43.13-1B: L2 = 254.5 L1 / (234.5 + T2): 0.895, 0.822, 0.784, 0.750."""
    for celsius, factor in ((50, 0.895), (75, 0.822), (90, 0.784), (105, 0.750)):
        found = 1 / conductors.temperature_factor(celsius + CELSIUS)
        assert found == pytest.approx(factor, abs=0.0006)


# NEC chapter 9 Table 8, ohm per 1000 ft at 75 °C, uncoated stranded
STRANDED = [(10, 1.24), (8, 0.778), (6, 0.491), (4, 0.308), (2, 0.194), (0, 0.122), (-3, 0.0608)]


@pytest.mark.parametrize(("gauge", "ohms"), STRANDED)
def test_stranded_building_wire(gauge: int, ohms: float) -> None:
    """Stranding adds 2 % (12.87 against 12.61 ohm-cmil/ft); three digits are printed (0.4 %)."""
    solid = conductors.resistance(1000 * FOOT, conductors.gauge_area(gauge), 75 + CELSIUS)
    assert 1.02 * solid == pytest.approx(ohms, rel=5e-3)


@pytest.mark.parametrize(("drop", "published"), [(0.36, 6271), (0.96, 2352)])
def test_boat_cable_for_a_drop(drop: float, published: float) -> None:
    """ABYC CM = K I L / E with K = 10.75: 10 A over 21 ft, 3 % of 12 V and of 32 V.

    K = 10.75 is annealed copper at 29.3 °C, known to 0.05 K: 2e-4; the result has 4 digits.
    """
    found = conductors.area_for_drop(10.0, 21 * FOOT, drop, 29.3 + CELSIUS)
    assert found / CIRCULAR_MIL == pytest.approx(published, rel=5e-4)


# FAA AC 43.13-1B Tables 11-7 and 11-8: ohm per ft, ft, A, V. The table's wire is tinned aircraft
# wire, so its ohm per ft is turned into the area of plain copper that has it.
DROPS = [
    (0.00044, 107, 20, 0.942, "No. 6"),
    (0.00028, 90, 20, 0.504, "No. 4"),
    (0.00126, 39, 20, 0.98, "No. 10, printed to 0.01 V"),
    (0.00126, 19.5, 20, 0.491, "No. 10; the circular misprints 0.366"),
]


@pytest.mark.parametrize(("per_foot", "feet", "amperes", "volts", "source"), DROPS)
def test_aircraft_voltage_drop(
    per_foot: float, feet: float, amperes: float, volts: float, source: str
) -> None:
    area = conductors.resistivity() * FOOT / per_foot
    found = conductors.voltage_drop(amperes, feet * FOOT, area)
    assert found == pytest.approx(volts, rel=4e-3), source


def test_two_metres_of_cable_pair_lower_a_fault_current() -> None:
    """51.2 V, 10 milliohm: 5.12 kA; with 2 m of 2/0 AWG pair 1.02 milliohm more, 4.65 kA.

    Both are rounded: 0.005 milliohm is 2 A here, 0.01 kA is 5 A, together 7 A.
    """
    cable = conductors.resistance(4.0, conductors.gauge_area(-1))
    assert cable == pytest.approx(1.02e-3, abs=0.005e-3)
    assert short_circuit_current(51.2, 0.010) == pytest.approx(5120)
    assert short_circuit_current(51.2, 0.010 + cable) == pytest.approx(4650, abs=7)
