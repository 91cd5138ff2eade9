"""Reviews and records for the tests, made from sheets as the command makes them."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

from advisor.commands.handoff import reviewed
from advisor.handoff.model import Outcome, Review
from advisor.report.record import record_html, record_of
from advisor.report.record.blocks import Block, Record

SCENARIOS = Path(__file__).parents[3] / "scenarios"
LARGEST = "bargain-parts"
"""The example whose record is the longest: most findings."""
PLAIN = "twin-packs-in-parallel"
POOR = "three-facts"
"""The example of which hardly anything is known."""


@cache
def review_of(name: str, system: str = "us") -> Review:
    """The review of an example."""
    return reviewed(SCENARIOS / f"{name}.yaml", system)


@cache
def record(name: str, system: str = "us") -> Record:
    return record_of(review_of(name, system), system)


@cache
def page(name: str, system: str = "us") -> str:
    return record_html(review_of(name, system), system, record(name, system))


def ended(review: Review, outcome: Outcome) -> Review:
    """The same review with another end, and nothing in the way unless it is not ready."""
    if outcome is Outcome.NOT_READY:
        return review
    conditions = () if outcome is Outcome.READY else review.conditions
    return replace(review, outcome=outcome, obstacles=(), conditions=conditions)


def from_text(folder: Path, text: str, system: str = "us") -> Review:
    """The review of a sheet given as text."""
    sheet = folder / "sheet.yaml"
    sheet.write_text(text, encoding="utf-8")
    return reviewed(sheet, system)


def sheet_with(changes: Mapping[str, str], name: str = PLAIN, more: str = "") -> str:
    """The text of an example with some pieces of it replaced; each must be there."""
    text = (SCENARIOS / f"{name}.yaml").read_text(encoding="utf-8")
    for old, new in changes.items():
        assert old in text, old
        text = text.replace(old, new)
    return f"{text}\n{more}"


def quoted(text: str) -> str:
    """A text as a scalar of YAML."""
    return json.dumps(text, ensure_ascii=False)


def blocks(of: Record, part: str = "") -> list[Block]:
    """All blocks of a record, or those of one part."""
    return [
        block
        for one in of.parts
        if part in ("", one.mark)
        for section in one.sections
        for block in section.blocks
    ]


def words(block: Block) -> str:
    """Everything that a block says."""
    cells = (cell for row in block.rows for cell in row)
    return "\n".join((block.title, block.text, *block.items, *block.heads, *cells, block.alt))


def said(of: Record, part: str = "") -> str:
    """Everything that a record, or a part of it, says."""
    return "\n".join(words(block) for block in blocks(of, part))
