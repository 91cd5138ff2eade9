"""Resistance by class and base: IEC 60228, NEC chapter 9 Table 8, aluminium, area for a drop."""

from __future__ import annotations

import math

import pytest

from advisor.physics import conductors
from advisor.tables.reader import table

CELSIUS = 273.15
FOOT = 0.3048
CIRCULAR_MIL = math.pi / 4 * 0.0254e-3**2

# IEC 60228 annex, as reproduced: °C, factor to 20 °C, three decimals
TO_20 = [
    (5, 1.064), (10, 1.042), (15, 1.020), (20, 1.000), (25, 0.980), (30, 0.962), (40, 0.926),
    (50, 0.893), (60, 0.862), (70, 0.833), (80, 0.806), (90, 0.781), (100, 0.758),
]  # fmt: skip


@pytest.mark.parametrize(("celsius", "factor"), TO_20)
def test_measured_resistance_to_20(celsius: float, factor: float) -> None:
    """The table is printed to 0.001, so half of that; at 15 °C it prints 1.020 for 1.0204."""
    found = conductors.measured_to_20(celsius + CELSIUS)
    assert found == pytest.approx(factor, abs=0.0005 + 1e-9)


@pytest.mark.parametrize("celsius", [5, 30, 60, 90])
def test_round_coefficient_against_the_exact_one(celsius: float) -> None:
    """0.004 against 0.00393: 0.00007 over 70 K is 0.5 % of the product at most."""
    product = conductors.measured_to_20(celsius + CELSIUS) * conductors.temperature_factor(
        celsius + CELSIUS
    )
    assert product == pytest.approx(1.0, abs=0.005)


def test_coefficient_on_two_bases() -> None:
    """NEC chapter 9 Table 8 note 2: 0.00323 on 75 °C; NBS Handbook 100: 0.00393 on 20 °C."""
    assert conductors.coefficient() == 0.00393
    assert conductors.coefficient(75 + CELSIUS) == pytest.approx(0.00323, abs=5e-6)


def test_aluminium_coefficient_on_75() -> None:
    """NEC chapter 9 Table 8 note 2, as reproduced: 0.00330 per kelvin for aluminium."""
    hot = 75 + CELSIUS
    slope = conductors.aluminium_temperature_factor(hot + 1, hot) - 1
    assert slope == pytest.approx(0.00330, abs=5e-6)


def test_aluminium_is_61_percent_of_copper() -> None:
    """61 % IACS for conductor aluminium, from memory; two digits, 0.5 of 61 is 0.8 %."""
    ratio = conductors.resistivity() / conductors.aluminium_resistivity()
    assert ratio == pytest.approx(0.61, abs=0.005)
    copper = conductors.resistance(3.0, 35e-6)
    assert conductors.aluminium_resistance(3.0, 35e-6) == pytest.approx(copper / ratio, rel=1e-12)


def test_every_metric_class_is_above_the_solid_copper_of_a_smaller_area() -> None:
    """IEC 60228 sets a highest resistance, so its copper is at most the nominal area.

    17.241 / 0.727 is 23.7 mm2 for 25 mm2. Down to 0.85 of the nominal in the sizes used for power.
    """
    found = table("metric-resistance")
    for row in found.rows:
        area, value = (found.value(row, one) for one in ("area", "class_2"))
        assert area is not None
        assert value is not None
        copper = conductors.resistivity() / (float(value.value) * float(area.value))
        assert 0.85 < copper < 1.0, row


def test_class_5_is_above_class_2_but_at_50_square_millimetres() -> None:
    """IEC 60228: class 5 at 50 mm2 is 0.386 ohm/km, class 2 0.387; the standard prints it so."""
    found = table("metric-resistance")
    lower = []
    for row in found.rows:
        second, fifth = found.value(row, "class_2"), found.value(row, "class_5")
        assert second is not None
        assert fifth is not None
        if float(fifth.value) < float(second.value):
            lower.append((row, float(second.value), float(fifth.value)))
    assert lower == [("50-mm2", pytest.approx(0.387e-3), pytest.approx(0.386e-3))]


