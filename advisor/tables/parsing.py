"""The form of a table file: headings, units, and cells that name their source."""

from __future__ import annotations

import math

from advisor.problems import Place, Problem, ProblemsFoundError, shown
from advisor.tables.table import Table, TableValue
from advisor.units import UnitError, parse_area, unit

CONFIDENCE = ("read", "secondary", "computed", "memory", "invented")
"""Read in the source; in a reproduction; computed with a stated method; from memory; made up."""

_HEADINGS = ("title", "edition", "number", "note")
_WORD = "word"
_GAUGE = "AWG"


def parse_table(name: str, text: str) -> Table:
    """A table from the text of its file. Raises ProblemsFoundError.

    `# title:`, `# edition:`, `# number:`, `# note:` and `# source KEY CONFIDENCE: text` come first.
    Then comma-separated: column names, their units (`word` for words, `AWG` for a wire gauge given
    as its area), rows. A cell is a number or word, a space, and the key of its source; the key may
    be left out where the file has one source.
    """
    return _Reading(name).table(text)


class _Reading:
    """One pass over a file that collects what is wrong instead of stopping."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.problems: list[Problem] = []
        self.words: dict[str, list[str]] = {heading: [] for heading in _HEADINGS}
        self.sources: dict[str, tuple[str, str]] = {}

    def wrong(self, line: int, column: int, path: str, problem: str, advice: str) -> None:
        place = Place(line, column)
        self.problems.append(Problem(f"{self.name}.csv", place, path, problem, advice))

    @property
    def title(self) -> str:
        return " ".join(self.words["title"])

    def table(self, text: str) -> Table:
        grid: list[tuple[int, list[str]]] = []
        for line, written in enumerate(text.splitlines(), start=1):
            if written.startswith("#"):
                self._heading(line, written[1:].strip())
            elif written.strip():
                grid.append((line, written.split(",")))
        if not self.title:
            self.wrong(1, 1, "", "the table has no title", "write a line `# title: ...`")
        if len(grid) < 3 or grid[1][1][0].strip() != "unit":
            self.wrong(0, 0, "", "no names, units and rows", "write a line that starts with `unit`")
            raise ProblemsFoundError(self.problems)
        (_, names), (units_line, units), *lines = grid
        columns = tuple(name.strip() for name in names[1:])
        readable = self._units(units_line, units)
        if len(set(columns)) < len(columns) or len(readable) != len(columns):
            advice = "write one unit for each column, and each column once"
            self.wrong(units_line, 1, "", "names and units do not fit", advice)
            raise ProblemsFoundError(self.problems)
        cells: dict[tuple[str, str], TableValue] = {}
        rows: list[str] = []
        for line, parts in lines:
            if len(parts) != len(names):
                problem = f"{len(parts)} cells in this row"
                self.wrong(line, 1, "", problem, f"write {len(names)} cells")
                continue
            row = parts[0].strip()
            if row in rows:
                self.wrong(line, 1, row, "the row is listed twice", "remove one of them")
            rows.append(row)
            at = len(parts[0]) + 2
            for column, spelling, cell in zip(columns, readable, parts[1:], strict=True):
                if cell.strip() and spelling is not None:
                    found = self._cell(line, at, row, column, spelling, cell.strip())
                    if found is not None:
                        cells[row, column] = found
                at += len(cell) + 1
        if self.problems:
            raise ProblemsFoundError(self.problems)
        edition, number = (" ".join(self.words[heading]) for heading in ("edition", "number"))
        notes = tuple(self.words["note"])
        return Table(self.name, self.title, edition, number, notes, columns, tuple(rows), cells)

    def _heading(self, line: int, written: str) -> None:
        head, colon, text = written.partition(":")
        key = head.split()
        if colon and head in self.words:
            self.words[head].append(text.strip())
        elif colon and len(key) == 3 and key[0] == "source" and key[2] in CONFIDENCE:
            self.sources[key[1]] = (text.strip(), key[2])
        else:
            advice = "write `# title: ...`, `# note: ...` or `# source KEY CONFIDENCE: ...`"
            self.wrong(line, 1, "", f"{shown(written)} is not a heading", advice)

    def _units(self, line: int, written: list[str]) -> list[str | None]:
        """The unit of each column, None where it cannot be read."""
        units: list[str | None] = []
        at = len(written[0]) + 2
        for cell in written[1:]:
            spelling: str | None = cell.strip()
            if spelling not in (_WORD, _GAUGE):
                try:
                    unit(cell)
                except UnitError as error:
                    self.wrong(line, at, "unit", error.problem, error.advice)
                    spelling = None
            units.append(spelling)
            at += len(cell) + 1
        return units

    def _cell(
        self, line: int, at: int, row: str, column: str, spelling: str, cell: str
    ) -> TableValue | None:
        path = f"{row}.{column}"
        written, _, key = cell.partition(" ")
        if not key and len(self.sources) == 1:
            key = next(iter(self.sources))
        if key not in self.sources:
            advice = "write the key of one of the sources after the value"
            self.wrong(line, at, path, f"{shown(cell)} has no known source", advice)
            return None
        value = _converted(written, spelling)
        if value is None:
            self.wrong(line, at, path, f"{shown(written)} is not a number", "write a number")
            return None
        source, confidence = self.sources[key]
        return TableValue(value, self.title, row, column, source, confidence)


def _converted(written: str, spelling: str) -> float | str | None:
    """SI value of a written cell, or None if it cannot be read in this unit."""
    if spelling == _WORD:
        return written
    try:
        if spelling == _GAUGE:
            return parse_area(f"{written} AWG").value
        known = unit(spelling)
        value = float(written) * known.factor + known.offset
    except (UnitError, ValueError):
        return None
    return value if math.isfinite(value) else None
