"""How far a value may move: against closed forms, and verified on both sides."""

from __future__ import annotations

import math

import pytest

from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.explain.sensitivity import FARTHEST, Flip, Sensitivity, sensitivity
from advisor.explain.verdicts import Explainer
from advisor.facts.origins import Key
from advisor.rules import load_rulesets
from advisor.sheet.reading import read_sheet_bytes
from tests.wiring.rewiring import at
from tests.wiring.test_miswired import moved

BOOK = load_rulesets(examples=False)
SHEET = """sheet: 1
use: {ambient: 0 .. 40 degC, region: us, battery_current_sustained: 120 A}
parts:
  packs:
    - {id: pack-a, chemistry: lfp, cells_in_series: 16, nominal_voltage: 51.2 V,
       full_voltage: 58.4 V, capacity: 100 Ah}
  controllers:
    - {id: ctrl, motor_type: series-dc, input_min: 30 V, input_max: 62 V, motor_current_peak: 300 A,
       battery_current_limit: 120 A, capacitance: 10 mF, precharge_wait: 4 s}
  fuses:
    - {id: strip, role: main, rating: 160 A, dc_voltage: 80 V}
  precharges:
    - {id: soft, resistance: 100 ohm, place: across-contactor}
  converters:
    - {id: conv, output_voltage: 12 V, output_current: 20 A, input_min: 36 V, input_max: 72 V}
"""


def found(rule: str, about: str, sheet: str = SHEET) -> tuple[Sensitivity, dict[Key, object]]:
    facts = surveyed(read_sheet_bytes(sheet.encode(), "sheet.yaml"))
    explainer = Explainer(facts, BOOK, Judge(BOOK), "si")
    judgement = explainer.chosen(rule, about)
    answer = sensitivity(facts, BOOK, judgement, explainer.everything)
    return answer, {one.fact.key: one for one in answer.rooms}


def flip(rooms: dict[Key, object], key: Key, side: str) -> Flip:
    one = getattr(rooms[key], side)
    assert isinstance(one, Flip)
    assert getattr(rooms[key], "up" if side == "down" else "down") is None
    return one


def test_voltage_headroom_is_the_difference_to_the_highest_input() -> None:
    """58.4 V against 62 V: the pack may rise to 62 V, the controller sink to 58.4 V."""
    _, rooms = found("controller-locks-out-when-full", "ctrl")
    assert flip(rooms, ("pack-a", "full_voltage"), "up").beyond == pytest.approx(62, rel=1e-4)
    assert flip(rooms, ("ctrl", "input_max"), "down").beyond == pytest.approx(58.4, rel=1e-4)


def test_the_rule_of_125_percent() -> None:
    """NEC 210.20(A): 1.25 x 120 A = 150 A against 160 A; 160 A allow 160 / 1.25 = 128 A."""
    _, rooms = found("device-too-small", "strip")
    assert flip(rooms, ("strip", "rating"), "down").beyond == pytest.approx(150, rel=1e-4)
    up = flip(rooms, ("use", "battery_current_sustained"), "up")
    assert up.beyond == pytest.approx(160 / 1.25, rel=1e-4)


def test_precharge_time_goes_with_resistance_and_capacitance() -> None:
    """-R C ln(0.05) = 3.0 s of 4 s: R and C may grow by the same factor, 4 / 2.996."""
    _, rooms = found("precharge-slower-than-controller", "soft")
    factor = 4 / (100 * 0.010 * -math.log(0.05))
    for key, now in ((("soft", "resistance"), 100.0), (("ctrl", "capacitance"), 0.010)):
        assert flip(rooms, key, "up").beyond == pytest.approx(now * factor, rel=1e-3)
    wait = flip(rooms, ("ctrl", "precharge_wait"), "down")
    assert wait.beyond == pytest.approx(4 / factor, rel=1e-4)


def test_voltage_drop_goes_with_length_and_against_the_size() -> None:
    """4 A in 14 AWG (2.081 mm2) at 75 degC against 3 % of 12.5 V.

    Copper 17.241 nOhm m at 20 degC, 0.00393 for each kelvin (IEC 60028), 2 % more for strands:
    10.28 mOhm/m, so 0.375 V allow 9.12 m; at 25 ft the area may sink by 7.62 / 9.12.
    """
    sheet = moved(at("left-lead", "left-fuse.out", "lamp-left.plus", length="25 ft"))
    per_metre = 1.02 * 17.241e-9 * (1 + 0.00393 * 55) / 2.081e-6
    longest = 0.03 * 12.5 / (4 * per_metre)
    _, rooms = found("lamp-drop-too-large", "left-lead", sheet)
    up = flip(rooms, ("left-lead", "length"), "up")
    assert up.beyond == pytest.approx(longest, rel=2e-3)  # 0.2 %: the table of AWG areas
    down = flip(rooms, ("left-lead", "gauge"), "down")
    assert down.beyond == pytest.approx(2.081e-6 * 25 * 0.3048 / longest, rel=2e-3)


@pytest.mark.parametrize(
    ("rule", "about"),
    [
        ("controller-locks-out-when-full", "ctrl"),
        ("device-too-small", "strip"),
        ("precharge-slower-than-controller", "soft"),
    ],
)
def test_both_sides_of_every_flip_are_what_they_say(rule: str, about: str) -> None:
    answer, _ = found(rule, about)
    assert answer.rooms and answer.left_out == ()
    facts = surveyed(read_sheet_bytes(SHEET.encode(), "sheet.yaml"))
    for one in answer.rooms:
        assert isinstance(one.fact.value, float)
        for side in (one.down, one.up):
            if side is None:
                continue
            assert abs(side.beyond - one.fact.value) <= FARTHEST * abs(one.fact.value) * 1.001
            verdicts = []
            for value in (side.last, side.beyond):
                trial = facts.with_values("test", {one.fact.key: value})
                again = Explainer(trial, BOOK, Judge(BOOK), "si")
                verdicts.append(again.chosen(rule, about).verdict)
            assert verdicts == [answer.judgement.verdict, side.becomes]


def test_without_time_it_says_what_was_left_out() -> None:
    facts = surveyed(read_sheet_bytes(SHEET.encode(), "sheet.yaml"))
    explainer = Explainer(facts, BOOK, Judge(BOOK), "si")
    judgement = explainer.chosen("device-too-small", "strip")
    told: list[tuple[int, int]] = []
    answer = sensitivity(
        facts, BOOK, judgement, explainer.everything, -1.0, lambda *so_far: told.append(so_far)
    )
    assert answer.rooms == () and answer.looked_at == 0
    assert len(answer.left_out) == told[-1][1] > 0
