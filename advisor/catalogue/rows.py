"""A catalogue as one CSV file: a row for each part, a column for each attribute."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator
from pathlib import Path

from advisor.problems import Place, Problem, ProblemsFoundError, nearest, shown
from advisor.sheet.parts import PARTS
from advisor.yaml_text import Mapping, Node, Scalar, read_bytes

MAX_ROWS = 5000
_HEAD = ("id", "kind", "title", "price")


def rows_of(path: Path, problems: list[Problem]) -> Iterator[tuple[str, Node]]:
    """Kind and part of every row, as the reader of sheets takes them; an empty cell is not stated.

    The first line names the columns: `id`, `kind`, then attributes; comma or semicolon between.
    """
    name = str(path)
    rows = _rows(path)
    head = [one.strip() for one in rows[0]]
    known = {one.name for subject in PARTS.values() for one in subject.attributes}
    unknown = [one for one in head if one and one not in known and one not in _HEAD]
    for one in unknown:
        place = Place(1, head.index(one) + 1)
        advice = nearest(one, [*known, *_HEAD]) or "remove the column"
        problems.append(Problem(name, place, "", f"{shown(one)} is no column", advice))
    twice = sorted({one for one in head if one and head.count(one) > 1})
    for one in twice:
        second = len(head) - head[::-1].index(one)
        advice = "keep one of the two columns"
        problem = f"the column {shown(one)} is there twice"
        problems.append(Problem(name, Place(1, second), "", problem, advice))
    if twice:
        return
    lacking = [one for one in ("id", "kind") if one not in head]
    if lacking:
        advice = "start the first line with id,kind,title,price"
        problem = f"the first line names no column {' and '.join(lacking)}"
        problems.append(Problem(name, Place(1, 1), "", problem, advice))
        return
    for number, row in enumerate(rows[1:], 2):
        if not any(cell.strip() for cell in row):
            continue
        cells = dict(zip(head, row, strict=False))
        kind = _kind(cells["kind"].strip()) if "kind" in cells else ""
        if len(row) > len(head) or not kind:
            problem = (
                f"{len(row)} cells for {len(head)} columns"
                if len(row) > len(head)
                else f"{shown(cells.get('kind', ''))} is no kind of part"
            )
            advice = "quote cells with commas" if kind else _known_kind(cells.get("kind", ""))
            problems.append(Problem(name, Place(number, 1), "", problem, advice))
            continue
        entries: dict[str, Node] = {}
        keys: dict[str, Place] = {}
        for column, (key, cell) in enumerate(zip(head, row, strict=False), 1):
            if key and key != "kind" and key not in unknown and cell.strip():
                keys[key] = Place(number, column)
                entries[key] = Scalar(cell.strip(), keys[key])
        yield kind, Mapping(entries, keys, Place(number, 1))


def _kind(text: str) -> str:
    """The section of a kind, from its section or its singular."""
    if text in PARTS:
        return text
    return next((section for section, one in PARTS.items() if one.name == text), "")


def _known_kind(text: str) -> str:
    kinds = [one.name for one in PARTS.values()]
    return nearest(text, [*kinds, *PARTS]) or f"write one of: {', '.join(kinds)}"


def _rows(path: Path) -> list[list[str]]:
    def refuse(problem: str, advice: str = "", line: int = 0) -> ProblemsFoundError:
        return ProblemsFoundError([Problem(str(path), Place(line, 1) if line else Place(), "",
                                           problem, advice)])  # fmt: skip

    data = read_bytes(path)
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data[: error.start].count(b"\n") + 1
        raise refuse("the file is not UTF-8", "save it as UTF-8", line) from error
    if "\0" in text:
        raise refuse("the file is not text", "export it as CSV again")
    first = text.partition("\n")[0]
    mark = ";" if first.count(";") > first.count(",") else ","
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=mark, strict=True))
    except csv.Error as error:
        raise refuse(f"cannot be read as CSV: {error}", "check the quotes") from error
    if not rows or not any(rows[0]):
        raise refuse("the file is empty", "start with a line of column names")
    if len(rows) > MAX_ROWS:
        raise refuse(f"more than {MAX_ROWS} rows", "split it")
    return rows


__all__ = ["rows_of"]
