"""Whole tables of conductors, each printed value: areas, resistance by class, SAE sizes.

The rows are copied from the sources that are named, not from the tables of the program.
"""

from __future__ import annotations

import math

import pytest

from advisor.facts.runs import STRANDED, WORKING_TEMPERATURE
from advisor.physics import conductors
from advisor.tables.reader import table
from tests.facts.making import facts, number

FOOT = 0.3048
CIRCULAR_MIL = math.pi / 4 * 0.0254e-3**2
GAUGES = ("18", "16", "14", "12", "10", "8", "6", "4", "3", "2", "1", "1/0", "2/0", "3/0", "4/0")


def gauge_number(name: str) -> int:
    """1/0 is 0, 2/0 is -1 and so on, as in the formula of ASTM B258."""
    return 1 - int(name[0]) if name.endswith("/0") else int(name)


def row(name: str) -> str:
    return name.replace("/", "-") + "-awg"


def listed(name: str, key: str, column: str) -> float:
    entry = table(name).value(key, column)
    assert entry is not None, (name, key, column)
    assert isinstance(entry.value, float)
    return entry.value


def test_annealed_copper() -> None:
    """IEC 60028 as the Industrial Power Engineering Handbook, Table 30.1, prints it: 0.017241."""
    assert conductors.resistivity() * 1e6 == pytest.approx(0.017241, abs=5e-7)
    assert 1e-6 / conductors.resistivity() == pytest.approx(58.0, rel=1e-12)  # MS/m


# NEC chapter 9 Table 8, circular mils, as reproduced: three or four digits are printed
CIRCULAR_MILS = dict(
    zip(
        GAUGES,
        (1620, 2580, 4110, 6530, 10380, 16510, 26240, 41740, 52620, 66360, 83690, 105600, 133100,
         167800, 211600),
        strict=True,
    )
)  # fmt: skip


@pytest.mark.parametrize("name", GAUGES)
def test_circular_mils(name: str) -> None:
    """The printed figures are squares of mils rounded to 0.1, then rounded to tens or hundreds.

    So 0.05 mil of the diameter, 2 d 0.05 in the square, and half of the last digit printed.
    """
    mils = conductors.gauge_diameter(gauge_number(name)) / 0.0254e-3
    found = conductors.gauge_area(gauge_number(name)) / CIRCULAR_MIL
    last = 100 if CIRCULAR_MILS[name] > 100_000 else 10
    assert found == pytest.approx(CIRCULAR_MILS[name], abs=0.1 * mils + last / 2)


@pytest.mark.parametrize(
    ("name", "published"),
    [("14", 8.286), ("12", 5.211), ("10", 3.277), ("8", 2.061), ("6", 1.296), ("4", 0.815),
     ("2", 0.513), ("1/0", 0.323), ("2/0", 0.256), ("3/0", 0.203), ("4/0", 0.161)],
)  # fmt: skip
def test_ohm_per_kilometre(name: str, published: float) -> None:
    """A second wire table, as reproduced; its heading says 25 °C, its values are those of 20 °C.

    It prints 0.001 ohm/km of figures that were 0.0001 ohm/1000 ft: 0.0005 and 0.00016.
    """
    found = conductors.resistance(1000.0, conductors.gauge_area(gauge_number(name)))
    assert found == pytest.approx(published, abs=0.0007)


# NEC 2011 chapter 9 Table 8, ohm per 1000 ft at 75 °C, uncoated and coated, as reproduced
TABLE_8 = [
    ("18", 7.95, 8.45), ("16", 4.99, 5.29), ("14", 3.14, 3.26), ("12", 1.98, 2.05),
    ("10", 1.24, 1.29), ("8", 0.778, 0.809), ("6", 0.491, 0.510), ("4", 0.308, 0.321),
    ("3", 0.245, 0.254), ("2", 0.194, 0.201), ("1", 0.154, 0.160), ("1/0", 0.122, 0.127),
    ("2/0", 0.0967, 0.101), ("3/0", 0.0766, 0.0797), ("4/0", 0.0608, 0.0626),
]  # fmt: skip


@pytest.mark.parametrize(("name", "uncoated", "coated"), TABLE_8)
def test_building_wire(name: str, uncoated: float, coated: float) -> None:
    """Our table holds them in ohm/km with four digits: half of the fourth is 5e-4 at most."""
    for column, printed in (("uncoated", uncoated), ("coated", coated)):
        found = listed("building-resistance", row(name), column) * 1000 * FOOT
        assert found == pytest.approx(printed, rel=5e-4)


@pytest.mark.parametrize(("name", "uncoated", "_coated"), TABLE_8)
def test_the_formula_for_runs_against_building_wire(
    name: str, uncoated: float, _coated: float
) -> None:
    """What the program takes for a run: the gauge's area at 75 °C and 2 % for strands.

    Three digits are printed (0.4 %), and circular mils are rounded (0.3 % at 18 AWG).
    """
    area = conductors.gauge_area(gauge_number(name))
    found = STRANDED * conductors.resistance(1000 * FOOT, area, WORKING_TEMPERATURE)
    assert found == pytest.approx(uncoated, rel=5e-3)


