"""A risk that somebody looked at and accepts: data that sheets, rulesets and reports share."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Acceptance:
    """A risk that somebody accepts: a rule, on one part or on all, with name, date and reason.

    An empty `about` means every part. The finding stays; the acceptance is printed beside it.
    """

    rule: str
    about: str
    who: str
    date: str
    reason: str

    def sentence(self) -> str:
        """What a report prints beside the finding."""
        end = "" if self.reason.endswith((".", "!", "?")) else "."
        return (
            f"Reviewed, accepted by {self.who} on {self.date}: {self.reason}{end} "
            "The finding stands."
        )


def accepted_for(
    acceptances: Iterable[Acceptance], rule: str, about: str
) -> tuple[Acceptance, ...]:
    """Those that speak of a rule on a part."""
    return tuple(one for one in acceptances if one.rule == rule and one.about in ("", about))


def is_date(text: str) -> bool:
    """True for a day of the calendar, written like 2026-11-24."""
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False
