"""Conditions in plain words: every part says the same as the evaluator, with the numbers in."""

from __future__ import annotations

import pytest

from advisor.explain.condition import in_words
from advisor.explain.verdicts import Explained
from advisor.rules.values import Verdict
from advisor.sheet.examples import example_sheets
from tests.explain.test_explaining import explainer


def explained(sheet: str, rule: str, about: str | None = None) -> Explained:
    found = explainer(sheet)
    return found.explained(found.chosen(rule, about))


def test_a_comparison_carries_both_numbers_and_its_answer() -> None:
    """58.4 V x 1.007 = 58.81 V: the printed right side is the one that is compared."""
    (line,) = explained("orchard-four-seater", "charger-above-pack-label").condition
    assert line.words == (
        "charge voltage (58.4 V) is more than voltage of the full battery on charge times 1.007 "
        "(58.81 V)"
    )
    assert line.holds is False


def test_parts_stand_under_what_gathers_them() -> None:
    lines = explained("bargain-parts", "charger-above-management-trip").condition
    assert lines[0].words == "all of these hold" and lines[0].gathers and lines[0].depth == 0
    assert [one.depth for one in lines[:3]] == [0, 1, 2]
    assert any("it is not known" in one.words and one.holds for one in lines)


def test_what_another_check_concludes_counts_as_so() -> None:
    lines = explained("winter-hauler", "braking-lost-on-the-grade").condition
    assert next(one for one in lines if "opens while driving" in one.words).holds is True


@pytest.mark.parametrize("sheet", list(example_sheets()))
def test_the_whole_says_what_the_verdict_says(sheet: str) -> None:
    """Of every check that reads no conclusion: the first line holds where it is violated."""
    found = explainer(sheet)
    seen = 0
    for one in found.everything:
        if one.rule.concluded or one.verdict is Verdict.NOT_APPLICABLE:
            continue
        row = {name.written: found._cases.value(one.case, name) for name in one.rule.reads}
        lines = in_words(one.rule.when, row, "us")
        wanted = {Verdict.VIOLATED: True, Verdict.SATISFIED: False}.get(one.verdict)
        if wanted is not None:
            assert lines[0].holds is wanted, (one.rule.name, one.case)
        assert all(line.words and "None" not in line.words for line in lines)
        seen += 1
    assert seen > 50


@pytest.mark.parametrize("sheet", list(example_sheets()))
def test_a_verdict_on_an_assumption_shows_the_assumption(sheet: str) -> None:
    """The text says "look for ASSUMED below": there must be one."""
    found = explainer(sheet)
    for one in found.everything:
        if one.on_assumption and one.rule.hazard is not None:
            assert any(_assumes(each) for each in _all(found.explained(one))), one.rule.name


def _all(one: Explained) -> list[Explained]:
    return [one, *(deeper for below in one.because_of for deeper in _all(below))]


def _assumes(one: Explained) -> bool:
    nodes = [node for _, top in (*one.values, *one.also) for node in top.walk()]
    return any(node.how == "assumed" or "ASSUMED" in node.words for node in nodes)
