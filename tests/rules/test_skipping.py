"""Rulesets without their examples are the same rules at the same places."""

from __future__ import annotations

from advisor.rules import find_rulesets, load_rulesets
from advisor.rules.skipping import UNREAD, without_examples

TEXT = b"""\
rules:
  - rule: one
    because: >-
      The word
      examples:
      stands in a text.
    examples:   # two of them
      - {given: {}, verdict: violated}

      - given: {}
        verdict: satisfied
    fixes: []
  - rule: two
    examples:
    - {given: {}, verdict: violated}
    stage: order
  - rule: three
    examples: [{given: {}, verdict: violated}]
"""


def test_lines_keep_their_numbers() -> None:
    left = without_examples(TEXT).split(b"\n")
    assert len(left) == len(TEXT.split(b"\n"))
    kept = {number: line for number, line in enumerate(left, 1) if line.strip()}
    assert kept[5] == b"      examples:"
    assert kept[7] == b"    examples: " + UNREAD.encode()
    assert not {8, 9, 10, 11, 15} & set(kept)
    assert kept[12] == b"    fixes: []"
    assert kept[16] == b"    stage: order"
    assert kept[18] == b"    examples: [{given: {}, verdict: violated}]"


def test_the_shipped_rules_are_the_same_without_examples() -> None:
    whole = load_rulesets(find_rulesets())
    quick = load_rulesets(find_rulesets(), examples=False)
    assert quick.fingerprint == whole.fingerprint
    assert [(rule.name, rule.place, rule.meaning, rule.wording) for rule in quick.rules] == [
        (rule.name, rule.place, rule.meaning, rule.wording) for rule in whole.rules
    ]
