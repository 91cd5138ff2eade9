"""Questions: one for each missing fact, the one with the worst hazard behind it first."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.findings.questions import Question
from advisor.findings.report_model import Screening
from advisor.findings.risk import Level, level_of
from tests.findings.making import book, rule, screened

EMPTY_CONTROLLER = """
parts:
  controllers:
    - {id: drive}
"""
OVER = "controller.absolute_max > 50 V"
CURRENT = "controller.battery_current_limit > 100 A"


def _keys(found: tuple[Question, ...]) -> list[str]:
    return [one.key for one in found]


def _waits(one: Question) -> list[str]:
    return [judgement.rule.name for judgement in one.waits]


def test_one_question_for_a_fact_with_every_check_that_waits(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a", OVER, risk="marginal remote"),
        rule("b", "controller.absolute_max > 70 V", risk="critical probable"),
        rule("c", "controller.absolute_max < 10 V", risk="negligible remote"),
    )
    (one,) = screened(EMPTY_CONTROLLER, rules).questions
    assert one.key == "drive.absolute_max"
    assert one.part == "drive"
    assert _waits(one) == ["b", "a", "c"]
    assert one.level is Level.HIGH
    assert one.attribute is not None
    assert one.attribute.unit == "V"
    assert one.how
    assert one.answered == ""


def test_one_question_for_two_parts_each(tmp_path: Path) -> None:
    sheet = "parts: {controllers: [{id: drive-a}, {id: drive-b}]}"
    found = screened(sheet, book(tmp_path, rule("a", OVER)))
    assert _keys(found.questions) == ["drive-a.absolute_max", "drive-b.absolute_max"]


def test_the_worst_hazard_first_then_the_most_checks(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a", OVER, risk="negligible remote"),
        rule("b", OVER, risk="negligible remote"),
        rule("c", CURRENT, risk="catastrophic probable"),
        rule("d", "use.grade_max > 3 %", about="use", risk="negligible remote"),
    )
    found = screened(EMPTY_CONTROLLER, rules).questions
    assert _keys(found) == ["drive.battery_current_limit", "drive.absolute_max", "use.grade_max"]


def test_a_check_that_needs_two_facts_stands_behind_both_questions(tmp_path: Path) -> None:
    rules = book(tmp_path, rule("a", f"{OVER} and {CURRENT}"))
    found = screened(EMPTY_CONTROLLER, rules).questions
    assert found
    assert all(_waits(one) == ["a"] for one in found)


def test_what_is_already_decided_asks_nothing(tmp_path: Path) -> None:
    sheet = "parts: {controllers: [{id: drive, absolute_max: 40 V}]}"
    found = screened(sheet, book(tmp_path, rule("a", f"{OVER} and {CURRENT}")))
    assert found.questions == ()
    assert found.counts.satisfied == 1


def test_a_kind_that_is_not_mentioned_gives_one_question(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a", OVER),
        rule("b", CURRENT, risk="critical probable"),
        rule("c", "controller.absolute_max < 10 V"),
    )
    found = screened("use: {children_present: yes}", rules)
    (one,) = found.questions
    assert one.key == "controller.present"
    assert one.attribute is None
    assert _waits(one) == ["b", "a", "c"]
    assert one.text.startswith("Is there a")
    assert "`controllers: none`" in one.how
    assert found.counts.undetermined == 3


@pytest.mark.parametrize("sheet", ["parts: {controllers: none}", "complete: [controllers]"])
def test_a_kind_stated_as_none_gives_no_question(sheet: str, tmp_path: Path) -> None:
    found = screened(sheet, book(tmp_path, rule("a", OVER), rule("b", CURRENT)))
    assert found.questions == ()
    assert found.later == ()
    assert found.counts.total == 0


@pytest.mark.parametrize(
    ("written", "answered"),
    [
        ("not published (asked the seller 2026-03-01)",) * 2,
        ("not published",) * 2,
        ("will be measured",) * 2,
        ("unknown", ""),
    ],
)
def test_what_was_answered_instead_of_a_value_is_kept(
    written: str, answered: str, tmp_path: Path
) -> None:
    sheet = f"parts: {{controllers: [{{id: drive, absolute_max: {written}}}]}}"
    found = screened(sheet, book(tmp_path, rule("a", OVER)))
    (one,) = found.questions
    assert one.answered == answered
    assert found.counts.undetermined == 1
    assert found.at_or_above(Level.MEDIUM), "an answer without a value decides nothing"


def _three_stages(tmp_path: Path, stage: str) -> Screening:
    rules = book(
        tmp_path,
        rule("a", OVER, stage="order"),
        rule("b", CURRENT, stage="wiring"),
        rule("c", "use.grade_max > 3 %", about="use", stage="handoff", risk="critical probable"),
        rule("d", "controller.absolute_max < 10 V", stage="handoff"),
    )
    return screened(EMPTY_CONTROLLER, rules, stage)


@pytest.mark.parametrize(
    ("stage", "due", "later"),
    [
        ("order", {"drive.absolute_max"}, {"drive.battery_current_limit", "use.grade_max"}),
        ("wiring", {"drive.absolute_max", "drive.battery_current_limit"}, {"use.grade_max"}),
        (
            "handoff",
            {"drive.absolute_max", "drive.battery_current_limit", "use.grade_max"},
            set(),
        ),
    ],
)
def test_questions_of_a_later_stage_stand_apart(
    stage: str, due: set[str], later: set[str], tmp_path: Path
) -> None:
    found = _three_stages(tmp_path, stage)
    assert set(_keys(found.questions)) == due
    assert set(_keys(found.later)) == later
    assert found.counts.later + found.counts.undetermined == 4


def test_a_hazard_of_a_later_stage_does_not_block_now(tmp_path: Path) -> None:
    assert not _three_stages(tmp_path, "order").at_or_above(Level.HIGH)
    assert _three_stages(tmp_path, "handoff").at_or_above(Level.HIGH)


def test_a_quiet_check_is_counted_and_not_asked(tmp_path: Path) -> None:
    rules = book(tmp_path, rule("a", OVER, more="quiet_when_unknown: Hardly any maker states it."))
    found = screened(EMPTY_CONTROLLER, rules)
    assert found.questions == ()
    assert found.counts.not_asked == 1
    assert found.counts.satisfied == 0


def test_an_unsettled_conclusion_asks_for_what_settles_it(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("cause", OVER, risk="", more="concludes: controller.weak"),
        rule("effect", "controller.weak", risk="critical probable"),
    )
    (one,) = screened(EMPTY_CONTROLLER, rules).questions
    assert one.key == "drive.absolute_max"
    assert _waits(one) == ["effect"]


# -- the rulesets of the program -------------------------------------------------------------------

SHEETS = {
    "empty": "title: Nothing yet",
    "three facts": """
