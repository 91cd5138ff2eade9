"""What a review rests on, as plain data: to be kept in the record, and compared later."""

from __future__ import annotations

from typing import Any

from advisor.findings.risk import level_of
from advisor.handoff.model import Review

FORMAT = "conversion-advisor-handoff"
VERSION = "1.0"


def evidence(review: Review) -> dict[str, Any]:
    """Fingerprints, versions and every verdict of a review, for `json.dumps`."""
    screening = review.screening
    return {
        "format": FORMAT,
        "version": VERSION,
        "program": {"version": review.program_version, "engine": screening.engine},
        "sheet": {"title": review.build.title, "fingerprint": review.build.fingerprint},
        "rulesets": [{"name": one.name, "version": one.version} for one in screening.book.rulesets],
        "rules_fingerprint": screening.book.fingerprint,
        "outcome": review.outcome.value,
        "verdicts": [
            {
                "rule": one.rule.name,
                "part": one.case,
                "verdict": str(one.verdict),
                "assumed": one.on_assumption,
                "level": level_of(one.rule).word,
                "meaning": one.rule.meaning,
            }
            for one in sorted(screening.judgements, key=lambda one: (one.rule.name, one.case))
        ],
    }


__all__ = ["FORMAT", "VERSION", "evidence"]
