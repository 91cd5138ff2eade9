"""A check is a rule on a part; judgements by check."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.engine import Judgement
from advisor.findings.judged import Check


def check_of(one: Judgement) -> Check:
    """The check of a judgement."""
    return one.rule.name, one.case


def by_check(judgements: Iterable[Judgement]) -> dict[Check, Judgement]:
    """The judgements with a hazard by their check."""
    return {check_of(one): one for one in judgements if one.rule.hazard is not None}


__all__ = ["Check", "by_check", "check_of"]
