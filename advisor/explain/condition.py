"""A rule's condition in plain words, with the numbers of a case and whether each part holds."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from advisor.rules.logic import figure, truth
from advisor.rules.tree import (
    All,
    Among,
    Any,
    Compare,
    Condition,
    Extreme,
    Figure,
    Holds,
    IsKnown,
    Negative,
    Not,
    Number,
    Read,
    names_in,
)
from advisor.rules.values import Known, Row
from advisor.rules.words import OPPOSITE, ORDER, SIGNS, extreme
from advisor.units import show
from advisor.vocabulary import VOCABULARY, Name


@dataclass(frozen=True, slots=True)
class Line:
    """One part of a condition: how deep it stands, its words, and whether it holds for the case.

    `holds` is None where nobody knows, and for the lines that only gather others.
    """

    depth: int
    words: str
    holds: bool | None
    gathers: bool = False


def in_words(condition: Condition, row: Row, system: str) -> tuple[Line, ...]:
    """A condition as lines, the parts under what gathers them."""
    return tuple(_lines(condition, row, system, 0))


def _lines(tree: Condition, row: Row, system: str, depth: int) -> Iterator[Line]:
    match tree:
        case All() | Any():
            words = "all of these hold" if isinstance(tree, All) else "at least one of these holds"
            yield Line(depth, words, truth(tree, row), True)
            for one in tree.items:
                yield from _lines(one, row, system, depth + 1)
        case Not(of=Not(of=inner)):
            yield from _lines(inner, row, system, depth)
        case Not(of=All() | Any() as inner):
            words = "not all of these hold" if isinstance(inner, All) else "none of these holds"
            yield Line(depth, words, truth(tree, row), True)
            for one in inner.items:
                yield from _lines(one, row, system, depth + 1)
        case _:
            yield Line(depth, _words(tree, row, system), truth(tree, row))


def _words(tree: Condition, row: Row, system: str) -> str:
    match tree:
        case Compare():
            return _comparison(tree, tree.op, row, system)
        case Not(of=Compare() as inner):
            return _comparison(inner, OPPOSITE[inner.op], row, system)
        case Among():
            return f"{_meaning(tree.name)} is {' or '.join(tree.words)}{_said(tree.name, row)}"
        case Not(of=Among() as inner):
            words = " or ".join(inner.words)
            return f"{_meaning(inner.name)} is not {words}{_said(inner.name, row)}"
        case Holds():
            if _is_concluded(tree.name):
                return f"other checks found: {_concluded(tree.name)}"
            return f"it is so that {_meaning(tree.name)}"
        case Not(of=Holds() as inner):
            if _is_concluded(inner.name):
                return f"no other check found: {_concluded(inner.name)}"
            return f"it is not so that {_meaning(inner.name)}"
        case IsKnown():
            return f"it is known: {_meaning(tree.name)}"
        case Not(of=IsKnown() as inner):
            return f"it is not known: {_meaning(inner.name)}"
    raise AssertionError(tree)


def _meaning(name: Name) -> str:
    return name.attribute.meaning or name.written


def _is_concluded(name: Name) -> bool:
    """A statement of other rules, not a value of the vocabulary."""
    return name.attribute.path not in VOCABULARY.attributes


def _concluded(name: Name) -> str:
    """The part and what was found about it."""
    subject = VOCABULARY.subjects.get(name.attribute.subject)
    part = subject.meaning if subject is not None else name.attribute.subject
    return f"{part}, {_meaning(name)}"


def _said(name: Name, row: Row) -> str:
    value = row.get(name.written)
    return f" (it is {value.value})" if isinstance(value, Known) else ""


def _comparison(tree: Compare, op: str, row: Row, system: str) -> str:
    unit = next((one.attribute.unit for one in names_in(tree) if one.attribute.unit), "")
    left, right = _side(tree.left, unit, row, system), _side(tree.right, unit, row, system)
    return f"{left} {ORDER[op]} {right}"


def _side(tree: Figure, unit: str, row: Row, system: str) -> str:
    words = _figure(tree, system)
    value = figure(tree, row)
    if isinstance(tree, Number) or value is None:
        return words
    return f"{words} ({show(value, _unit_of(tree) or unit, system, 4)})"


def _unit_of(tree: Figure) -> str:
    """The unit of a single value; a product may have another than its parts."""
    return tree.name.attribute.unit if isinstance(tree, Read) else ""


def _figure(tree: Figure, system: str) -> str:
    match tree:
        case Read():
            return _meaning(tree.name)
        case Number():
            return show(tree.value, tree.unit, system, 4) if tree.unit else f"{tree.value:.4g}"
        case Negative():
            return f"minus {_figure(tree.of, system)}"
        case Extreme():
            return extreme(tree, [_figure(one, system) for one in tree.items])
    left, right = _figure(tree.left, system), _figure(tree.right, system)
    return f"{left} {SIGNS[tree.op]} {right}"


__all__ = ["Line", "in_words"]
