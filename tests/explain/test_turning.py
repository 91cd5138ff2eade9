"""Answers, words and whole numbers that flip a verdict: against sheets written that way."""

from __future__ import annotations

import pytest

from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.explain.sensitivity import sensitivity
from advisor.explain.turning import Turn
from advisor.explain.verdicts import Explainer
from advisor.facts.origins import Value
from advisor.rules import load_rulesets
from advisor.sheet.reading import read_sheet_bytes

BOOK = load_rulesets(examples=False)
SHEET = """sheet: 1
use: {ambient: 0 .. 40 degC, region: us}
vehicle: {kind: golf-cart, parking_brake: pedal-latch}
battery: {packs_in_series: 2, packs_in_parallel: 1}
parts:
  packs:
    - {id: pack-a, count: 2, chemistry: lfp, cells_in_series: 8, nominal_voltage: 25.6 V,
       full_voltage: 29.2 V, capacity: 100 Ah, bms: {precharge_built_in: no}}
  controllers:
    - {id: ctrl, motor_type: series-dc, input_max: 62 V, precharge_internal: yes,
       capacitance: 9 mF}
  precharges: none
  disconnects: [{id: main-switch}]
  chargers:
    - {id: mains, set_voltage: 58.4 V, profile: lithium, equalise: yes,
       equalise_can_be_disabled: yes, equalise_voltage: 62 V}
"""


def explainer(sheet: str = SHEET) -> Explainer:
    facts = surveyed(read_sheet_bytes(sheet.encode(), "sheet.yaml"))
    return Explainer(facts, BOOK, Judge(BOOK), "si")


def turned(rule: str, about: str) -> list[Turn]:
    one = explainer()
    answer = sensitivity(one.facts, BOOK, one.chosen(rule, about), one.everything)
    assert not answer.left_out
    return list(answer.turns)


@pytest.mark.parametrize(
    ("rule", "about", "key", "to", "old", "new"),
    [
        ("no-soft-start", "ctrl", ("ctrl", "precharge_internal"), False,
         "precharge_internal: yes", "precharge_internal: no"),
        ("no-parking-brake", "vehicle", ("vehicle", "parking_brake"), "none",
         "parking_brake: pedal-latch", "parking_brake: none"),
        ("charger-equalises", "mains", ("mains", "equalise_can_be_disabled"), False,
         "equalise_can_be_disabled: yes", "equalise_can_be_disabled: no"),
        ("no-disconnect", "battery", ("main-switch", "present"), False,
         "disconnects: [{id: main-switch}]", "disconnects: none"),
    ],
)  # fmt: skip
def test_what_is_said_of_another_answer_holds_for_a_sheet_that_gives_it(
    rule: str, about: str, key: tuple[str, str], to: Value, old: str, new: str
) -> None:
    """The rules' own examples say so: no soft start, no parking brake, an equalise stage free,
    no disconnect."""
    assert SHEET.count(old) == 1
    one = next(two for two in turned(rule, about) if two.fact.key == key and two.to == to)
    assert str(one.becomes) == "violated"
    assert str(explainer(SHEET.replace(old, new)).chosen(rule, about).verdict) == "violated"


def test_a_whole_number_is_tried_one_lower_and_one_higher() -> None:
    """Two packs of 29.2 V in series make 58.4 V; three would make 87.6 V, above 62 V."""
    found = turned("controller-locks-out-when-full", "ctrl")
    packs = [one for one in found if one.fact.key == ("pack-a", "count")]
    assert [(one.to, str(one.becomes)) for one in packs] == [(3.0, "violated")]


def test_nothing_is_turned_into_an_answer_that_is_no_value() -> None:
    for rule, about in (("no-soft-start", "ctrl"), ("charger-equalises", "mains")):
        assert all(one.to not in ("unknown", "not published") for one in turned(rule, about))
