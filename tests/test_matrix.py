"""The matrix of the job: every cell has rules or a reason why none."""

from __future__ import annotations

import pytest

from advisor.rules.rule import Rule
from tests.make_matrix import PARTS, belongs, data, pair_cells, reason, rules, step_cells

# The job step by step and the hazards, as the trade counts them.
STEPS = {
    *("describe", "choose", "order", "plan", "build", "commission", "drive", "hand over"),
    *("store", "service", "sell on"),
}
HAZARDS = {
    *("fire", "burn", "shock", "arc", "crush", "run-away", "no brakes", "roll-over", "chemical"),
    *("lifting", "charging at home", "children", "water", "cold", "heat", "transport"),
    "disposal",
}


def rule(name: str) -> Rule:
    return next(one for one in rules() if one.name == name)


def test_every_step_meets_every_hazard() -> None:
    assert set(data()["steps"]) == STEPS
    assert set(data()["hazards"]) == HAZARDS
    assert set(step_cells()) == {(step, hazard) for step in STEPS for hazard in HAZARDS}


def test_a_cell_has_rules_or_a_reason() -> None:
    silent = [cell for cell, names in step_cells().items() if not names]
    assert [cell for cell in silent if not reason(cell, "step_reasons")] == []


def test_two_kinds_of_part_have_rules_or_a_reason() -> None:
    assert len(pair_cells()) == len(PARTS) * (len(PARTS) - 1) // 2
    silent = [cell for cell, names in pair_cells().items() if not names]
    assert [cell for cell in silent if not reason(cell, "pair_reasons")] == []


def test_most_pairs_that_share_a_current_have_rules() -> None:
    pairs = {frozenset(pair): names for pair, names in pair_cells().items()}
    for pair in (
        ("pack", "controller"),
        ("pack", "charger"),
        ("motor", "controller"),
        ("contactor", "controller"),
        ("fuse", "run"),
        ("converter", "load"),
        ("converter", "buffer"),
        ("charger", "supply"),
        ("bms", "contactor"),
        ("vehicle", "controller"),
    ):
        assert pairs[frozenset(pair)], pair


@pytest.mark.parametrize(
    ("name", "hazard", "step"),
    [  # read off the rules by hand
        ("charging-below-cold-limit", "cold", "order"),
        ("outlet-without-residual-current-device", "charging at home", "order"),
        ("inlet-live-pins", "children", "plan"),
        ("lead-acid-without-receipt", "disposal", "hand over"),
        ("brakes-do-not-hold-the-grade", "no brakes", "drive"),
        ("stored-too-cold", "cold", "store"),
        ("pack-papers", "transport", "sell on"),
        ("joint-not-crimped", "fire", "build"),
        ("disconnect-leaves-parts-alive", "burn", "service"),
        ("pack-heavier-than-two-people-lift", "lifting", "choose"),
    ],
)
def test_rules_stand_where_a_reader_looks_for_them(name: str, hazard: str, step: str) -> None:
    assert name in step_cells()[step, hazard]


def test_a_rule_of_another_hazard_stays_out() -> None:
    fire = data()["hazards"]["fire"]
    assert belongs(rule("charging-below-cold-limit"), fire)
    assert not belongs(rule("no-parking-brake"), fire)


def test_every_rule_with_a_hazard_to_people_stands_somewhere() -> None:
    """Costs and nuisances have no column of their own; what hurts people has."""
    found = {name for names in step_cells().values() for name in names}
    harmless = {"cost", "nuisance", "damage", "loss-of-drive"}
    missing = [
        one.name
        for one in rules()
        if one.hazard and one.hazard.kind not in harmless and one.name not in found
    ]
    assert missing == []
