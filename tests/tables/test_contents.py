"""Tables agree with themselves, with the vocabulary, and with what is physically possible."""

from __future__ import annotations

import pytest

from advisor.tables.reader import table
from advisor.vocabulary.battery import CHEMISTRIES
from advisor.vocabulary.protection import FUSE

LITHIUM = ("lfp", "nmc", "nca", "lmo", "lto")
LEAD = ("lead-flooded", "lead-agm", "lead-gel")


def number(name: str, row: str, column: str) -> float:
    found = table(name).value(row, column)
    assert found is not None, (name, row, column)
    assert isinstance(found.value, float)
    return found.value


def test_every_chemistry_of_a_build_sheet_has_a_row() -> None:
    assert set(table("chemistry").rows) == set(CHEMISTRIES.split())


def test_every_kind_of_fuse_of_a_build_sheet_has_a_row() -> None:
    kinds = next(one for one in FUSE.attributes if one.name == "kind")
    assert set(table("fuse-classes").rows) == set(kinds.choices)


@pytest.mark.parametrize("chemistry", LITHIUM)
def test_voltages_of_a_lithium_cell_are_in_order(chemistry: str) -> None:
    order = (
        "damage_voltage",
        "discharge_cutoff",
        "nominal",
        "float_max",
        "charge_max",
    )
    values = [number("chemistry", chemistry, column) for column in order]
    assert values == sorted(values)
    assert len(set(values)) == len(values)
    full = number("chemistry", chemistry, "rest_full_voltage")
    assert number("chemistry", chemistry, "nominal") < full
    assert full <= number("chemistry", chemistry, "charge_max")
    start = number("chemistry", chemistry, "balance_start")
    assert number("chemistry", chemistry, "nominal") < start
    assert start < number("chemistry", chemistry, "charge_max")


@pytest.mark.parametrize("chemistry", LEAD)
def test_voltages_of_a_lead_acid_cell_are_in_order(chemistry: str) -> None:
    order = ("discharge_cutoff", "nominal", "rest_full_voltage", "float_max", "charge_max")
    values = [number("chemistry", chemistry, column) for column in order]
    assert values == sorted(values)


def test_only_flooded_cells_are_equalised() -> None:
    chemistry = table("chemistry")
    rows = [row for row in chemistry.rows if chemistry.value(row, "equalize_max")]
    assert rows == ["lead-flooded"]


@pytest.mark.parametrize("chemistry", [*LITHIUM, *LEAD])
def test_no_chemistry_charges_wider_than_it_discharges(chemistry: str) -> None:
    found = table("chemistry")
    if found.value(chemistry, "discharge_temp_min"):
        assert number("chemistry", chemistry, "discharge_temp_min") <= number(
            "chemistry", chemistry, "charge_temp_min"
        )
        assert number("chemistry", chemistry, "charge_temp_max") <= number(
            "chemistry", chemistry, "discharge_temp_max"
        )


@pytest.mark.parametrize("column", table("open-circuit").columns[1:])
def test_open_circuit_voltage_rises_with_charge(column: str) -> None:
    found = table("open-circuit")
    voltages = found.numbers(column)
    assert len(voltages) >= 5
    assert list(voltages) == sorted(set(voltages))
    charges = found.numbers("charge")
    assert list(charges) == sorted(set(charges))


@pytest.mark.parametrize("chemistry", ["lfp", "nmc", "nca"])
def test_model_curves_stay_within_the_window_of_the_chemistry(chemistry: str) -> None:
    voltages = table("open-circuit").numbers(chemistry)
    assert max(voltages) <= number("chemistry", chemistry, "charge_max")
    assert min(voltages) >= number("chemistry", chemistry, "damage_voltage")


def test_standard_ratings_rise() -> None:
    ratings = table("standard-ratings").numbers("rating")
    assert list(ratings) == sorted(set(ratings))
    assert len(ratings) == 37


def test_boat_currents_rise_with_copper_and_insulation() -> None:
    found = table("boat-ampacity")
    columns = [column for column in found.columns if column.startswith("at_")]
    grid = [found.numbers(column) for column in ("area", *columns)]
    assert all(list(column) == sorted(set(column)) for column in grid)
    for row in zip(*grid[1:], strict=True):
        assert list(row) == sorted(row)


def test_risk_never_rises_when_harm_or_likelihood_falls() -> None:
    found = table("risk-matrix")
    order = {word: n for n, word in enumerate(("eliminated", "low", "medium", "serious", "high"))}
    grid = [
        [order[str(entry.value)] for c in found.columns if (entry := found.value(row, c))]
        for row in found.rows
    ]
    assert all(row == sorted(row, reverse=True) for row in grid)
    assert all(list(c) == sorted(c, reverse=True) for c in zip(*grid, strict=True))


def test_no_fuse_class_that_needs_a_direct_current_mark_is_given_a_voltage() -> None:
    for kind in ("class-t", "class-j", "class-rk", "semiconductor", "battery-fuse-link"):
        assert table("fuse-classes").value(kind, "dc_voltage") is None
