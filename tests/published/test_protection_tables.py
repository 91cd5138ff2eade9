"""Standard ratings, cords, a bank's fault current through the nodal solver, fuses by voltage."""

from __future__ import annotations

from itertools import pairwise

import pytest

from advisor.physics.cells import series_voltage
from advisor.physics.circuit import Link, Network, Source
from advisor.physics.faults import Responses, fault_current
from advisor.physics.protection import device_upper_limit, next_standard_rating
from advisor.tables.reader import table
from advisor.units import parse_area


def number(name: str, row: str, column: str) -> float:
    entry = table(name).value(row, column)
    assert entry is not None, (name, row, column)
    assert isinstance(entry.value, float)
    return entry.value


# NEC 240.6(A) before 2023, as a builders' site reproduces it to 600 A; above from memory
READ = (
    15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300,
    350, 400, 450, 500, 600,
)  # fmt: skip
REMEMBERED = (700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000)


def test_every_standard_rating() -> None:
    assert table("standard-ratings").numbers("rating") == (*READ, *REMEMBERED)


@pytest.mark.parametrize("rating", REMEMBERED)
def test_a_rating_that_nobody_has_read_says_so(rating: int) -> None:
    entry = table("standard-ratings").value(f"{rating}-a", "rating")
    assert entry is not None
    assert entry.confidence == "memory"


@pytest.mark.parametrize(("low", "high"), list(pairwise(READ)))
def test_just_above_a_rating_takes_the_next_one(low: int, high: int) -> None:
    ratings = table("standard-ratings").numbers("rating")
    assert next_standard_rating(float(low), ratings) == low
    assert next_standard_rating(low + 0.1, ratings) == high


@pytest.mark.parametrize("ampacity", [12.0, 30.0, 55.0, 97.0, 160.0, 385.0])
def test_device_of_a_small_ship(ampacity: float) -> None:
    """46 CFR 183.380(d): the next larger device, and no more than 150 % of the ampacity.

    33 CFR 183.455 says the same from 50 V on; the larger of the two laws' devices is this one.
    """
    ratings = table("standard-ratings").numbers("rating")
    found = device_upper_limit(ampacity, 60.0, ratings)
    larger = min(one for one in ratings if one >= ampacity)
    assert found == (larger if larger <= 1.5 * ampacity else ampacity)
    assert found <= 1.5 * ampacity


@pytest.mark.parametrize(
    ("gauge", "amperes"), [("18", 10), ("17", 12), ("16", 13), ("14", 18), ("12", 25)]
)
def test_every_cord_that_was_read(gauge: str, amperes: float) -> None:
    """NEC Table 400.5(A)(1), column B, as an appliance standard quotes it."""
    area = parse_area(f"{gauge} AWG").value
    assert table("cord-ampacity").step("area", area, "ampacity") == amperes
    entry = table("cord-ampacity").value(f"{gauge}-awg", "ampacity")
    assert entry is not None
    assert entry.confidence == "secondary"


def test_fault_current_of_a_bank_by_nodal_analysis() -> None:
    """ABYC E-11, as quoted by a fuse maker: six 6 V blocks, 2 in series, 3 parallel, 2400 A each.

    Strings add, blocks in series do not: 7200 A. Here no bank rule is used, only the circuit.
    """
    sources, links = [], []
    for n in "abc":
        sources += [
            Source(f"low-{n}", f"mid-{n}", f"foot-{n}", 6.0, 6.0 / 2400),
            Source(f"high-{n}", f"top-{n}", f"mid-{n}", 6.0, 6.0 / 2400),
        ]
        links += [Link(f"l{n}", f"foot-{n}", "minus"), Link(f"h{n}", f"top-{n}", "plus")]
    bank = Network(sources=tuple(sources), links=tuple(links))
    assert fault_current(bank, "plus", "minus") == pytest.approx(7200.0, rel=1e-9)
    assert Responses(bank).fault("plus", "minus") == pytest.approx(7200.0, rel=1e-9)
    assert fault_current(bank, "mid-a", "minus") > 2400.0  # one block, and the others through it


@pytest.mark.parametrize(("cells", "suits"), [(15, True), (16, False), (20, False)])
def test_fuses_of_58_volts_end_below_sixteen_cells(cells: int, suits: bool) -> None:
    """ISO 8820-6:2019: 58 V. LFP full at 3.65 V a cell (from memory): 54.75, 58.4 and 73.0 V."""
    full = series_voltage(cells, number("chemistry", "lfp", "charge_max"))
    assert full == pytest.approx({15: 54.75, 16: 58.4, 20: 73.0}[cells])
    assert (full <= number("fuse-classes", "single-bolt", "dc_voltage")) is suits


def test_fuses_of_a_12_or_24_volt_vehicle_suit_no_traction_battery() -> None:
    """ISO 8820-3:2015 and 8820-5:2015: 32 V (blades also 58 V, by their mark).

    12 LFP cells, the least for 36 V: 43.8 V.
    """
    full = series_voltage(12, number("chemistry", "lfp", "charge_max"))
    for kind in ("blade", "bolt-on-strip"):
        assert number("fuse-classes", kind, "dc_voltage") < full
