"""Sets of fixes tried one after the other, against the whole build judged anew with each set."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.driving.survey import surveyed
from advisor.engine import Judgement
from advisor.facts.origins import Key, Value
from advisor.findings.judged import judged
from advisor.fixing.checks import Check, by_check
from advisor.fixing.offers import offers
from advisor.fixing.trials import tried, values_of
from advisor.fixing.workshop import Workshop
from advisor.rules import load_rulesets
from advisor.rules.values import Verdict
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet

BOOK = load_rulesets(examples=False)


@cache
def variants(name: str) -> tuple[Workshop, list[dict[Key, Value]]]:
    workshop = Workshop(surveyed(read_sheet(example_sheets()[name])), BOOK)
    found = tried(workshop, offers(workshop.facts, workshop.before.values()))
    return workshop, [values_of([one.variant]) for one in found]


@pytest.mark.parametrize("name", ["bargain-parts", "winter-hauler"])
@settings(max_examples=15, deadline=None)
@given(data=st.data())
def test_a_set_built_up_in_any_order_is_judged_as_if_at_once(
    name: str, data: st.DataObject
) -> None:
    shared, listed = variants(name)
    workshop = Workshop(shared.facts, BOOK)
    order = data.draw(st.lists(st.sampled_from(range(len(listed))), unique=True, max_size=5))
    values: dict[Key, Value] = {}
    for number in order:
        values = values | listed[number]
        anew = by_check(judged(shared.facts.with_values("at once", values), BOOK).checks.values())
        said = by_check(workshop.judged(values).checks.values())
        assert verdicts(said) == verdicts(anew)
        outcome = workshop.outcome(values)
        before, after = verdicts(shared.before), verdicts(anew)
        violated = {check for check, verdict in before.items() if verdict is Verdict.VIOLATED}
        now = {check for check, verdict in after.items() if verdict is Verdict.VIOLATED}
        open_now = {check for check, verdict in after.items() if verdict is Verdict.UNDETERMINED}
        assert set(by_check(outcome.broken)) == now - violated
        assert set(by_check(outcome.still)) == now & violated
        assert set(by_check(outcome.cleared)) == violated - now - open_now
        assert set(by_check(outcome.opened)) == {
            check for check in open_now if before[check] is not Verdict.UNDETERMINED
        }


def verdicts(judgements: Mapping[Check, Judgement]) -> dict[Check, Verdict]:
    return {check: one.verdict for check, one in judgements.items()}