# IEC 60228:2004 Tables 2 and 3, ohm/km at 20 °C, three reproductions that agree: mm2, class 2
# plain and tinned, class 5 plain and tinned
METRIC = [
    ("0.5", 36.0, 36.7, 39.0, 40.1), ("0.75", 24.5, 24.8, 26.0, 26.7),
    ("1", 18.1, 18.2, 19.5, 20.0), ("1.5", 12.1, 12.2, 13.3, 13.7),
    ("2.5", 7.41, 7.56, 7.98, 8.21), ("4", 4.61, 4.70, 4.95, 5.09),
    ("6", 3.08, 3.11, 3.30, 3.39), ("10", 1.83, 1.84, 1.91, 1.95),
    ("16", 1.15, 1.16, 1.21, 1.24), ("25", 0.727, 0.734, 0.780, 0.795),
    ("35", 0.524, 0.529, 0.554, 0.565), ("50", 0.387, 0.391, 0.386, 0.393),
    ("70", 0.268, 0.270, 0.272, 0.277), ("95", 0.193, 0.195, 0.206, 0.210),
    ("120", 0.153, 0.154, 0.161, 0.164), ("150", 0.124, 0.126, 0.129, 0.132),
    ("185", 0.0991, 0.100, 0.106, 0.108), ("240", 0.0754, 0.0762, 0.0801, 0.0817),
]  # fmt: skip


@pytest.mark.parametrize(("size", "plain_2", "tinned_2", "plain_5", "tinned_5"), METRIC)
def test_metric_classes(
    size: str, plain_2: float, tinned_2: float, plain_5: float, tinned_5: float
) -> None:
    key = size.replace(".", "-") + "-mm2"
    assert listed("metric-resistance", key, "area") == pytest.approx(float(size) * 1e-6)
    for column, printed in (
        ("class_2", plain_2),
        ("class_2_tinned", tinned_2),
        ("class_5", plain_5),
        ("class_5_tinned", tinned_5),
    ):
        found = listed("metric-resistance", key, column) * 1000
        assert found == pytest.approx(printed, rel=1e-12)


def test_no_metric_size_is_left_out() -> None:
    assert len(table("metric-resistance").rows) == len(METRIC)
    assert len(table("building-resistance").rows) == len(TABLE_8)


# FAA AC 43.13-1B Table 11-9 (2001): AWG, highest ohm per 1000 ft at 20 °C, circular mils
AIRCRAFT = [
    ("18", 6.23, 1900), ("16", 4.81, 2426), ("14", 3.06, 3831), ("12", 2.02, 5874),
    ("10", 1.26, 9354), ("8", 0.70, 16983), ("6", 0.44, 26818), ("4", 0.28, 42615),
    ("2", 0.18, 66500), ("1", 0.15, 81700), ("1/0", 0.12, 104500), ("2/0", 0.09, 133000),
    ("3/0", 0.07, 166500), ("4/0", 0.06, 210900),
]  # fmt: skip


@pytest.mark.parametrize(("name", "highest", "mils"), AIRCRAFT)
def test_stranded_copper_is_below_the_highest_of_tinned_aircraft_wire(
    name: str, highest: float, mils: float
) -> None:
    """The circular gives a highest resistance of tinned wire: plain copper of that area has less.

    No upper bound: tin and lay are not in our formula, and the last sizes have one digit.
    """
    found = STRANDED * conductors.resistance(1000 * FOOT, mils * CIRCULAR_MIL)
    assert found < highest, name


# SAE J1128 and J1127 as ABYC E-11 tabulates them, circular mils, as reproduced by trade pages; 8,
# 1 and 3/0 are known from memory only and are left out
SAE = [
    ("18", 1537), ("16", 2336), ("14", 3702), ("12", 5833), ("10", 9343), ("6", 24538),
    ("4", 37360), ("2", 62450), ("1/0", 98980), ("2/0", 125100), ("4/0", 205500),
]  # fmt: skip

SHEET = """
parts:
  packs: [{id: p, chemistry: lfp, cells_in_series: 16}]
  fuses: [{id: f, role: main, rating: 200 A}]
wiring:
  - {id: r, from: p.plus, to: f.in, material: copper, size_system: sae, gauge: %s AWG}
"""


@pytest.mark.parametrize(("name", "mils"), SAE)
def test_sae_size_is_never_taken_for_more_than_it_is(name: str, mils: float) -> None:
    """One factor serves all sizes: it must suit the smallest (12), and 4/0 has 9 % more then.

    The same source: SAE is 3 to 11 % below AWG. A wider gap than 10 % would be a wrong factor.
    """
    found = number(facts(SHEET % name), "r.conducting_area") / CIRCULAR_MIL
    assert 0.90 * mils < found <= mils


@pytest.mark.parametrize(
    ("drop", "system", "published"), [(0.36, 1.0, "12"), (0.36, 0.89, "10"), (0.96, 1.0, "16")]
)
def test_standard_size_for_a_drop(drop: float, system: float, published: str) -> None:
    """Boat supplier's example: 10 A over 21 ft, 3 % of 12 V: 12 AWG, or 10 in SAE sizes; 32 V: 16.

    The last is the next listed size above the printed 2352 circular mils (16 AWG is 2580).
    """
    needed = conductors.boat_area_for_drop(10.0, 21 * FOOT, drop)
    enough = [one for one in GAUGES if conductors.gauge_area(gauge_number(one)) * system >= needed]
    assert enough[0] == published
