"""Builds side by side as text, Markdown, CSV or data."""

from __future__ import annotations

import csv
import io
import textwrap
from collections.abc import Iterable, Sequence
from typing import Any

from advisor.findings.comparing import Comparison, Row
from advisor.report.letters import coded
from advisor.report.page import Page
from advisor.report.sentences import CAUTIONS

FORMAT = "conversion-advisor-comparison"
VERSION = "1.0"
_LEAST = 16
_MOST = 24


def _tables(found: Comparison) -> list[tuple[str, list[Row]]]:
    """Headings with their rows, differences first."""
    only = [
        Row(
            f"{one.rule.title} ({one.rule.name}, {one.about}; {one.level.word})",
            tuple("yes" if has else "-" for has in have),
        )
        for one, have in found.only
    ]
    return [
        ("What differs", [one for one in found.rows if one.differs]),
        ("Findings that not all have", only),
        ("What else must change, and need not in the first", list(found.needs)),
        ("Parts that differ", list(found.parts)),
        ("What is the same", [one for one in found.rows if not one.differs]),
    ]


def render_comparison(found: Comparison, width: int) -> str:
    """The comparison as text, a column for each build."""
    page = Page(width)
    letters = [chr(ord("A") + n) for n in range(len(found.names))]
    for letter, name in zip(letters, found.names, strict=True):
        page.para(name, label=f"{letter}:")
    for heading, rows in _tables(found):
        if rows:
            page.heading(heading)
            for line in _columns(letters, rows[:_MOST], width):
                page.row(line)
            if len(rows) > _MOST:
                page.row(f"and {len(rows) - _MOST} more; --format csv lists all")
    page.heading("How to read this")
    page.para(
        "No column is best: a build with fewer findings may have more open questions. What is "
        "assumed is assumed for all alike."
    )
    page.line()
    page.para(CAUTIONS[0])
    return page.text()


def _columns(letters: Sequence[str], rows: Iterable[Row], width: int) -> list[str]:
    """Lines of a table whose cells are wrapped."""
    each = max(_LEAST, (width - 4) // (len(letters) + 2))
    first = max(_LEAST, width - (each + 2) * len(letters))
    lines = []
    for row in [Row("", tuple(letters)), *rows]:
        cells = [_wrapped(row.name, first), *(_wrapped(text, each) for text in row.texts)]
        for number in range(max(len(cell) for cell in cells)):
            parts = [
                (cell[number] if number < len(cell) else "").ljust(size)
                for cell, size in zip(cells, [first, *[each] * len(letters)], strict=True)
            ]
            lines.append("  ".join(parts).rstrip())
    return lines


def _wrapped(text: str, width: int) -> list[str]:
    return textwrap.wrap(_plain(text), width) or [""]


def _plain(text: str) -> str:
    return coded(" ".join(text.split()))


def comparison_markdown(found: Comparison) -> str:
    """The comparison as Markdown tables."""
    lines: list[str] = []
    for heading, rows in _tables(found):
        if not rows:
            continue
        lines += [f"## {heading}", ""]
        lines.append(_markdown_row(["", *found.names]))
        lines.append("|" + "---|" * (len(found.names) + 1))
        lines += [_markdown_row([one.name, *one.texts]) for one in rows]
        lines.append("")
    lines.append(CAUTIONS[0])
    return "\n".join(lines) + "\n"


def _markdown_row(cells: Iterable[str]) -> str:
    return "| " + " | ".join(_safe(cell) for cell in cells) + " |"


def _safe(cell: str) -> str:
    """A cell that is only text in Markdown."""
    return _plain(cell).replace("\\", "\\\\").replace("|", "\\|").replace("<", "&lt;")


def comparison_csv(found: Comparison) -> str:
    """One row for each thing; the first column says of which table it is."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["table", "row", *map(_cell, found.names)])
    for heading, rows in _tables(found):
        for one in rows:
            writer.writerow([heading, *map(_cell, (one.name, *one.texts))])
    return out.getvalue()


def _cell(text: str) -> str:
    """A cell that no spreadsheet takes for a formula."""
    plain = _plain(text)
    return f"'{plain}" if plain[:1] in ("=", "+", "@") or plain[:2] == "-=" else plain


def comparison_data(found: Comparison) -> dict[str, Any]:
    """The comparison as data."""

    def rows(listed: Iterable[Row]) -> list[dict[str, Any]]:
        return [
            {"name": one.name, "texts": list(one.texts), "differs": one.differs} for one in listed
        ]

    return {
        "format": FORMAT,
        "version": VERSION,
        "builds": list(found.names),
        "rows": rows(found.rows),
        "findings": [
            {
                "rule": one.rule.name,
                "about": one.about,
                "level": one.level.word,
                "title": one.rule.title,
                "has": list(have),
            }
            for one, have in found.only
        ],
        "parts": rows(found.parts),
        "needs": rows(found.needs),
    }


__all__ = ["comparison_csv", "comparison_data", "comparison_markdown", "render_comparison"]
