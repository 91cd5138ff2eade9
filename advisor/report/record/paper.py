"""The record as a PDF: typeset from data, with no text of the sheet read as markup."""

from __future__ import annotations

import json
from dataclasses import asdict
from datetime import datetime
from pathlib import Path
from typing import Any

import typst

from advisor.handoff.model import Review
from advisor.report.record.blocks import Record
from advisor.report.record.content import record_of
from advisor.report.record.fonts import FAMILY, FOLDER, printed
from advisor.report.record.signals import signals
from advisor.report.record.words import short

_TEMPLATES = Path(__file__).parent / "templates"
_PICTURES = ("picture",)


def typeset(template: str, data: dict[str, Any], day: datetime | None = None) -> bytes:
    """A template of this package with data, as a tagged PDF.

    The same data give the same bytes; a date goes in only when one is given. Raises TypstError.
    """
    inputs = {"data": json.dumps(data, ensure_ascii=True), "font": FAMILY}
    done = typst.compile(
        str(_TEMPLATES / template),
        root=str(_TEMPLATES),
        font_paths=[str(FOLDER)],
        ignore_system_fonts=True,
        format="pdf",
        sys_inputs=inputs,
        pdf_standards=["ua-1"],
        timestamp=None if day is None else int(day.timestamp()),
    )
    assert isinstance(done, bytes)
    return done


def record_pdf(review: Review, system: str, made: Record | None = None) -> bytes:
    """The record as PDF; `system` and `made` as for `record_html`."""
    return typeset("record.typ", for_paper(made or record_of(review, system)))


def for_paper(record: Record) -> dict[str, Any]:
    """A record as data for the typesetter: characters that its font has, long words breakable."""
    looks = {one.word: asdict(one) for one in signals()}
    running = printed(short(record.title, 80))
    return {**_printed(asdict(record)), "signals": looks, "running": running}


def _printed(value: Any, key: str = "") -> Any:
    if isinstance(value, str):
        return value.replace("sans-serif", FAMILY) if key in _PICTURES else printed(value)
    if isinstance(value, dict):
        return {name: _printed(one, name) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [_printed(one) for one in value]
    return value


__all__ = ["for_paper", "record_pdf", "typeset"]
