"""A recorded or wished drive from a file beside the sheet: time, speed and grade."""

from __future__ import annotations

import csv
import math
import re
from dataclasses import dataclass
from pathlib import Path

from advisor.problems import Place, Problem, ProblemsFoundError, nearest, shown
from advisor.units import UnitError, unit

MAX_BYTES = 8 << 20
MAX_ROWS = 200_000
_COLUMNS = {"time": "s", "speed": "km/h", "grade": "%"}
_HEAD = re.compile(r"([a-z]+)\s*[\[( ]\s*([^\])]+?)\s*[\])]?")
_FORM = "start with a line such as: time s, speed km/h, grade %"


@dataclass(frozen=True, slots=True)
class Trace:
    """Time, s, rising; speed, m/s; grade, rise over run; one row after another."""

    time: tuple[float, ...]
    speed: tuple[float, ...]
    grade: tuple[float, ...]


def read_trace(folder: Path, name: str) -> Trace:
    """The drive in a file below a folder. Raises ProblemsFoundError with every bad line."""
    path = folder / name

    def refuse(problem: str, advice: str = "") -> ProblemsFoundError:
        return ProblemsFoundError([Problem(str(path), Place(), "", problem, advice)])

    parts = Path(name).parts
    if Path(name).is_absolute() or ".." in parts or not name.strip():
        raise refuse("a trace lies beside its sheet", "write a file name such as drive.csv")
    try:
        if not path.is_file():
            raise refuse(
                "there is no such file", "check the name; it is looked for beside the sheet"
            )
        if path.stat().st_size > MAX_BYTES:
            raise refuse("the file is larger than 8 MiB", "keep one value per second")
        text = path.read_bytes().decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise refuse("not UTF-8 text", "save the file as UTF-8") from error
    except OSError as error:
        raise refuse(f"cannot be read: {error.strerror}") from error
    return _Reading(str(path)).read(text)


class _Reading:
    """Reads the lines; problems are collected."""

    def __init__(self, file: str) -> None:
        self.file = file
        self.problems: list[Problem] = []

    def note(self, line: int, problem: str, advice: str = "") -> None:
        self.problems.append(Problem(self.file, Place(line, 1), "", problem, advice))

    def read(self, text: str) -> Trace:
        rows = list(csv.reader(text.splitlines()))
        if len(rows) > MAX_ROWS:
            self.note(0, f"more than {MAX_ROWS} lines", "keep one value per second")
            raise ProblemsFoundError(self.problems)
        columns = self._head(rows[0] if rows else [])
        if not columns:
            raise ProblemsFoundError(self.problems)
        found: dict[str, list[float]] = {name: [] for name in _COLUMNS}
        for line, row in enumerate(rows[1:], 2):
            if not any(cell.strip() for cell in row):
                continue
            self._row(line, row, columns, found)
            if len(self.problems) > 100:
                break
        if not self.problems and len(found["time"]) < 2:
            self.note(0, "there are fewer than two lines of values", "write one for each second")
        if self.problems:
            raise ProblemsFoundError(self.problems)
        return Trace(*(tuple(found[name]) for name in _COLUMNS))

    def _head(self, cells: list[str]) -> dict[str, tuple[int, float]]:
        """Column number and factor to SI by name."""
        found: dict[str, tuple[int, float]] = {}
        for number, cell in enumerate(cells):
            match = _HEAD.fullmatch(cell.strip().lower())
            name = match[1] if match else cell.strip().lower()
            if name not in _COLUMNS:
                advice = nearest(name, _COLUMNS) or _FORM
                self.note(1, f"{shown(cell.strip())} is no column known here", advice)
                continue
            example = _COLUMNS[name]
            try:
                spelling = match[2] if match else ""
                known, wanted = unit(spelling), unit(example)
                if known.dimension != wanted.dimension or known.offset:
                    raise UnitError(spelling, "")
                found[name] = (number, known.factor)
            except (UnitError, KeyError):
                problem = f"{shown(cell.strip())} has no unit of {name}"
                self.note(1, problem, f"write {name} {example}")
        for name in ("time", "speed"):
            if name not in found and not self.problems:
                self.note(1, f"there is no column {name}", _FORM)
        return {} if self.problems else found

    def _row(
        self,
        line: int,
        row: list[str],
        columns: dict[str, tuple[int, float]],
        found: dict[str, list[float]],
    ) -> None:
        values = {"grade": 0.0}
        for name, (number, factor) in columns.items():
            cell = row[number].strip() if number < len(row) else ""
            try:
                values[name] = float(cell) * factor
            except ValueError:
                self.note(line, f"{shown(cell)} is no number for {name}", "write a plain number")
                return
            if not math.isfinite(values[name]):
                self.note(line, f"{shown(cell)} is no number for {name}", "write a plain number")
                return
        if values["speed"] < 0:
            self.note(line, "the speed is negative", "write 0 while it stands")
        elif values["speed"] > 60:
            self.note(line, "the speed is above 216 km/h", "check its unit in the first line")
        elif abs(values["grade"]) > 1:
            self.note(line, "the grade is above 100 %", "check its unit in the first line")
        elif found["time"] and values["time"] <= found["time"][-1]:
            self.note(line, "the time does not rise", "order the lines by time, each time once")
        else:
            for name in _COLUMNS:
                found[name].append(values[name])
