"""Evidence goes through a page and comes back; what is no record is refused with a reason."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.handoff.embedded import MARK, embedded, read_evidence
from advisor.handoff.evidence import evidence
from advisor.problems import ProblemsFoundError
from tests.report.record.making import PLAIN, page, review_of


def small(title: str = "x", **changes: object) -> dict[str, object]:
    verdict = {
        "rule": "a", "part": title, "verdict": "satisfied", "assumed": False, "level": "low",
        "meaning": "m",
    }  # fmt: skip
    return {
        "format": "conversion-advisor-handoff",
        "version": "1.0",
        "program": {"version": "1", "engine": "both"},
        "sheet": {"title": title, "fingerprint": "f"},
        "rulesets": [{"name": "n", "version": "1.0.0"}],
        "rules_fingerprint": "r",
        "outcome": "ready",
        "verdicts": [verdict],
        **changes,
    }


@given(st.text())
def test_any_text_goes_through(title: str) -> None:
    data = small(title)
    text = embedded(data)
    assert read_evidence(f"<html>{text}</html>") == json.loads(json.dumps(data))
    assert text.count("<") == 2 and text.isascii()  # only its own two tags


def test_a_real_record_gives_its_evidence_back() -> None:
    assert read_evidence(page(PLAIN)) == json.loads(json.dumps(evidence(review_of(PLAIN))))


def wrapped(data: object) -> str:
    return f'<script type="application/json" id="{MARK}">{json.dumps(data)}</script>'


@pytest.mark.parametrize(
    ("text", "problem"),
    [
        ("", "no record"),
        ("<html><p>A page</p></html>", "no record"),
        (wrapped(small()) * 2, "twice"),
        (wrapped(small()).removesuffix("</script>"), "no end"),
        (wrapped(small()).replace("{", "", 1), "cannot be read"),
        (f'<script type="application/json" id="{MARK}">{"[" * 90000}</script>', "cannot be read"),
        (wrapped([1]), "no evidence of a handoff"),
        (wrapped(small(format="other")), "no evidence of a handoff"),
        (wrapped(small(version="2.0")), "version"),
        (wrapped(small(verdicts=None)), "lacks verdicts"),
        (wrapped(small(verdicts=[1])), "a part of a verdict"),
        (wrapped(small(rulesets=[{"name": 1}])), "ruleset"),
        (wrapped(small(program={})), "program.version, program.engine"),
        (wrapped(small(sheet={})), "sheet.fingerprint"),
    ],
)
def test_what_is_no_record_is_refused(text: str, problem: str) -> None:
    with pytest.raises(ProblemsFoundError) as caught:
        read_evidence(text, "some.html")
    (one,) = caught.value.problems
    assert one.file == "some.html"
    assert problem in one.problem
    assert "advisor handoff" in one.advice
