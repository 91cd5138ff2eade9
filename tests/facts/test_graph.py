"""The graph of derivations: origins, precedence, disagreement, what is missing."""

from __future__ import annotations

import pytest

from advisor.facts.origins import Assumed, Computed, LookedUp, Measured, OnTrial, WrittenIn
from tests.facts.making import LFP_16, facts, known, number, unknown


def test_a_written_value_knows_its_place() -> None:
    origin = known(facts(LFP_16), "pack-a.capacity").origin
    assert isinstance(origin, WrittenIn)
    assert (origin.place.line, origin.text) == (9, "105 Ah")


def test_a_table_value_names_table_and_row() -> None:
    origin = known(facts(LFP_16), "pack-a.cell_charge_max").origin
    assert isinstance(origin, LookedUp)
    assert (origin.row, origin.column) == ("lfp", "charge_max")
    assert origin.source


def test_a_computed_value_names_formula_and_inputs() -> None:
    origin = known(facts(LFP_16), "battery.full_voltage").origin
    assert isinstance(origin, Computed)
    assert ("pack-a", "full_voltage") in origin.inputs


def test_an_assumption_has_a_reason_and_says_what_would_settle_it() -> None:
    fact = known(facts(LFP_16), "battery.reserve")
    assert isinstance(fact.origin, Assumed)
    assert fact.assumed
    assert fact.settles == {"battery.reserve"}


def test_what_rests_on_an_assumption_is_assumed() -> None:
    fact = known(facts(LFP_16), "battery.reserve_voltage")
    assert fact.assumed
    assert isinstance(fact.origin, Computed)


def test_a_stated_value_replaces_the_assumption() -> None:
    found = facts("battery: {reserve: 30 %}\n" + LFP_16)
    assert not known(found, "battery.reserve_voltage").assumed


def test_a_reading_wins_over_the_sheet_and_the_loser_is_kept() -> None:
    text = LFP_16 + (
        "readings:\n  - {of: pack-a, what: internal_resistance, value: 12 mohm, "
        "instrument: load tester, time: 2026-03-02}\n"
    )
    fact = known(facts(text), "pack-a.internal_resistance")
    assert isinstance(fact.origin, Measured)
    assert fact.value == pytest.approx(0.012)
    assert [one.value for one in fact.rivals] == [pytest.approx(0.015)]


def test_a_programmed_setting_wins_over_the_data_sheet() -> None:
    text = "parts:\n  controllers:\n    - {id: ctrl-1, battery_current_limit: 400 A}\n"
    text += "settings:\n  ctrl-1: {battery_current_limit: 200 A}\n"
    assert number(facts(text), "ctrl-1.battery_current_limit") == 200.0


def test_the_worse_value_counts_when_sources_disagree() -> None:
    """54.6 V is written, 16 x 3.65 V = 58.4 V follows from chemistry and cells."""
    text = LFP_16.replace("full_voltage: 58.4 V", "full_voltage: 54.6 V\n      cells_in_series: 16")
    found = facts(text)
    fact = known(found, "pack-a.full_voltage")
    assert fact.value == pytest.approx(58.4)
    pair = found.disagreements["pack-a", "full_voltage"]
    assert pair.other.value == pytest.approx(54.6)


def test_agreeing_sources_are_no_disagreement() -> None:
    found = facts(LFP_16)
    known(found, "battery.full_voltage")
    assert found.disagreements == {}


def test_a_missing_value_asks_for_the_easiest_fact() -> None:
    text = "parts:\n  packs:\n    - {id: pack-a, chemistry: lfp}\n"
    assert unknown(facts(text), "pack-a.capacity").facts == {"pack-a.capacity"}


def test_missing_facts_go_down_to_what_a_person_can_get() -> None:
    text = "parts:\n  packs:\n    - {id: pack-a, chemistry: lfp, nominal_voltage: 51.2 V}\n"
    assert unknown(facts(text), "battery.capacity").facts == {"pack-a.capacity"}


def test_not_published_makes_another_way_preferable() -> None:
    text = "parts:\n  packs:\n    - {id: pack-a, chemistry: lfp, capacity: 105 Ah, "
    asked = text + "full_voltage: not published}\n"
    assert unknown(facts(text + "}\n"), "pack-a.full_voltage").facts == {"pack-a.full_voltage"}
    assert unknown(facts(asked), "pack-a.full_voltage").facts == {"pack-a.cells_in_series"}


def test_a_kind_not_mentioned_is_one_question() -> None:
    found = facts(LFP_16)
    assert unknown(found, "contactor.coil_voltage").facts == {"contactor.present"}


def test_a_kind_stated_none_is_absent() -> None:
    found = facts("parts: {contactors: none}\n")
    assert known(found, "contactor.present").value is False


def test_a_complete_group_makes_the_rest_absent() -> None:
    found = facts("complete: [charging]\nparts:\n  chargers:\n    - id: chg\n")
    assert known(found, "inlet.present").value is False
    assert known(found, "chg.present").value is True


def test_a_trial_value_is_an_overlay() -> None:
    found = facts(LFP_16)
    trial = found.with_values("another pack", {("pack-a", "full_voltage"): 54.6})
    assert isinstance(known(trial, "pack-a.full_voltage").origin, OnTrial)
    assert number(trial, "battery.full_voltage") == pytest.approx(54.6)
    assert number(found, "battery.full_voltage") == pytest.approx(58.4)


def test_capacity_from_energy_and_energy_from_capacity_do_not_chase_each_other() -> None:
    text = "parts:\n  packs:\n    - {id: p, chemistry: lfp, nominal_voltage: 51.2 V, "
    assert number(facts(text + "energy: 5376 Wh}\n"), "p.capacity") == pytest.approx(105 * 3600)
    found = facts(text + "}\n")
    assert unknown(found, "p.capacity").facts == {"p.capacity"}
    assert unknown(found, "p.energy").facts in ({"p.energy"}, {"p.capacity"})


@pytest.mark.parametrize("order", [("capacity", "energy"), ("energy", "capacity")])
def test_the_order_of_asking_does_not_matter(order: tuple[str, str]) -> None:
    text = "parts:\n  packs:\n    - {id: p, nominal_voltage: 51.2 V, energy: 5376 Wh}\n"
    found = facts(text)
    for name in order:
        found.fact("p", name)
    assert number(found, "p.capacity") == pytest.approx(105 * 3600)
    assert number(found, "p.energy") == pytest.approx(5376 * 3600)


def test_two_parts_of_a_kind_are_told_apart_by_role_or_reference() -> None:
    both = "parts:\n  motors:\n    - {id: m-1, type: pm-ac}\n    - {id: m-2, type: series-dc}\n"
    one = both + "  controllers:\n    - {id: c, drives: m-2}\n"
    assert facts(one).related("c", "motor") == "m-2"
    assert facts(both + "  controllers:\n    - {id: c}\n").related("c", "motor") is None
    fuses = "parts:\n  fuses:\n    - {id: f-1, role: charge}\n    - {id: f-2, role: main}\n"
    assert facts(fuses).related("battery", "device") == "f-2"
