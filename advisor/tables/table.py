"""A published table: values in SI units, each with its source and how sure it is."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from advisor.physics.choose import interpolated
from advisor.problems import nearest


@dataclass(frozen=True, slots=True)
class TableValue:
    """One value: SI number or word, and where it comes from."""

    value: float | str
    table: str
    row: str
    column: str
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class Table:
    """A published table. `columns` are its names without the first; blank cells are not listed."""

    name: str
    title: str
    edition: str
    number: str
    notes: tuple[str, ...]
    columns: tuple[str, ...]
    rows: tuple[str, ...]
    cells: Mapping[tuple[str, str], TableValue]

    def value(self, row: str, column: str) -> TableValue | None:
        """The value at a row and column; None for a blank cell or a row the table lacks.

        Raises ValueError for a column the table lacks.
        """
        self._check(column)
        return self.cells.get((row, column))

    def numbers(self, column: str) -> tuple[float, ...]:
        """The numbers of a column from top to bottom, blanks left out. Raises ValueError."""
        self._check(column)
        found = (self.cells.get((row, column)) for row in self.rows)
        return tuple(_number(one) for one in found if one is not None)

    def step(self, by: str, at: float, column: str) -> float | None:
        """`column` in the row with the largest `by` that is not above `at`; None below the table.

        For tables of sizes, where the next smaller listed size is the safe one. Raises ValueError.
        """
        found = self.step_row(by, at, column)
        return found and found[1]

    def step_row(self, by: str, at: float, column: str) -> tuple[str, float] | None:
        """The same with the name of its row."""
        self._check(by)
        self._check(column)
        best: tuple[float, float, str] | None = None
        for row in self.rows:
            size, found = self.cells.get((row, by)), self.cells.get((row, column))
            if size is not None and found is not None and _number(size) <= at * (1 + 1e-9):
                best = max(best or (-math.inf, 0.0, ""), (_number(size), _number(found), row))
        return best and (best[2], best[1])

    def curve(self, by: str, at: float, column: str) -> float | None:
        """`column` at `by` = `at`, on straight lines between the listed points; None outside.

        Raises ValueError for a column the table lacks.
        """
        self._check(by)
        self._check(column)
        listed = [
            row for row in self.rows if (row, by) in self.cells and (row, column) in self.cells
        ]
        points = [_number(self.cells[row, by]) for row in listed]
        values = [_number(self.cells[row, column]) for row in listed]
        found = float(interpolated(at, points, values))
        return None if math.isnan(found) else found

    def _check(self, column: str) -> None:
        if column not in self.columns:
            known = nearest(column, self.columns) or "write one of " + ", ".join(self.columns)
            raise ValueError(f"table {self.name} has no column {column}; {known}")


def _number(found: TableValue) -> float:
    if isinstance(found.value, str):
        raise ValueError(f"{found.column} of {found.table} holds words, not numbers")
    return found.value
