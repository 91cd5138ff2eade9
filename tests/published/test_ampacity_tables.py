"""Whole ampacity tables, each printed value, and the heat balance of a run against them.

The rows are copied from the sources that are named, not from the tables of the program.
"""

from __future__ import annotations

import math

import pytest

from advisor.facts.runs import STRANDED
from advisor.physics import conductors, heat
from advisor.tables.reader import table

CELSIUS = 273.15


def gauge_number(name: str) -> int:
    """1/0 is 0, 2/0 is -1 and so on, as in the formula of ASTM B258."""
    return 1 - int(name[0]) if name.endswith("/0") else int(name)


def listed(name: str, gauge: str, column: str) -> float | None:
    entry = table(name).value(gauge.replace("/", "-") + "-awg", column)
    if entry is None:
        return None
    assert isinstance(entry.value, float)
    return entry.value


# 33 CFR 183.425 Table 5, A, insulation of 60, 75, 80, 90, 105, 125 and 200 °C
INSULATIONS = (60, 75, 80, 90, 105, 125, 200)
BOAT = [
    ("18", 10, 10, 15, 20, 20, 25, 25), ("16", 15, 15, 20, 25, 25, 30, 35),
    ("14", 20, 20, 25, 30, 35, 40, 45), ("12", 25, 25, 35, 40, 45, 50, 55),
    ("10", 40, 40, 50, 55, 60, 70, 70), ("8", 55, 65, 70, 70, 80, 90, 100),
    ("6", 80, 95, 100, 100, 120, 125, 135), ("4", 105, 125, 130, 135, 160, 170, 180),
    ("3", 120, 145, 150, 155, 180, 195, 210), ("2", 140, 170, 175, 180, 210, 225, 240),
    ("1", 165, 195, 210, 210, 245, 265, 280), ("1/0", 195, 230, 245, 245, 285, 305, 325),
    ("2/0", 225, 265, 285, 285, 330, 355, 370), ("3/0", 260, 310, 330, 330, 385, 410, 430),
    ("4/0", 300, 360, 385, 385, 445, 475, 510),
]  # fmt: skip


@pytest.mark.parametrize("printed", BOAT, ids=[str(one[0]) for one in BOAT])
def test_boat_currents(printed: tuple[str | float, ...]) -> None:
    gauge, *currents = printed
    found = [listed("boat-ampacity", str(gauge), f"at_{one}") for one in INSULATIONS]
    assert found == currents


# NEC Table 310.16, 2011 and later, as reproduced, A, 60, 75 and 90 °C insulation
BUILDING = [
    ("18", None, None, 14), ("16", None, None, 18), ("14", 15, 20, 25), ("12", 20, 25, 30),
    ("10", 30, 35, 40), ("8", 40, 50, 55), ("6", 55, 65, 75), ("4", 70, 85, 95),
    ("3", 85, 100, 115), ("2", 95, 115, 130), ("1", 110, 130, 145), ("1/0", 125, 150, 170),
    ("2/0", 145, 175, 195), ("3/0", 165, 200, 225), ("4/0", 195, 230, 260),
]  # fmt: skip


@pytest.mark.parametrize("printed", BUILDING, ids=[str(one[0]) for one in BUILDING])
def test_building_currents(printed: tuple[str | float | None, ...]) -> None:
    gauge, *currents = printed
    found = [listed("building-ampacity", str(gauge), f"at_{one}") for one in (60, 75, 90)]
    assert found == currents


def test_the_table_is_not_the_one_before_2011() -> None:
    """2005 and 2008, as reproduced: 14 and 12 AWG 20 and 25 A at 60 °C, 3 AWG 110, 1 AWG 150."""
    older = {("14", 60): 20, ("12", 60): 25, ("3", 90): 110, ("1", 90): 150}
    for (gauge, column), before in older.items():
        assert listed("building-ampacity", gauge, f"at_{column}") not in (None, before)


