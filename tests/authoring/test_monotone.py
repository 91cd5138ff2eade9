"""A higher rating never makes a check worse, through every derivation, on the example sheets.

The formulas of the derivations take single numbers, not arrays, so the trials go one by one through
`Facts.with_values` and the Python evaluator. What a rule reads directly is proven for all values in
`tests/proofs/test_proving.py`; here the way through the formulas and the plan is tried.
"""

from __future__ import annotations

import os
from functools import cache

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from advisor.driving.survey import surveyed
from advisor.facts.origins import Fact
from advisor.fixing.workshop import Workshop
from advisor.rules import load_rulesets
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet
from advisor.vocabulary import VOCABULARY
from advisor.vocabulary.ratings import RATINGS

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
SHEETS = {
    name: path
    for name, path in example_sheets().items()
    if name in ("bargain-parts", "orchard-four-seater", "seventy-two-volt-hauler")
}
BOOK = load_rulesets(examples=False)
TRIALS = 150


@cache
def _workshop(sheet: str) -> Workshop:
    return Workshop(surveyed(read_sheet(SHEETS[sheet])), BOOK)


def _stated() -> list[tuple[str, str, str]]:
    """(sheet, part, rating) of every rating that a sheet states."""
    found = []
    for sheet in SHEETS:
        facts = _workshop(sheet).facts
        for instance in facts.build.instances:
            for attribute in VOCABULARY.subjects[instance.subject].attributes:
                if attribute.path in RATINGS:
                    fact = facts.fact(instance.id, attribute.name)
                    if isinstance(fact, Fact) and not fact.assumed:
                        found.append((sheet, instance.id, attribute.name))
    return found


STATED = _stated()


def test_ratings_are_attributes_and_many_are_stated() -> None:
    assert VOCABULARY.attributes.keys() >= RATINGS
    subjects = {
        instance.id: instance.subject
        for sheet in SHEETS
        for instance in _workshop(sheet).facts.build.instances
    }
    assert len({f"{subjects[part]}.{name}" for _, part, name in STATED}) >= 25


@settings(
    max_examples=TRIALS,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
@given(st.sampled_from(STATED), st.floats(1.001, 10.0))
def test_a_higher_rating_breaks_nothing(one: tuple[str, str, str], factor: float) -> None:
    sheet, part, name = one
    workshop = _workshop(sheet)
    fact = workshop.facts.fact(part, name)
    assert isinstance(fact, Fact)
    before = float(fact.value)
    absolute = fact.attribute.dimension.absolute
    after = before + 5.0 * factor if absolute else before * factor
    outcome = workshop.outcome({(part, name): after})
    assert [(broken.rule.name, broken.case) for broken in outcome.broken] == []


def test_a_rating_that_makes_things_worse_would_be_noticed() -> None:
    """A fuse of ten times its rating is no rating here, and for a reason: it breaks checks."""
    workshop = _workshop("orchard-four-seater")
    fuse = next(one.id for one in workshop.facts.build.instances if one.subject == "fuse")
    rating = workshop.facts.fact(fuse, "rating")
    assert isinstance(rating, Fact)
    assert "fuse.rating" not in RATINGS
    assert workshop.outcome({(fuse, "rating"): float(rating.value) * 10.0}).broken


@pytest.mark.parametrize("path", sorted(RATINGS))
def test_no_rating_is_listed_that_is_more_dangerous_when_high(path: str) -> None:
    assert VOCABULARY.attributes[path].worse != "high"
