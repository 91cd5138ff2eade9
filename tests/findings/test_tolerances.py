"""A written tolerance is judged at both of its ends."""

from __future__ import annotations

from functools import cache

import pytest

from advisor.engine import Judge
from advisor.explain.verdicts import Explainer
from advisor.findings.report_model import Screening
from advisor.findings.risk import Level
from advisor.findings.screening import screen
from advisor.report.explanation import render_check
from advisor.report.text import render
from advisor.rules import load_rulesets
from advisor.rules.values import Verdict
from advisor.sheet.reading import read_sheet_bytes


@cache
def judge() -> Judge:
    return Judge(load_rulesets(examples=False))


def screened(input_max: str) -> Screening:
    """16 LFP cells reach 58.4 V; the controller's limit varies."""
    text = (
        "sheet: 1\nparts:\n  packs: [{id: p, chemistry: lfp, nominal_voltage: 51.2 V}]\n"
        f"  controllers: [{{id: c, input_max: {input_max}}}]\n"
    )
    build = read_sheet_bytes(text.encode(), "sheet.yaml")
    return screen(build, judge().book, judge())


def about(screening: Screening, rule: str) -> list[tuple[Verdict, Verdict, float]]:
    return [
        (one.judgement.verdict, one.corner, one.at)
        for one in screening.marginal
        if one.judgement.rule.name == rule
    ]


def test_a_limit_that_may_lie_below_is_marginal() -> None:
    """59 V +/- 2 % may be 57.82 V, which is below 58.4 V (worked by hand)."""
    screening = screened("59 V +/- 2 %")
    (one,) = about(screening, "controller-locks-out-when-full")
    assert one == (Verdict.SATISFIED, Verdict.VIOLATED, 59 * 0.98)
    assert screening.at_or_above(Level.SERIOUS)


def test_the_finding_and_its_explanation_say_that_it_is_marginal() -> None:
    """58 V +/- 2 % may be 59.16 V, which is above 58.4 V (worked by hand)."""
    screening = screened("58 V +/- 2 %")
    rule = "controller-locks-out-when-full"
    one = next(one for one in screening.all_findings() if one.rule.name == rule)
    (end,) = one.marginal
    assert end.corner is Verdict.SATISFIED and end.at == pytest.approx(59.16)
    words = "marginal, by a tolerance that the sheet states: satisfied at 59.16 V, an end of"
    assert words in " ".join(render(screening, "si", 100).split())
    explainer = Explainer(screening.facts, judge().book, judge(), "si")
    told = explainer.explained(explainer.chosen(rule, None))
    assert told.marginal == one.marginal
    assert words in " ".join(render_check(told, 100, markdown=False).split())
    others = [two for two in screening.all_findings() if two is not one]
    assert all(not two.marginal for two in others if two.rule.name != rule)


def test_a_tolerance_that_changes_nothing_is_not_marginal() -> None:
    """59 V +/- 1 % is at least 58.41 V."""
    assert about(screened("59 V +/- 1 %"), "controller-locks-out-when-full") == []


def test_an_end_exactly_at_the_limit_holds() -> None:
    """58.9 V +/- 0.5 V is at least 58.4 V, which is allowed."""
    assert about(screened("58.9 V +/- 0.5 V"), "controller-locks-out-when-full") == []


def test_without_tolerances_nothing_is_marginal() -> None:
    assert screened("59 V").marginal == ()
