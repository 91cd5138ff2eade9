"""Facts of an example sheet with its text changed, its plan traced and its trips driven."""

from __future__ import annotations

from advisor.driving.survey import surveyed
from advisor.facts import Facts
from advisor.facts.origins import Fact
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet_bytes

TWIN = "twin-packs-in-parallel"
CAMPUS = "campus-ac-drive"
HAULER = "seventy-two-volt-hauler"


def text_of(name: str) -> str:
    return example_sheets()[name].read_text(encoding="utf-8")


def facts(name: str, *changes: tuple[str, str]) -> Facts:
    text = text_of(name)
    for old, new in changes:
        assert text.count(old) >= 1, old
        text = text.replace(old, new, 1)
    folder = example_sheets()[name].parent
    return surveyed(read_sheet_bytes(text.encode(), "sheet.yaml", folder))


def value(found: Facts, part: str, name: str) -> object:
    fact = found.fact(part, name)
    return fact.value if isinstance(fact, Fact) else None


def number(found: Facts, part: str, name: str) -> float:
    known = value(found, part, name)
    assert isinstance(known, float), (part, name)
    return known