@pytest.mark.parametrize(("gauge", "amperes"), [("14", 15), ("12", 20), ("10", 30)])
def test_small_conductors_have_a_limit_of_their_own(gauge: str, amperes: float) -> None:
    """NEC 240.4(D), as reproduced."""
    assert listed("building-ampacity", gauge, "device_limit") == amperes


def test_no_size_is_left_out() -> None:
    assert len(table("boat-ampacity").rows) == len(BOAT)
    assert len(table("building-ampacity").rows) == len(BUILDING)


def test_a_four_ought_cable_on_both_bases() -> None:
    """The same copper, 445 A by 33 CFR 183.425 at 105 °C and 230 A by the NEC at 75 °C."""
    assert listed("boat-ampacity", "4/0", "at_105") == 445
    assert listed("building-ampacity", "4/0", "at_75") == 230


def _conductor(
    gauge: str, amperes: float, ambient: float, insulation_resistivity: float = 5.0
) -> float:
    """Temperature (K) of the conductor of a run alone in still air, by the heat balance.

    The insulation has the thickness of usual battery and primary cable (1.6 mm on the radius from
    7 AWG up, 0.8 mm below; common practice, no source), emissivity 0.9.
    """
    area = conductors.gauge_area(gauge_number(gauge))
    inner = math.sqrt(4 * area / math.pi) * 1.15
    outer = inner + (3.2e-3 if area > 10e-6 else 1.6e-3)
    per_metre = STRANDED * conductors.resistance(1.0, area)
    surface = heat.steady_temperature(amperes, per_metre, outer, ambient, 0.9)
    loss = heat.heat_loss(surface, ambient, outer, 0.9)
    return float(surface + heat.insulation_rise(loss, inner, outer, insulation_resistivity))


# Not 200 °C: the table's note gives it a factor of 1.00 at 50 °C, so it is not made like the rest.
BOAT_CASES = [
    (str(gauge), insulation, float(amperes))
    for gauge, *currents in BOAT
    for insulation, amperes in zip(INSULATIONS, currents, strict=True)
    if insulation <= 125
]


@pytest.mark.parametrize(("gauge", "insulation", "amperes"), BOAT_CASES)
def test_listed_current_heats_a_lone_run_no_more_than_its_insulation_stands(
    gauge: str, insulation: float, amperes: float
) -> None:
    """33 CFR 183.425 Table 5 is for single conductors in air of 30 °C.

    The listed current must not bring a lone run above its rating (that would prove one of the two
    wrong), and should warm it by a good part of the rise it is listed for. What part is not
    printed: a third is our choice, for figures rounded to 5 A that do not say how the run lies.
    """
    rise = _conductor(gauge, amperes, 30 + CELSIUS) - (30 + CELSIUS)
    assert (insulation - 30) / 3 < rise <= insulation - 30


# FAA AC 43.13-1B Table 11-9: A in a bundle at 70 °C ambient and 60 000 ft, 105, 150, 200 °C wire
AIRCRAFT = [
    ("18", 6, 9, 12), ("16", 7, 11, 14), ("14", 10, 14, 18), ("12", 13, 19, 25),
    ("10", 17, 26, 32), ("8", 38, 57, 71), ("6", 50, 76, 97), ("4", 68, 103, 133),
    ("2", 95, 141, 179), ("1", 113, 166, 210), ("1/0", 128, 192, 243), ("2/0", 147, 222, 285),
    ("3/0", 172, 262, 335), ("4/0", 204, 310, 395),
]  # fmt: skip


@pytest.mark.parametrize("printed", AIRCRAFT, ids=[str(one[0]) for one in AIRCRAFT])
def test_bundle_of_thin_air_carries_less_than_a_lone_run(
    printed: tuple[str | float, ...],
) -> None:
    """9 to 33 wires in a bundle, air of a fourteenth of the density: far below a lone run in ours.

    A bound, not a match: the program offers no aircraft basis.
    """
    gauge, *currents = printed
    for insulation, amperes in zip((105, 150, 200), currents, strict=True):
        assert _conductor(str(gauge), float(amperes), 70 + CELSIUS) < insulation + CELSIUS
