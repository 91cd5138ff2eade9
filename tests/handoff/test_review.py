"""What keeps a vehicle from being handed over. The rules here are made for the tests."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.commissioning.guide import Guide, Phase, Standing, Step
from advisor.engine import Judge
from advisor.findings.screening import screen
from advisor.handoff.model import Outcome, Review, gathered
from advisor.handoff.review import review
from advisor.problems import ProblemsFoundError
from advisor.rules import RuleBook
from advisor.sheet.reading import read_sheet_bytes
from tests.findings.making import book, rule

EMPTY = Guide("", (), ())
TOO_HIGH = "battery.full_voltage > controller.absolute_max"
SHEET = """sheet: 1
title: Made
parts:
  packs: [{{id: pack-1, full_voltage: {full}}}]
  controllers: [{{id: drive, absolute_max: 57 V}}]
{more}
"""
ACCEPT = """accepted:
  - {{rule: {rule}, {about}who: A. Owner, date: 2026-11-20, reason: It is driven indoors only.}}
"""


def reviewed(rules: RuleBook, full: str, more: str = "", guide: Guide = EMPTY) -> Review:
    text = SHEET.format(full=full, more=more)
    build = read_sheet_bytes(text.encode(), "sheet.yaml")
    found = screen(build, rules, Judge(rules, use_engine=False), "handoff")
    return review(found, guide, rules)


def serious(folder: Path) -> RuleBook:
    return book(folder, rule("too-high", TOO_HIGH, risk="critical occasional"))


def accept(about: str = "", name: str = "too-high") -> str:
    return ACCEPT.format(rule=name, about=f"about: {about}, " if about else "")


def test_nothing_found_is_ready(tmp_path: Path) -> None:
    found = reviewed(serious(tmp_path), "50 V")
    assert (found.outcome, found.obstacles, found.conditions) == (Outcome.READY, (), ())


def test_a_serious_risk_stands_in_the_way(tmp_path: Path) -> None:
    found = reviewed(serious(tmp_path), "58 V")
    assert found.outcome is Outcome.NOT_READY
    (one,) = found.obstacles
    assert (one.kind, one.rule, one.part, one.number) == ("risk", "too-high", "drive", 1)
    assert one.ask == "Nothing helps in a test."


def test_a_serious_check_that_is_undecided_stands_in_the_way(tmp_path: Path) -> None:
    found = reviewed(serious(tmp_path), "unknown")
    assert found.outcome is Outcome.NOT_READY
    (one,) = found.obstacles
    assert (one.kind, one.rule, one.part) == ("undecided", "too-high", "drive")
    assert one.ask == "Find out: pack-1: voltage of one full pack."


def test_a_serious_check_that_only_holds_on_an_assumption_stands_in_the_way(
    tmp_path: Path,
) -> None:
    """The efficiency of a charger is assumed where nobody states it."""
    low = rule("wasteful", "charger.efficiency < 10 %", about="charger", risk="critical occasional")
    rules = book(tmp_path, low)
    found = reviewed(rules, "50 V", "  chargers: [{id: charger-a}]")
    assert [(one.kind, one.part, one.ask) for one in found.obstacles] == [
        ("assumed", "charger-a", "Find out: efficiency.")
    ]
    stated = reviewed(rules, "50 V", "  chargers: [{id: charger-a, efficiency: 90 %}]")
    assert stated.outcome is Outcome.READY


def test_a_medium_risk_is_a_condition(tmp_path: Path) -> None:
    rules = book(tmp_path, rule("too-high", TOO_HIGH, risk="marginal occasional"))
    found = reviewed(rules, "58 V")
    assert found.outcome is Outcome.CONDITIONS
    assert [(one.kind, one.rule) for one in found.conditions] == [("risk", "too-high")]


def test_a_tolerance_that_reaches_over_the_limit_stands_in_the_way(tmp_path: Path) -> None:
    found = reviewed(serious(tmp_path), "56.8 V +/- 1 %")
    assert found.outcome is Outcome.NOT_READY
    assert "56.8 V +/- 1 %" in found.obstacles[0].text


@pytest.mark.parametrize("about", ["", "drive"])
def test_a_serious_risk_that_somebody_accepts_is_a_condition(tmp_path: Path, about: str) -> None:
    found = reviewed(serious(tmp_path), "58 V", accept(about))
    assert (found.outcome, found.obstacles) == (Outcome.CONDITIONS, ())
    (one,) = found.conditions
    assert one.kind == "accepted" and one.acceptance is not None
    assert (one.acceptance.who, one.acceptance.date) == ("A. Owner", "2026-11-20")
    assert found.screening.findings, "the finding itself stays"


def test_what_is_accepted_on_another_part_changes_nothing(tmp_path: Path) -> None:
    found = reviewed(serious(tmp_path), "58 V", accept("pack-1"))
    assert found.outcome is Outcome.NOT_READY
    (one,) = found.conditions
    assert "nothing of it is found" in one.text


def test_an_acceptance_that_nothing_needs_is_said(tmp_path: Path) -> None:
    found = reviewed(serious(tmp_path), "50 V", accept())
    assert found.outcome is Outcome.CONDITIONS
    assert "Take it out" in found.conditions[0].text


def test_a_high_risk_cannot_be_accepted(tmp_path: Path) -> None:
    rules = book(tmp_path, rule("too-high", TOO_HIGH, risk="catastrophic probable"))
    with pytest.raises(ProblemsFoundError) as caught:
        reviewed(rules, "58 V", accept())
    (problem,) = caught.value.problems
    assert problem.place.line == 7 and "high risk, which nobody can accept" in problem.problem


def test_an_unknown_rule_is_refused_with_the_nearest_name(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFoundError, match='write "too-high"'):
        reviewed(serious(tmp_path), "58 V", accept(name="to-high"))


def test_a_quiet_check_of_a_serious_risk_blocks_at_the_handoff(tmp_path: Path) -> None:
    more = "quiet_when_unknown: Made for a test."
    rules = book(tmp_path, rule("too-high", TOO_HIGH, risk="critical occasional", more=more))
    found = reviewed(rules, "unknown")
    assert found.outcome is Outcome.NOT_READY
    assert [(one.rule, one.kind) for one in found.obstacles] == [("too-high", "undecided")]
    (one,) = found.screening.questions
    assert [wait.rule.name for wait in one.waits] == ["too-high"]


def test_a_quiet_check_of_a_milder_risk_stays_quiet(tmp_path: Path) -> None:
    more = "quiet_when_unknown: Made for a test."
    rules = book(tmp_path, rule("too-high", TOO_HIGH, risk="marginal remote", more=more))
    found = reviewed(rules, "unknown")
    assert (found.outcome, found.conditions) == (Outcome.READY, ())


def step(name: str, standing: Standing, key: tuple[str, str] | None) -> Step:
    return Step(
        name, Phase.BATTERY, f"Title of {name}", "Do it.", "pack-1", "pack-1", "meter", "", key,
        "V", None, "", (), (), "", (), standing, (),
    )  # fmt: skip


def test_a_step_that_nobody_did_is_a_condition(tmp_path: Path) -> None:
    key = ("pack-1", "resting_voltage")
    steps = (
        step("open", Standing.OPEN, key),
        step("read", Standing.PLAUSIBLE, key),
        step("only-to-do", Standing.OPEN, None),
    )
    found = reviewed(serious(tmp_path), "50 V", guide=Guide("", steps, ()))
    assert [(one.kind, one.rule) for one in found.conditions] == [("step", "open")]
    assert found.outcome is Outcome.CONDITIONS


def test_the_same_thing_on_several_parts_is_said_once(tmp_path: Path) -> None:
    more = "  contactors: [{id: one}, {id: two}]\n"
    rules = book(
        tmp_path,
        rule("no-coil", "contactor.coil_voltage < 1 V", about="contactor", risk="critical remote"),
        rule("hot", "contactor.coil_current > 9 A", about="contactor", risk="critical occasional"),
    )
    found = reviewed(rules, "50 V", more)
    assert [(one.rule, parts) for one, parts in gathered(found.obstacles)] == [
        ("hot", ("one", "two"))
    ]
    assert [(one.rule, parts) for one, parts in gathered(found.conditions)] == [
        ("no-coil", ("one", "two"))
    ]


def test_checks_that_wait_for_the_same_answer_are_asked_once(tmp_path: Path) -> None:
    more = "  contactors: [{id: one}, {id: two}]\n"
    rules = book(
        tmp_path,
        rule(
            "no-coil", "contactor.coil_voltage < 1 V", about="contactor", risk="critical occasional"
        ),
        rule(
            "high-coil",
            "contactor.coil_voltage > 99 V",
            about="contactor",
            risk="critical occasional",
        ),
    )
    found = reviewed(rules, "50 V", more)
    assert len(found.obstacles) == 4
    ((one, parts),) = gathered(found.obstacles)
    assert (one.rule, parts) == ("no-coil, high-coil", ("one", "two"))
    assert one.ask == "Find out: rated coil voltage."


@pytest.mark.parametrize("wired", [False, True])
def test_what_the_plan_would_tell_asks_for_the_plan(tmp_path: Path, wired: bool) -> None:
    risk = "critical occasional"
    rules = book(
        tmp_path,
        rule("late", "controller.fed_key_off", about="controller", risk=risk),
        rule("thin", "run.current_carried > run.ampacity", about="run", risk=risk),
    )
    more = "wiring: [{id: lead, from: pack-1.plus, to: drive.plus}]\n" if wired else ""
    found = reviewed(rules, "50 V", more)
    asked = {one.rule: one.ask for one in found.obstacles}
    if wired:
        assert asked["late"] == "In the plan no cable ends at drive.minus. Draw what does."
    else:
        assert "`wiring:`" in asked["late"] and asked["late"] == asked["thin"]
