"""Ratings, limits and shunts against the codes that print them."""

from __future__ import annotations

import math

import pytest

from advisor.physics import protection
from advisor.tables.reader import table
from advisor.units import parse_area


def ratings() -> tuple[float, ...]:
    return table("standard-ratings").numbers("rating")


@pytest.mark.parametrize(
    ("load", "rating"), [(40, 50), (48, 60), (32, 40), (24, 30), (16, 20), (12, 15)]
)
def test_continuous_load_and_its_device(load: float, rating: float) -> None:
    """NEC 210.20(A), 215.3 and 240.6(A): 125 % of the load, next standard rating."""
    needed = protection.continuous_rating(load)
    assert protection.next_standard_rating(needed, ratings()) == rating
    assert protection.continuous_load(rating) == pytest.approx(load)


@pytest.mark.parametrize(
    ("needed", "rating"), [(51, 60), (101, 110), (126, 150), (226, 250), (401, 450), (601, 700)]
)
def test_next_standard_rating(needed: float, rating: float) -> None:
    """NEC 240.6(A): 15 to 50 by fives, to 110 by tens, then 125, 150, 175, 200, 225, 250 ..."""
    assert protection.next_standard_rating(needed, ratings()) == rating


def test_no_standard_rating_above_the_largest() -> None:
    assert max(ratings()) == 6000  # NEC 240.6(A), from memory above 600 A
    assert math.isnan(protection.next_standard_rating(6001, ratings()))


def test_device_for_a_boat_cable_below_50_volts() -> None:
    """33 CFR 183.455: 150 % of Table 5; 4 AWG at 105 °C is 160 A, so 240 A."""
    ampacity = table("boat-ampacity").value("4-awg", "at_105")
    assert ampacity is not None
    assert ampacity.value == 160.0
    assert protection.device_upper_limit(ampacity.value, 48.0, ratings()) == 240.0


@pytest.mark.parametrize(
    ("ampacity", "limit"), [(160, 175), (245, 250), (15, 15), (385, 400), (10, 15), (5, 5)]
)
def test_device_for_a_boat_cable_from_50_volts(ampacity: float, limit: float) -> None:
    """33 CFR 183.455: no more than Table 5, or the next standard size if within 150 %.

    10 A: the next standard size, 15 A, is exactly 150 %, which is allowed.
    5 A: the next standard size, 15 A, is three times too large, so 5 A stays the limit.
    """
    assert protection.device_upper_limit(ampacity, 50.0, ratings()) == limit


@pytest.mark.parametrize(
    ("gauge", "column", "published"),
    [
        ("4-awg", "at_105", 160),
        ("4-0-awg", "at_90", 385),
        ("4-0-awg", "at_105", 445),
        ("1-awg", "at_75", 195),
        ("16-awg", "at_60", 15),
        ("2-0-awg", "at_105", 330),
    ],
)
def test_boat_cable_current(gauge: str, column: str, published: float) -> None:
    """33 CFR 183.425 Table 5."""
    entry = table("boat-ampacity").value(gauge, column)
    assert entry is not None
    assert entry.value == published
    assert entry.confidence == "read"


# Amperes that a boat supplier prints for 105 °C cable in a 50 °C engine space: the table times 0.85
ENGINE_SPACE = [17, 21, 30, 38, 51, 68, 102, 136, 153, 178, 208, 242, 280, 327, 378]


def test_engine_space_column_follows_from_the_table() -> None:
    """All 15 sizes, 18 to 4/0 AWG, in whole amperes; exact halves go down in that table."""
    found = [0.85 * amperes for amperes in table("boat-ampacity").numbers("at_105")]
    assert found == pytest.approx(ENGINE_SPACE, abs=0.5 + 1e-9)


@pytest.mark.parametrize(
    ("gauge", "amperes"), [("18 AWG", 10), ("16 AWG", 13), ("14 AWG", 18), ("12 AWG", 25)]
)
def test_cord_current(gauge: str, amperes: float) -> None:
    """NEC Table 400.5(A)(1), column B, as an appliance standard quotes it."""
    area = parse_area(gauge).value
    assert table("cord-ampacity").step("area", area, "ampacity") == amperes


@pytest.mark.parametrize(
    ("square_millimetres", "amperes"), [(1.5, 13), (1.0, 10), (2.0, 13), (2.5, 18), (0.75, None)]
)
def test_metric_cord_takes_the_next_smaller_gauge(
    square_millimetres: float, amperes: float | None
) -> None:
    """1.5 mm2 lies between 16 AWG (1.31 mm2) and 14 AWG (2.08 mm2, ASTM B258)."""
    found = table("cord-ampacity").step("area", square_millimetres * 1e-6, "ampacity")
    assert found == amperes


@pytest.mark.parametrize(
    ("circuit", "load"), [("15-on-15", 12), ("20-on-15", 12), ("20-on-20", 16), ("30-on-30", 24)]
)
def test_receptacle_load(circuit: str, load: float) -> None:
    """NEC Table 210.21(B)(2); each is 80 % of the receptacle, the rule of 210.23(A)(1)."""
    found = table("receptacle-limits")
    entry, receptacle = found.value(circuit, "load"), found.value(circuit, "receptacle_rating")
    assert entry is not None
    assert receptacle is not None
    assert entry.value == load
    assert protection.continuous_load(receptacle.value) == pytest.approx(load)


@pytest.mark.parametrize(
    ("kind", "volts", "amperes"),
    [
        ("blade", 32, 1000),
        ("bolt-on-strip", 32, 2000),
        ("single-bolt", 58, 2000),
    ],
)
def test_vehicle_fuse_classes(kind: str, volts: float, amperes: float) -> None:
    """Scopes of ISO 8820-3:2015 (also 58 V), ISO 8820-5:2015 and ISO 8820-6:2019."""
    found = table("fuse-classes")
    entry, breaking = found.value(kind, "dc_voltage"), found.value(kind, "interrupting")
    assert entry is not None
    assert breaking is not None
    assert (entry.value, breaking.value) == (volts, amperes)
    assert entry.confidence == breaking.confidence == "read"


def test_current_limiting_classes_break_20_kiloamperes() -> None:
    """SAND96-2797 (1996): UL direct-current rating 20,000 A for class RK1 and RK5."""
    entry = table("fuse-classes").value("class-rk", "interrupting")
    assert entry is not None
    assert (entry.value, entry.confidence) == (20000.0, "read")


def test_shunt() -> None:
    """Maker's note: 100 A / 50 mV is 0.5 milliohm; 500 A / 50 mV takes 25 W, 11.1 W at 333 A."""
    assert protection.shunt_resistance(100.0, 0.050) == pytest.approx(0.5e-3)
    large = protection.shunt_resistance(500.0, 0.050)
    assert large == pytest.approx(0.1e-3)
    assert protection.shunt_power(large, 500.0) == pytest.approx(25.0)
    limit = protection.shunt_continuous_limit(500.0)
    assert limit == pytest.approx(333, abs=0.5)
    assert protection.shunt_power(large, limit) == pytest.approx(11.1, abs=0.05)


def test_monitor_set_for_another_shunt_shows_a_multiple() -> None:
    """A 100 A / 50 mV shunt under a setting of 500 A / 50 mV shows five times the current."""
    assert protection.shunt_scale(0.5e-3, 500.0, 0.050) == pytest.approx(5.0)
    assert protection.shunt_scale(0.5e-3, 100.0, 0.050) == pytest.approx(1.0)
