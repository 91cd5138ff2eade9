"""Cable runs against the boat rules and hand-worked numbers; each says which."""

from __future__ import annotations

import pytest

from advisor.facts import Facts
from tests.facts.making import facts, known, number, unknown

BASE = """
use: {battery_current_sustained: 100 A}
battery: {packs_in_series: 1}
parts:
  packs: [{id: p, chemistry: lfp, cells_in_series: %s}]
  fuses:
    - {id: main-fuse, role: main, rating: 200 A}
    - {id: charge-fuse, role: charge, rating: 40 A}
  chargers: [{id: chg, current_max: 18 A}]
wiring:
  - {id: r, from: p.plus, to: main-fuse.in, %s}
"""
WHOLE = "material: copper, size_system: awg, insulation_temperature: 105 degC, "


def run(text: str, cells: int = 16) -> Facts:
    return facts(BASE % (cells, text))


@pytest.mark.parametrize(
    ("text", "cells", "amperes"),
    [
        ("gauge: 4 AWG, place: free-air, bundle: 1", 16, 160),  # 33 CFR 183.425 Table 5
        ("gauge: 4/0 AWG, place: free-air, bundle: 1", 16, 445),  # 33 CFR 183.425 Table 5
        ("gauge: 2/0 AWG, place: motor-space, bundle: 1", 16, 280.5),  # 330 x 0.85
        ("gauge: 4 AWG, place: sheathed, bundle: 3", 16, 112),  # 51.2 V: 160 x 0.70
        ("gauge: 4 AWG, place: sheathed, bundle: 3", 12, 160),  # 38.4 V: bundles do not count
        ("gauge: 35 mm2, place: free-air, bundle: 1", 16, 210),  # 2 AWG is 33.6 mm2
    ],
)
def test_ampacity(text: str, cells: int, amperes: float) -> None:
    fact = known(run(WHOLE + "circuit: traction, " + text, cells), "r.ampacity")
    assert fact.value == pytest.approx(amperes)
    assert not fact.assumed


def test_lower_insulation_counts_by_its_own_column() -> None:
    """2/0 AWG at 90 °C: 285 A; 80 °C is used for a mark of 85 °C (33 CFR 183.425 Table 5)."""
    text = "circuit: traction, material: copper, size_system: awg, gauge: 2/0 AWG, bundle: 1, "
    for mark in ("90 degC", "85 degC"):
        found = run(f"{text}place: free-air, insulation_temperature: {mark}")
        assert number(found, "r.ampacity") == pytest.approx(285)


def building(text: str, ambient: str = "10 degC .. 40 degC") -> Facts:
    changed = f"wiring_basis: building, ambient: {ambient}, battery_current"
    return facts(
        (BASE % (16, WHOLE.replace("105", "90") + text)).replace("battery_current", changed)
    )


@pytest.mark.parametrize(
    ("text", "amperes"),
    [
        # NEC Table 310.16, 90 °C, and 310.15(B): sqrt((90 - 40) / (90 - 30)); printed factor 0.91
        ("gauge: 4 AWG, place: free-air, bundle: 1", 95 * (50 / 60) ** 0.5),
        ("gauge: 4 AWG, place: sheathed, bundle: 4", 95 * (50 / 60) ** 0.5 * 0.80),
        ("gauge: 2/0 AWG, place: motor-space, bundle: 1", 195 * (40 / 60) ** 0.5),
    ],
)
def test_ampacity_on_the_building_basis(text: str, amperes: float) -> None:
    fact = known(building("circuit: traction, " + text), "r.ampacity")
    assert fact.value == pytest.approx(amperes)
    assert not fact.assumed


def test_the_building_basis_needs_the_air_around() -> None:
    text = BASE % (16, WHOLE + "circuit: traction, gauge: 4 AWG, bundle: 1, place: free-air")
    found = facts(text.replace("battery_current", "wiring_basis: building, battery_current"))
    assert "use.ambient" in "".join(unknown(found, "r.ampacity").facts)


@pytest.mark.parametrize(
    ("gauge", "amperes"),
    [
        ("4 AWG", 90),  # 86.7 A, next standard rating of NEC 240.6(A) by 240.4(B)
        ("12 AWG", 20),  # NEC 240.4(D)
        ("10 AWG", 30),  # NEC 240.4(D)
    ],
)
def test_largest_device_on_the_building_basis(gauge: str, amperes: float) -> None:
    found = building(f"circuit: traction, place: free-air, bundle: 1, gauge: {gauge}")
    assert number(found, "r.device_allowed") == pytest.approx(amperes)


def test_an_unmarked_cable_is_only_assumed() -> None:
    fact = known(run("circuit: traction, gauge: 2/0 AWG"), "r.ampacity")
    assert fact.assumed
    assert fact.value == pytest.approx(265)


@pytest.mark.parametrize(("cells", "amperes"), [(12, 240), (16, 175)])
def test_largest_device(cells: int, amperes: float) -> None:
    """4 AWG of 160 A: 150 % is 240 A below 50 V; from 50 V the next standard rating, 175 A
    (33 CFR 183.455, NEC 240.6(A))."""
    text = WHOLE + "circuit: traction, gauge: 4 AWG, place: free-air, bundle: 1"
    assert number(run(text, cells), "r.device_allowed") == pytest.approx(amperes)


def test_resistance_and_drop() -> None:
    """2/0 AWG is 0.2557 ohm/km at 20 °C and 0.3110 at 75 °C (0.00393/K), 2 % more for strands."""
    found = run(WHOLE + "circuit: traction, gauge: 2/0 AWG, length: 10 m")
    assert number(found, "r.resistance") == pytest.approx(0.3110e-2 * 1.02, rel=1e-3)
    assert number(found, "battery.traction_drop") == pytest.approx(100 * 0.3110e-2 * 1.02, rel=1e-3)


def test_copper_clad_aluminium_is_worth_less() -> None:
    """1.6 times the resistivity of copper (from memory): 67.43 mm2 is worth 42.1 mm2."""
    found = run("circuit: traction, gauge: 2/0 AWG, material: cca, size_system: awg")
    assert number(found, "r.conducting_area") == pytest.approx(67.43e-6 / 1.6, rel=1e-3)
    found = run("circuit: traction, gauge: 2/0 AWG, material: cca")
    assert number(found, "r.conducting_area") == pytest.approx(67.43e-6 / 1.6, rel=1e-3)


def test_current_and_device_follow_the_circuit() -> None:
    found = run("circuit: charge, gauge: 8 AWG")
    assert number(found, "r.current_carried") == pytest.approx(18)
    assert number(found, "r.device_rating") == pytest.approx(40)
    named = run("circuit: charge, gauge: 8 AWG, protected_by: main-fuse")
    assert number(named, "r.device_rating") == pytest.approx(200)


def test_a_run_without_circuit_asks_for_it() -> None:
    assert unknown(run("gauge: 8 AWG"), "r.current_carried").facts == {"r.circuit"}


def test_the_drop_is_open_while_one_traction_run_is() -> None:
    text = BASE % (16, WHOLE + "circuit: traction, gauge: 2/0 AWG, length: 1 m")
    text += "  - {id: s, from: main-fuse.out, to: p.minus, circuit: traction, gauge: 2/0 AWG}\n"
    unknown(facts(text), "battery.traction_drop")
