"""Proofs hold within the declared ranges of attributes: no value of an example sheet leaves them.

A computed value outside its range would mean that a proof speaks of less than what can happen.
"""

from __future__ import annotations

import pytest

from advisor.driving.survey import surveyed
from advisor.facts.origins import Fact
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet
from advisor.vocabulary import VOCABULARY

SHEETS = example_sheets()


@pytest.mark.parametrize("name", SHEETS)
def test_every_value_is_within_its_range(name: str) -> None:
    facts = surveyed(read_sheet(SHEETS[name]))
    outside = []
    for instance in facts.build.instances:
        for attribute in VOCABULARY.subjects[instance.subject].attributes:
            fact = facts.fact(instance.id, attribute.name)
            if not isinstance(fact, Fact) or not isinstance(fact.value, float):
                continue
            low, high = attribute.at_least, attribute.at_most
            if (low is not None and fact.value < low) or (high is not None and fact.value > high):
                outside.append((instance.id, attribute.path, fact.value))
    assert outside == []
