"""A kind of part that the sheet does not mention: no formula may fail over it."""

from __future__ import annotations

from itertools import chain, combinations
from typing import Any

import pytest

from advisor.facts import DERIVATIONS
from advisor.facts.derivation import Derivation, Need
from advisor.vocabulary import VOCABULARY, Kind


def kinds(one: Derivation) -> list[str]:
    """The kinds of parts of which every one is looked at, none is needed."""
    needed = {need.subject for need in one.needs if not need.optional}
    return sorted({one.subject for one in one.needs if one.each} - needed)


def value(need: Need) -> Any:
    """Something that the attribute may be."""
    if need.attribute == "present" or need.time:
        return "" if need.time else True
    attribute = VOCABULARY.attributes[f"{need.subject}.{need.attribute}"]
    if attribute.choices:
        return attribute.choices[0]
    return {Kind.FLAG: True, Kind.REFERENCE: "part-a", Kind.TEXT: "text"}.get(attribute.kind, 2.0)


OPEN = [one for one in chain.from_iterable(DERIVATIONS.values()) if kinds(one)]


@pytest.mark.parametrize("one", OPEN, ids=lambda one: f"{one.subject}.{one.attribute}")
@pytest.mark.parametrize("stated", [True, False])
def test_no_formula_fails_over_parts_that_nobody_mentions(one: Derivation, stated: bool) -> None:
    """Every set of such kinds, with what is not needed of the other parts stated or not."""
    several = kinds(one)
    for number in range(len(several) + 1):
        for absent in combinations(several, number):
            values = []
            for need in one.needs:
                known = None if need.optional and not stated else value(need)
                if need.each:
                    values.append(None if need.subject in absent else [known, known])
                else:
                    values.append(known)
            one.formula(*values)


def test_there_are_such_formulas() -> None:
    assert len(OPEN) > 20
