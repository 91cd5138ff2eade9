"""The tables by name: read once, values in SI units with their source."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from advisor.problems import Place, Problem, ProblemsFoundError, nearest
from advisor.tables.parsing import parse_table
from advisor.tables.table import Table

NAMES = (
    "boat-ampacity",
    "boat-factors",
    "building-ampacity",
    "building-factors",
    "building-resistance",
    "chemistry",
    "cord-ampacity",
    "device-curves",
    "fuse-classes",
    "gassing-currents",
    "isolation-limits",
    "metric-resistance",
    "open-circuit",
    "receptacle-limits",
    "risk-matrix",
    "rolling",
    "signal-words",
    "standard-ratings",
    "tyre-speed",
    "voltage-limits",
)


def curve(name: str, column: str, at: float) -> float | None:
    """A column of a table at a value of its first column; None outside, or without that column."""
    found = table(name)
    return found.curve(found.columns[0], at, column) if column in found.columns else None


@cache
def table(name: str) -> Table:
    """A table by its name, read once. Raises ProblemsFoundError with all that is wrong with it."""
    if name not in NAMES:
        advice = nearest(name, NAMES) or "write one of " + ", ".join(NAMES)
        raise ProblemsFoundError([Problem(name, Place(), "", "there is no such table", advice)])
    text = (Path(__file__).parent / f"{name}.csv").read_text(encoding="utf-8")
    return parse_table(name, text)
