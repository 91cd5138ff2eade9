"""The rule language: rules are data with types, read, checked and evaluated here."""

from __future__ import annotations

from advisor.rules.examples import check_examples, example_row, examples_of
from advisor.rules.loading import find_rulesets, load_rulesets
from advisor.rules.rule import Rule, RuleBook, Ruleset
from advisor.rules.values import Known, Missing, Verdict

__all__ = [
    "Known",
    "Missing",
    "Rule",
    "RuleBook",
    "Ruleset",
    "Verdict",
    "check_examples",
    "example_row",
    "examples_of",
    "find_rulesets",
    "load_rulesets",
]
