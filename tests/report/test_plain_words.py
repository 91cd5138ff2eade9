"""Words for a reader who does not know electricity."""

from __future__ import annotations

import pytest

from advisor.findings.risk import level_of
from advisor.report.plain_words import KINDS, TERMS, risk_data, risk_words, terms_in
from advisor.rules import load_rulesets
from advisor.rules.rule import HAZARD_KINDS, PROBABILITIES, SEVERITIES, Rule

BOOK = load_rulesets(examples=False)
RISKY = [one for one in BOOK.rules if one.hazard is not None and not one.notice]


def said(one: Rule) -> str:
    return " ".join(
        [one.title, one.because, one.finding.text, *(fix.do.text for fix in one.fixes)]
    ).lower()


def test_every_kind_of_hazard_has_words() -> None:
    assert set(KINDS) == set(HAZARD_KINDS)


@pytest.mark.parametrize("one", RISKY, ids=lambda one: one.name)
def test_the_risk_of_every_rule_is_said(one: Rule) -> None:
    assert one.hazard is not None
    words = risk_words(one)
    assert KINDS[one.hazard.kind] in words
    assert f"{level_of(one).word.upper()} risk" in words
    assert f"({one.hazard.severity})" in words and f"({one.hazard.probability})" in words
    assert risk_data(one) == {
        "level": level_of(one).word,
        "signal_word": words.partition(",")[0],
        "kind": one.hazard.kind,
        "severity": one.hazard.severity,
        "probability": one.hazard.probability,
    }


def test_death_is_named_where_it_is_the_harm_and_only_there() -> None:
    """MIL-STD-882E Table I: catastrophic is death or permanent total disability, no other is."""
    for one in RISKY:
        assert one.hazard is not None
        dies = "can die" in risk_words(one)
        hurts = one.hazard.kind not in ("damage", "cost", "nuisance")
        assert dies is (one.hazard.severity == "catastrophic" and hurts), one.name
    assert len(SEVERITIES) == 4 and len(PROBABILITIES) == 5


def test_each_term_is_used_by_a_rule_and_explained_without_itself() -> None:
    texts = [said(one) for one in BOOK.rules]
    for term, means in TERMS.items():
        assert terms_in([means]).keys().isdisjoint({term}), term
        assert any(term in terms_in([text]) for text in texts), term


@pytest.mark.parametrize(
    ("text", "terms"),
    [
        ("The contactors weld.", {"contactor", "weld"}),
        ("Used cells are not graded.", {"cell"}),
        ("It prevents that; the trips are short.", set()),
        ("It goes past the trip of the management.", {"management", "trip of the management"}),
        ("The cells are vented.", {"cell", "vent"}),
    ],
)
def test_terms_are_whole_words(text: str, terms: set[str]) -> None:
    assert set(terms_in([text])) == terms