def test_tinned_is_never_below_plain() -> None:
    for name, pairs in (
        ("metric-resistance", (("class_2", "class_2_tinned"), ("class_5", "class_5_tinned"))),
        ("building-resistance", (("uncoated", "coated"),)),
    ):
        found = table(name)
        for plain, tinned in pairs:
            assert all(
                one < other
                for one, other in zip(found.numbers(plain), found.numbers(tinned), strict=True)
            )


def test_building_resistance_is_one_constant() -> None:
    """NEC chapter 9 Table 8: R x CM is 12.87 ohm-cmil/ft for every stranded row, 3 digits printed.

    Half a unit of the last digit is up to 0.43 % (116 to 1000), and circular mils are rounded too.
    """
    found = table("building-resistance")
    for area, per_metre in zip(found.numbers("area"), found.numbers("uncoated"), strict=True):
        constant = per_metre * FOOT * area / CIRCULAR_MIL
        assert constant == pytest.approx(12.87, rel=5e-3)


def test_drop_of_a_pair_by_table_and_by_constant() -> None:
    """NEC VD = 2 L I R / 1000 with R of Table 8, and VD = 2 K I L / CM with K = 12.9.

    10 AWG, 24 A, 50 ft one way: 2 x 50 x 24 x 1.24 / 1000 = 2.976 V; 2 x 12.9 x 24 x 50 / 10380 =
    2.983 V. The table's three digits are 0.4 %.
    """
    value = table("building-resistance").value("10-awg", "uncoated")
    assert value is not None
    drop = conductors.round_trip_drop(24.0, 50 * FOOT, value.value)
    assert drop == pytest.approx(2.976, rel=5e-4)
    area = conductors.building_area_for_drop(24.0, 50 * FOOT, 2.983)
    assert area / CIRCULAR_MIL == pytest.approx(10380, rel=5e-4)
    assert conductors.building_area_for_drop(24.0, 50 * FOOT, drop) == pytest.approx(
        10380 * CIRCULAR_MIL, rel=4e-3
    )


@pytest.mark.parametrize(("drop", "published"), [(0.36, 6271), (0.96, 2352)])
def test_boat_area_for_a_drop(drop: float, published: float) -> None:
    """ABYC CM = K I L / E, K = 10.75, as reproduced: 10 A over 21 ft out and back, 3 % of 12 V
    and of 32 V. Printed to whole circular mils: 0.5.
    """
    found = conductors.boat_area_for_drop(10.0, 21 * FOOT, drop)
    assert found / CIRCULAR_MIL == pytest.approx(published, abs=0.5)


def test_boat_formula_takes_a_fifth_less_copper_than_the_building_formula() -> None:
    """K 10.75 against 12.9: 20 %. Length out and back in one, one way in the other."""
    boat = conductors.boat_area_for_drop(20.0, 12.0, 1.0)
    building = conductors.building_area_for_drop(20.0, 6.0, 1.0)
    assert building / boat == pytest.approx(1.2, abs=0.0005)


def test_aircraft_example_takes_no_8() -> None:
    """FAA AC 43.13-1B par. 11-68 example 1: 50 ft with its return, 20 A, 1 V allowed: No. 8.

    Table 11-9, tinned wire at 20 °C: No. 8 0.70, No. 10 1.26 ohm per 1000 ft. Plain solid copper of
    No. 10 would just do (0.999 V), which is why the class of the conductor counts.
    """
    eight, ten = (
        conductors.round_trip_drop(20.0, 25 * FOOT, ohms / (1000 * FOOT)) for ohms in (0.70, 1.26)
    )
    assert eight == pytest.approx(0.70)
    assert eight < 1.0 < ten
    solid = conductors.voltage_drop(20.0, 50 * FOOT, conductors.gauge_area(10))
    assert solid == pytest.approx(20 * 50 * 0.9989e-3, rel=1e-4)  # HyperPhysics, No. 10
