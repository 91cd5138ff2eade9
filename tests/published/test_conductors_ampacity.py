"""Ampacity on the building and the boat basis, bundles, hot places, and device distance."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.physics import ampacity, protection
from advisor.tables.reader import table

CELSIUS = 273.15
INCH = 0.0254


def listed(name: str, row: str, column: str) -> float:
    entry = table(name).value(row, column)
    assert entry is not None
    assert isinstance(entry.value, float)
    return entry.value


# NEC Table 310.15(B)(1), as the International Residential Code 2021 Table E3705.2 prints it: top of
# the band in °C, factor for 60, 75 and 90 °C insulation.
AMBIENT = [
    (10, 1.29, 1.20, 1.15), (15, 1.22, 1.15, 1.12), (20, 1.15, 1.11, 1.08), (25, 1.08, 1.05, 1.04),
    (30, 1.00, 1.00, 1.00), (35, 0.91, 0.94, 0.96), (40, 0.82, 0.88, 0.91), (45, 0.71, 0.82, 0.87),
    (50, 0.58, 0.75, 0.82), (55, 0.41, 0.67, 0.76), (60, None, 0.58, 0.71), (65, None, 0.47, 0.65),
    (70, None, 0.33, 0.58), (75, None, None, 0.50), (80, None, None, 0.41), (85, None, None, 0.29),
]  # fmt: skip
AMBIENT_CASES = [
    (insulation, top, factor)
    for top, *factors in AMBIENT
    for insulation, factor in zip((60, 75, 90), factors, strict=True)
    if factor is not None
]


@pytest.mark.parametrize(("insulation", "ambient", "factor"), AMBIENT_CASES)
def test_ambient_factor(insulation: float, ambient: float, factor: float) -> None:
    """The equation at the hot end of each 5 K band gives the table, printed to 0.01."""
    found = ampacity.ambient_factor(insulation + CELSIUS, ambient + CELSIUS)
    assert found == pytest.approx(factor, abs=0.005 + 1e-9)


@pytest.mark.parametrize(
    ("insulation", "published"), [(60, 0.58), (75, 0.75), (90, 0.82), (125, 0.89)]
)
def test_engine_space_factors_follow_the_ambient_equation(
    insulation: int, published: float
) -> None:
    """33 CFR 183.425 note 1 at 50 °C; these are from memory, the equation is their second source.

    Three do not follow it: 105 °C (0.85, as reproduced) is below its 0.856, 80 °C (0.78) above its
    0.775 and 200 °C (1.00) above its 0.939. The last two have no second source.
    """
    assert listed("boat-factors", f"engine-{insulation}", "factor") == published
    found = ampacity.ambient_factor(insulation + CELSIUS, 50 + CELSIUS)
    assert found == pytest.approx(published, abs=0.005)


def test_engine_space_factors_without_a_second_source_are_marked_so() -> None:
    for row in ("engine-80", "engine-200"):
        entry = table("boat-factors").value(row, "factor")
        assert entry is not None
        assert entry.confidence == "memory"


def test_engine_space_factor_of_105_degrees_is_on_the_safe_side_of_the_equation() -> None:
    found = ampacity.ambient_factor(105 + CELSIUS, 50 + CELSIUS)
    published = listed("boat-factors", "engine-105", "factor")
    assert published == 0.85
    assert published < found == pytest.approx(published, rel=0.01)


@pytest.mark.parametrize(
    ("count", "factor"),
    [(3, None), (4, 0.8), (6, 0.8), (7, 0.7), (9, 0.7), (10, 0.5), (20, 0.5), (21, 0.45),
     (30, 0.45), (31, 0.40), (40, 0.40), (41, 0.35), (90, 0.35)],
)  # fmt: skip
def test_building_bundle(count: int, factor: float | None) -> None:
    """NEC Table 310.15(C)(1), as reproduced: 4-6, 7-9, 10-20, 21-30, 31-40, 41 and more."""
    assert table("building-factors").step("count", count, "factor") == factor


@pytest.mark.parametrize(
    ("count", "factor"),
    [(2, None), (3, 0.7), (4, 0.6), (6, 0.6), (7, 0.5), (24, 0.5), (25, 0.4), (99, 0.4)],
)
def test_boat_bundle(count: int, factor: float | None) -> None:
    """33 CFR 183.425 note 2, as reproduced: 3, 4-6, 7-24, 25 and more."""
    assert table("boat-factors").step("count", count, "factor") == factor


@pytest.mark.parametrize(
    ("gauge", "column", "published"),
    [("14-awg", "at_60", 15), ("12-awg", "at_60", 20), ("1-awg", "at_75", 130),
     ("3-awg", "at_90", 115), ("1-awg", "at_90", 145), ("4-0-awg", "at_75", 230),
     ("2-0-awg", "at_90", 195), ("10-awg", "device_limit", 30)],
)  # fmt: skip
def test_building_current(gauge: str, column: str, published: float) -> None:
    """NEC Table 310.16 of 2011 and later, where editions differ; 240.4(D)."""
    assert listed("building-ampacity", gauge, column) == published


def test_the_boat_table_is_the_more_generous_one_for_every_size_it_shares() -> None:
    """33 CFR 183.425 Table 5 is for single conductors in air, NEC 310.16 for three in a raceway."""
    for row in table("building-ampacity").rows:
        for column in ("at_60", "at_75", "at_90"):
            if table("building-ampacity").value(row, column) is not None:
                boat = listed("boat-ampacity", row, column)
                assert boat >= listed("building-ampacity", row, column)


def test_building_currents_rise_with_copper_and_insulation() -> None:
    found = table("building-ampacity")
    for column in ("area", "at_60", "at_75", "at_90"):
        values = found.numbers(column)
        assert list(values) == sorted(set(values))
    for row in found.rows[2:]:
        across = [listed("building-ampacity", row, c) for c in ("at_60", "at_75", "at_90")]
        assert across == sorted(across)


def test_bundle_counts_from_50_volts_on_a_boat() -> None:
    """33 CFR 183.435(b): a 48 V circuit keeps Table 5 in a bundle, a 72 V one does not.

    4 AWG at 105 °C, 160 A; four in a bundle 0.60, that is 96 A.
    """
    current = listed("boat-ampacity", "4-awg", "at_105")
    factor = table("boat-factors").step("count", 4, "factor")
    assert ampacity.boat_ampacity(current, 48.0, factor) == 160.0
    assert ampacity.boat_ampacity(current, 72.0, factor) == pytest.approx(96.0)
    assert ampacity.boat_ampacity(current, 50.0, factor) == pytest.approx(96.0)
    # 2/0 AWG in an engine space: 0.85 x 330 = 280.5 A, printed 280 A by a boat supplier
    hot = listed("boat-factors", "engine-105", "factor")
    assert ampacity.boat_ampacity(330.0, 48.0, 1.0, hot) == pytest.approx(280, abs=0.5 + 1e-9)


def test_building_current_in_a_hot_bundle() -> None:
    """NEC: 3 AWG, 90 °C, 115 A; at 50 °C times 0.82, six loaded times 0.80: 75.4 A.

    The table's 0.82 is the equation's 0.8165 rounded: 0.5 %.
    """
    found = ampacity.building_ampacity(115.0, 90 + CELSIUS, 50 + CELSIUS, 0.80)
    assert found == pytest.approx(115 * 0.82 * 0.80, rel=0.005)


@given(st.floats(-20, 140), st.floats(-20, 140))
def test_hotter_never_carries_more(one: float, other: float) -> None:
    cool, hot = sorted((one, other))
    at_cool, at_hot = (ampacity.ambient_factor(378.15, t + CELSIUS) for t in (cool, hot))
    assert at_hot <= at_cool


def test_nothing_is_carried_where_the_place_is_as_hot_as_the_insulation_may_be() -> None:
    at = np.array([80.0, 90.0, 120.0, math.nan]) + CELSIUS
    found = ampacity.ambient_factor(90 + CELSIUS, at)
    np.testing.assert_allclose(found, [math.sqrt(10 / 60), 0.0, 0.0, math.nan], equal_nan=True)


@pytest.mark.parametrize(
    ("sheathed", "battery", "inches"), [(0, 0, 7), (0, 1, 7), (1, 0, 40), (1, 1, 72)]
)
def test_device_distance(sheathed: float, battery: float, inches: float) -> None:
    """ABYC E-11, as reproduced (7, 40, 72 in); 33 CFR 183.455 (7 and 40 in)."""
    found = protection.device_distance_limit(sheathed, battery)
    assert found == pytest.approx(inches * INCH, rel=1e-12)


@pytest.mark.parametrize(
    ("current", "device"), [(130, 150), (150, 150), (230, 250), (785, 800), (850, 850)]
)
def test_device_for_a_building_conductor(current: float, device: float) -> None:
    """NEC 240.4(B) and (C), from memory: next standard rating up to 800 A, above it none higher.

    Standard ratings: 240.6(A).
    """
    ratings = table("standard-ratings").numbers("rating")
    assert protection.building_device_limit(current, ratings) == device
