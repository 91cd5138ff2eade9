"""The rulesets of this repository: they load, and every example comes out by both evaluators."""

from __future__ import annotations

import pytest

from advisor.engine import Judge
from advisor.rules import check_examples, load_rulesets
from advisor.rules.examples import examples_of
from advisor.rules.rule import Rule
from advisor.rules.tree import All, Any, Compare, Condition, Not

BOOK = load_rulesets()
JUDGE = Judge(BOOK)
NAMES = [rule.name for rule in BOOK.rules]


@pytest.mark.parametrize("rule", BOOK.rules, ids=NAMES)
def test_examples(rule: Rule) -> None:
    assert [str(one) for one in check_examples(rule, JUDGE.verdict)] == []


def _compares(tree: Condition) -> bool:
    match tree:
        case Compare():
            return True
        case Not():
            return _compares(tree.of)
        case All() | Any():
            return any(_compares(one) for one in tree.items)
    return False


@pytest.mark.parametrize("rule", BOOK.rules, ids=NAMES)
def test_a_rule_with_a_number_shows_its_limit(rule: Rule) -> None:
    if _compares(rule.when):
        assert any(example.boundary for example in examples_of(rule))