parts:
  packs: [{id: pack-1, chemistry: lfp, nominal_voltage: 51.2 V, capacity: 100 Ah}]
""",
    "drive": """
parts:
  packs: [{id: pack-1, chemistry: lfp, nominal_voltage: 51.2 V, discharge_continuous: 100 A}]
  controllers: [{id: drive, absolute_max: not published, battery_current_limit: 200 A}]
  contactors: none
""",
}


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("stage", ["order", "wiring", "handoff"])
def test_questions_of_real_rules(name: str, stage: str) -> None:
    found = screened(SHEETS[name], stage=stage)
    keys = _keys(found.questions) + _keys(found.later)
    assert len(set(keys)) == len(keys)
    for group in (found.questions, found.later):
        levels = [one.level for one in group]
        assert levels == sorted(levels, reverse=True)
        for one in group:
            assert one.level is max(level_of(judgement.rule) for judgement in one.waits)
    waiting = {id(one) for question in found.questions for one in question.waits}
    unasked = {id(one) for one in found.unasked()}
    assert waiting | unasked == {id(one) for one in found.undecided}
    assert len(found.undecided) == found.counts.undetermined


@pytest.mark.parametrize("name", SHEETS)
def test_every_question_can_be_answered_in_the_sheet(name: str) -> None:
    """No question asks for what a sheet cannot hold: computed values and conclusions."""
    found = screened(SHEETS[name], stage="handoff")
    for one in found.questions:
        assert one.text
        assert one.how
        assert one.key.endswith(".present") or (one.attribute is not None and one.attribute.given)
