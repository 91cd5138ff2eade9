"""Invented curves of device classes, against gates that standards set for such devices.

Gates of UL 248-14 as a maker's fuse guide prints them. The others are from memory: UL 248-8, -12
and -15 for classes J, R and T, UL 489 for breakers, ISO 8820-3 for blade and 8820-5 for strip
fuses. A typical curve that leaves the gates of its class would be a wrong one.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest

from advisor.physics.curves import opening_time
from advisor.sheet.curves import read_curve
from advisor.tables.curves import curve_of
from advisor.tables.reader import table
from advisor.vocabulary.protection import BREAKER, FUSE

KINDS = [
    kind
    for subject in (FUSE, BREAKER)
    for one in subject.attributes
    if one.name == "kind"
    for kind in one.choices
]

BREAKERS = KINDS[-4:]


def opens(kind: str, multiple: float) -> float:
    """Opening time (s) at a multiple of the rating."""
    found = curve_of(kind)
    assert found is not None
    return float(opening_time(multiple, *found))


def test_every_kind_of_fuse_and_breaker_has_a_curve_and_no_other() -> None:
    listed = {str(one.value) for (_, name), one in table("device-curves").cells.items()
              if name == "kind"}  # fmt: skip
    assert listed == set(KINDS)
    assert curve_of("wire") is None


def test_the_table_says_that_it_is_invented() -> None:
    found = table("device-curves")
    assert "INVENTED FOR THE DEMO" in " ".join(found.notes)
    assert {one.confidence for one in found.cells.values()} == {"invented"}


@pytest.mark.parametrize("kind", KINDS)
def test_multiples_rise_and_times_fall(kind: str) -> None:
    found = curve_of(kind)
    assert found is not None
    multiples, times = found
    assert len(multiples) == len(times) >= 4
    assert all(low < high for low, high in pairwise((1.0, *multiples)))
    assert all(long > short > 0 for long, short in pairwise(times))


@pytest.mark.parametrize("kind", KINDS)
def test_a_device_carries_its_rating(kind: str) -> None:
    """Every standard named above: no opening at 100 %; ISO 8820-3: 100 h at 110 %."""
    assert opens(kind, 1.0) == math.inf
    assert opens(kind, 1.1) == math.inf


@pytest.mark.parametrize(
    "kind",
    [
        "class-t",
        "class-j",
        "class-rk",
        "thermal",
        "magnetic",
        "hydraulic-magnetic",
        "supplementary",
    ],
)
def test_opens_within_an_hour_at_135_and_two_minutes_at_200_percent(kind: str) -> None:
    """UL 248-14, 0 to 30 A (fuse guide); UL 248-8, -12, -15 and UL 489 allow longer above 30 A."""
    assert opens(kind, 1.35) <= 3600.0
    assert opens(kind, 2.0) <= 120.0


@pytest.mark.parametrize(
    ("kind", "multiple", "least", "most"),
    [
        ("blade", 1.35, 0.75, 600.0),
        ("blade", 2.0, 0.15, 5.0),
        ("blade", 3.5, 0.04, 0.5),
        ("blade", 6.0, 0.02, 0.1),
        ("bolt-on-strip", 1.35, 120.0, 1800.0),
        ("bolt-on-strip", 2.0, 1.0, 15.0),
        ("bolt-on-strip", 3.5, 0.3, 5.0),
        ("bolt-on-strip", 6.0, 0.1, 1.0),
    ],
)
def test_road_vehicle_fuses_stay_within_both_gates(
    kind: str, multiple: float, least: float, most: float
) -> None:
    """ISO 8820-3 for blade and ISO 8820-5 for strip fuses, both from memory."""
    assert least <= opens(kind, multiple) <= most


@pytest.mark.parametrize("kind", ["class-t", "class-j", "class-rk", "semiconductor"])
def test_current_limiting_classes_open_within_half_a_cycle(kind: str) -> None:
    """Current limiting means clearing within half a cycle of 60 Hz, 8.3 ms, at a high current."""
    assert opens(kind, 20.0) <= 1 / 120


def test_faster_classes_open_sooner() -> None:
    """Semiconductor fuses are the fastest, then T, J and R: common practice, no source."""
    times = [opens(kind, 5.0) for kind in ("semiconductor", "class-t", "class-j", "class-rk")]
    assert times == sorted(times)


@pytest.mark.parametrize("kind", KINDS)
def test_a_sheet_could_state_the_same_curve(kind: str) -> None:
    found = curve_of(kind)
    assert found is not None
    text = ", ".join(f"{at:g} x {time:g} s" for at, time in zip(*found, strict=True))
    assert read_curve(text) == found
