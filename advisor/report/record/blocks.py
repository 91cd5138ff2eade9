"""What a record is made of: parts, sections and blocks of plain text, the same for every form."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

from advisor.report.record.words import safe


@dataclass(frozen=True, slots=True)
class Block:
    """One thing to read.

    `kind` is `text`, `list`, `pairs`, `table`, `notice`, `figure`, `sign` or `steps` (a numbered
    list). A table has `heads` and `rows`, each row as long as `heads`, the first cell naming it.
    `signal` is the signal word of a notice. A figure has `picture` (SVG), `alt`
    and a note in `text`, or says there why there is no picture; a `wide` one takes a page across.
    """

    kind: str
    title: str = ""
    text: str = ""
    items: tuple[str, ...] = ()
    heads: tuple[str, ...] = ()
    rows: tuple[tuple[str, ...], ...] = ()
    signal: str = ""
    picture: str = ""
    alt: str = ""
    name: str = ""
    wide: bool = False


@dataclass(frozen=True, slots=True)
class Section:
    """A headed run of blocks; `mark` is its address. `across` asks for paper on its side."""

    mark: str
    title: str
    blocks: tuple[Block, ...]
    across: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """The part of a record that is for one kind of reader."""

    mark: str
    title: str
    lead: str
    sections: tuple[Section, ...]


@dataclass(frozen=True, slots=True)
class Record:
    """A whole record as text. `outcome` is in words, `standing` one word for its look."""

    title: str
    subtitle: str
    standing: str
    outcome: str
    meaning: str
    parts: tuple[Part, ...]
    prints: tuple[tuple[str, str], ...]
    paper: str
    cautions: tuple[str, ...] = field(default=())


def text(words: str) -> Block:
    return Block("text", text=safe(words))


def bullets(items: Iterable[str], title: str = "") -> Block:
    return Block("list", safe(title), items=tuple(safe(one) for one in items))


def steps(items: Iterable[str], title: str = "") -> Block:
    return Block("steps", safe(title), items=tuple(safe(one) for one in items))


def pairs(rows: Iterable[tuple[str, str]], title: str = "") -> Block:
    return Block("pairs", safe(title), rows=tuple((safe(a), safe(b)) for a, b in rows))


def table(title: str, heads: Sequence[str], rows: Iterable[Sequence[str]], note: str = "") -> Block:
    """A table with a caption and a note below. Raises ValueError for a row that does not fit."""
    listed = tuple(tuple(safe(cell) for cell in row) for row in rows)
    if any(len(row) != len(heads) for row in listed):
        raise ValueError(f"a row of the table `{title}` does not fit its heads")
    return Block("table", safe(title), safe(note), heads=tuple(heads), rows=listed)


def notice(signal: str, title: str, words: str, items: Iterable[str] = ()) -> Block:
    listed = tuple(safe(one) for one in items)
    return Block("notice", safe(title), safe(words), items=listed, signal=signal)


def figure(
    name: str, title: str, picture: str, alt: str, note: str = "", *, wide: bool = False
) -> Block:
    """A picture with its words: `alt` for those who do not see it, `note` below it for all."""
    return Block(
        "figure", safe(title), safe(note), picture=picture, alt=safe(alt), name=name, wide=wide
    )


def missing(name: str, title: str, words: str) -> Block:
    """A figure that cannot be drawn, and what is missing for it."""
    return Block("figure", safe(title), safe(words), name=name)


__all__ = [
    "Block",
    "Part",
    "Record",
    "Section",
    "bullets",
    "figure",
    "missing",
    "notice",
    "pairs",
    "steps",
    "table",
    "text",
]
