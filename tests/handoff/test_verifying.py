"""A record against the same review later: every kind of difference is named."""

from __future__ import annotations

from copy import deepcopy
from typing import Any

from advisor.findings.risk import Level
from advisor.handoff.verifying import verify

EVIDENCE: dict[str, Any] = {
    "program": {"version": "1", "engine": "both"},
    "sheet": {"title": "Made", "fingerprint": "aa"},
    "rulesets": [{"name": "one", "version": "1.0.0"}],
    "rules_fingerprint": "ff",
    "outcome": "ready",
    "verdicts": [
        {"rule": "a", "part": "p", "verdict": "satisfied", "assumed": False, "level": "low",
         "meaning": "m"},
        {"rule": "b", "part": "p", "verdict": "satisfied", "assumed": False, "level": "serious",
         "meaning": "m"},
    ],
}  # fmt: skip


def changed() -> dict[str, Any]:
    return deepcopy(EVIDENCE)


def test_the_same_is_the_same() -> None:
    found = verify(EVIDENCE, changed())
    assert found.same and found.compared == 2
    assert (found.inputs, found.verdicts) == ((), ())


def test_a_verdict_that_differs_the_most_serious_first() -> None:
    now = changed()
    now["verdicts"][0]["verdict"] = "violated"
    now["verdicts"][1]["assumed"] = True
    found = verify(EVIDENCE, now)
    assert not found.same
    assert [(one.rule, one.level, one.then, one.now) for one in found.verdicts] == [
        ("b", Level.SERIOUS, "satisfied", "satisfied on an assumption"),
        ("a", Level.LOW, "satisfied", "violated"),
    ]


def test_a_check_that_came_or_went_differs() -> None:
    now = changed()
    now["verdicts"][0]["part"] = "q"
    found = verify(EVIDENCE, now)
    assert [(one.part, one.then, one.now) for one in found.verdicts] == [
        ("p", "satisfied", "not judged"),
        ("q", "not judged", "satisfied"),
    ]


def test_a_rule_that_means_something_else_is_marked() -> None:
    now = changed()
    now["verdicts"][0] |= {"verdict": "violated", "meaning": "n"}
    (one,) = verify(EVIDENCE, now).verdicts
    assert one.rule_changed


def test_another_sheet_rules_or_program_with_the_same_verdicts_is_the_same_and_said() -> None:
    now = changed()
    now["sheet"]["fingerprint"] = "bb"
    now["rulesets"] = [{"name": "one", "version": "1.0.1"}, {"name": "two", "version": "1.0.0"}]
    now["rules_fingerprint"] = "gg"
    now["program"] = {"version": "2", "engine": "one alone"}
    found = verify(EVIDENCE, now)
    assert found.same
    assert found.inputs == (
        "The sheet was aa and is bb: its text was changed.",
        "Ruleset one was 1.0.0 and is 1.0.1.",
        "Ruleset two was not there and is 1.0.0.",
        "The program was 1 and is 2.",
        "The evaluator was both and is one alone.",
    )


def test_changed_rules_under_the_same_versions_are_said() -> None:
    now = changed()
    now["rules_fingerprint"] = "gg"
    (words,) = verify(EVIDENCE, now).inputs
    assert "with the same versions" in words


def test_another_outcome_alone_is_a_difference() -> None:
    now = changed()
    now["outcome"] = "not ready"
    assert not verify(EVIDENCE, now).same
