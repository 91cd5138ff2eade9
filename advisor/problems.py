"""What is wrong with a file a person wrote, and where: collected, never thrown one by one."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from typing import NamedTuple


class Place(NamedTuple):
    """A position in a text file; line and column count from 1, 0 means the file as a whole."""

    line: int = 0
    column: int = 0


@dataclass(frozen=True, slots=True, order=True)
class Problem:
    """One thing to mend in a file: where it is, what is wrong, what to write instead."""

    file: str
    place: Place
    path: str
    problem: str
    advice: str = ""

    def __str__(self) -> str:
        where = _printable(self.file)
        if self.place.line:
            where += f":{self.place.line}:{self.place.column}"
        path = f" {_printable(_cut(self.path, 160))}:" if self.path else ""
        advice = f"; {self.advice}" if self.advice else ""
        return f"{where}:{path} {self.problem}{advice}"


class ProblemsFoundError(Exception):
    """A file cannot be used; `problems` holds everything that is wrong with it."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(sorted(set(problems)))
        super().__init__("\n".join(str(problem) for problem in self.problems))


def shown(text: str, limit: int = 40) -> str:
    """Offending text for a message: quoted, control characters escaped, cut at `limit`."""
    return f'"{_printable(_cut(text, limit))}"'


def _cut(text: str, limit: int) -> str:
    return text if len(text) <= limit else text[: limit - 3] + "..."


def _printable(text: str) -> str:
    """Text that cannot command a terminal: a key of a sheet may hold anything."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def nearest(word: str, known: Iterable[str]) -> str:
    """`write "x"` for the known word closest to a misspelt one, or an empty text."""
    names = list(known)
    wanted = word.strip().lower().replace("-", "_").replace(" ", "_")
    by_key = {name.lower().replace("-", "_"): name for name in names}
    close = get_close_matches(wanted, list(by_key), n=1, cutoff=0.6)
    return f'write "{by_key[close[0]]}"' if close else ""
