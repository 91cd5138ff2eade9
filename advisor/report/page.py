"""Lines of text for a terminal: wrapped to a width, safe to print."""

from __future__ import annotations

import textwrap
from collections.abc import Collection, Sequence

from advisor.report.letters import coded

RULE_LINE = "-"


class Page:
    """Lines of text, wrapped to a width."""

    def __init__(self, width: int) -> None:
        self.width = width
        self.lines: list[str] = []

    def line(self, text: str = "") -> None:
        self.lines.append(text.rstrip())

    def para(self, text: str, indent: int = 0, label: str = "") -> None:
        """A wrapped paragraph; `label` hangs to the left of the text."""
        first = " " * indent + (f"{label} " if label else "")
        rest = " " * (indent + (len(label) + 1 if label else 0))
        self.lines += textwrap.wrap(
            plain(text),
            self.width,
            initial_indent=first,
            subsequent_indent=rest,
            break_on_hyphens=False,
            break_long_words=True,
        ) or [first.rstrip()]

    def row(self, text: str) -> None:
        """A row of a table: kept as it is, whatever its width."""
        self.lines.append(coded(text.replace("\n", " ")).rstrip())

    def text(self) -> str:
        """Everything so far."""
        return "\n".join(self.lines).rstrip() + "\n"

    def heading(self, text: str) -> None:
        self.line()
        self.para(text)
        self.line(RULE_LINE * min(len(text), self.width))


def plain(text: str) -> str:
    """One line of characters that cannot command a terminal: a file name may hold anything."""
    return coded(" ".join(text.split()))


def table_rows(rows: Sequence[Sequence[str]], left: Collection[int]) -> list[str]:
    """Rows with columns as wide as their longest cell; those of `left` start at the left."""
    cells = [[" ".join(cell.split()) for cell in row] for row in rows]
    wide = [max(len(row[n]) for row in cells) for n in range(len(cells[0]))]
    return [
        "  ".join(
            cell.ljust(size) if n in left else cell.rjust(size)
            for n, (cell, size) in enumerate(zip(row, wide, strict=True))
        )
        for row in cells
    ]
