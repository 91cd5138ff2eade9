"""A finished vehicle whose sheet lists no trips: what a person says and tries there decides."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.commands.handoff import reviewed
from advisor.handoff.model import Outcome, Review

SHEET = Path("scenarios/handoff/orchard-four-seater-handed-over.yaml")


def review_of(folder: Path, *changes: tuple[str, str]) -> Review:
    """The review of the orchard sheet without its trips and what was read of them, then changed."""
    text = SHEET.read_text(encoding="utf-8")
    text = re.sub(r"^trips:\n.*?(?=^\S)", "", text, flags=re.M | re.S)
    text = re.sub(r"^  - \{of: (mailbox|rows), .*\n", "", text, flags=re.M)
    text = re.sub(r"^  - \{of: battery, what: charge_left_measured.*\n", "", text, flags=re.M)
    for pattern, instead in changes:
        assert re.search(pattern, text, flags=re.M), pattern
        text = re.sub(pattern, instead, text, flags=re.M)
    path = folder / "sheet.yaml"
    path.write_text(text, encoding="utf-8")
    found: Review = reviewed(path, "si", None)
    return found


LOADED = (r"^use:\n", "use:\n  cargo: 0 lb\n")


def test_the_load_of_its_use_and_the_tried_range_clear_it(tmp_path: Path) -> None:
    """What is left is a reading of the guide that was left out: the charge after a usual day."""
    found = review_of(tmp_path, LOADED)
    assert (found.outcome, found.obstacles) == (Outcome.CONDITIONS, ())
    assert [(one.kind, one.rule) for one in found.conditions] == [("step", "day-charge")]


def test_the_load_is_asked_for_by_its_name(tmp_path: Path) -> None:
    found = review_of(tmp_path)
    asked = {one.rule: one.ask for one in found.obstacles}
    assert set(asked) == {"heavier-than-rated", "rear-tyres-overloaded", "more-load-than-payload"}
    assert set(asked.values()) == {"Find out: use: cargo carried."}


WARM, START = "of: battery, what: range_warm", "of: vehicle, what: grade_start_predicted"


@pytest.mark.parametrize(
    ("change", "rule", "kind"),
    [
        ((r"^use:\n", "use:\n  cargo: 600 lb\n"), "heavier-than-rated", "risk"),
        ((WARM + r", value: [^,]*", WARM + ", value: 7 mi"), "day-eats-the-reserve", "risk"),
        ((r"^  - \{" + WARM + r".*\n", ""), "day-eats-the-reserve", "undecided"),
        ((START + ", value: [^,]*", START + ", value: 8 %"), "grade-steeper-than", "risk"),
        ((r"^  - \{" + START + r".*\n", ""), "grade-steeper-than", "undecided"),
    ],
)
def test_what_was_tried_decides(
    tmp_path: Path, change: tuple[str, str], rule: str, kind: str
) -> None:
    """600 lb beside four people: over its plate; 7 mi for a day of 6 mi: a reserve of 20 % goes."""
    changes = (change,) if "cargo" in change[1] else (LOADED, change)
    found = review_of(tmp_path, *changes)
    assert [one.kind for one in found.obstacles if one.rule.startswith(rule)] == [kind]
