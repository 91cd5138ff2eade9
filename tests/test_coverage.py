"""Every check of the trade has rules or a reason, and every rule has its place among the checks.

`coverage.yaml` is read by people; what it says about the world was argued row by row.
"""

from __future__ import annotations

import pytest

from advisor.rules import load_rulesets
from tests.make_coverage import later, named, page, read
from tests.make_docs import DOCS

BOOK = load_rulesets(examples=False)
DATA = read()
RULES = {rule.name: rule for rule in BOOK.rules}


def test_every_named_rule_exists() -> None:
    assert named(DATA) - RULES.keys() == set()


def test_rules_named_in_a_ruleset_of_their_own_stand_there() -> None:
    there = {one.name: {rule.name for rule in one.rules} for one in BOOK.rulesets}
    for ruleset, names in later(DATA).items():
        assert ruleset in DATA["groups"]
        assert names <= there.get(ruleset, names)


@pytest.mark.parametrize("part", DATA["sections"], ids=lambda one: one["title"])
def test_every_row_has_rules_or_a_reason(part: dict[str, list[dict[str, object]]]) -> None:
    for row in part["rows"]:
        assert row.get("rules") or row.get("later") or row.get("why"), row["what"]


def test_no_check_is_listed_twice_in_a_section() -> None:
    for part in DATA["sections"]:
        whats = [row["what"] for row in part["rows"]]
        assert len(whats) == len(set(whats))


def test_every_rule_has_a_row_or_belongs_to_a_group() -> None:
    grouped = {rule.name for rule in BOOK.rules if rule.ruleset in DATA["groups"]}
    assert RULES.keys() - named(DATA) - grouped == set()


def test_the_page_is_up_to_date() -> None:
    assert (DOCS / "coverage.md").read_text(encoding="utf-8") == page(BOOK), (
        "run python -m tests.make_docs"
    )
