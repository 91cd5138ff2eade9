"""A checked condition as a sentence, with names in words and numbers in their units."""

from __future__ import annotations

from advisor.rules.tree import (
    All,
    Among,
    Any,
    Arithmetic,
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
)
from advisor.units import show
from advisor.vocabulary import Name

ORDER = {
    ">": "is more than",
    ">=": "is at least",
    "<": "is less than",
    "<=": "is at most",
    "==": "equals",
    "!=": "does not equal",
}
OPPOSITE = {">": "<=", ">=": "<", "<": ">=", "<=": ">", "==": "!=", "!=": "=="}
SIGNS = {"+": "plus", "-": "minus", "*": "times", "/": "divided by"}


def describe(tree: Condition, system: str = "si") -> str:
    """A condition in words: `the battery's full voltage is more than 60 V`."""
    return _said(tree, True, system)


def _said(tree: Condition, holds: bool, system: str) -> str:
    match tree:
        case Not():
            return _said(tree.of, not holds, system)
        case All() | Any():
            word = " and " if isinstance(tree, All) == holds else " or "
            inner = [(_said(one, holds, system), _compound(one)) for one in tree.items]
            return word.join(f"({text})" if nested else text for text, nested in inner)
        case Compare():
            order = ORDER[tree.op if holds else OPPOSITE[tree.op]]
            return f"{_figure(tree.left, system)} {order} {_figure(tree.right, system)}"
        case Among():
            words = " or ".join(word.replace("-", " ") for word in tree.words)
            return f"{_name(tree.name)} is {'' if holds else 'not '}{words}"
        case Holds():
            meaning = tree.name.attribute.meaning or tree.name.attribute.name.replace("_", " ")
            return f"“{meaning}” is {'true' if holds else 'not true'} of the {_part(tree.name)}"
        case IsKnown():
            return f"{_name(tree.name)} is {'known' if holds else 'not known'}"


def _compound(tree: Condition) -> bool:
    while isinstance(tree, Not):
        tree = tree.of
    return isinstance(tree, All | Any)


def _figure(tree: Figure, system: str) -> str:
    match tree:
        case Number():
            return show(tree.value, tree.unit, system)
        case Read():
            return _name(tree.name)
        case Negative():
            return f"minus {_inner(tree.of, system)}"
        case Extreme():
            return extreme(tree, [_inner(one, system) for one in tree.items])
        case Arithmetic():
            left, right = _inner(tree.left, system), _inner(tree.right, system)
            return f"{left} {SIGNS[tree.op]} {right}"


def extreme(tree: Extreme, items: list[str]) -> str:
    """The smallest or greatest of some items in words."""
    return f"the {'smallest' if tree.which == 'min' else 'greatest'} of {' and '.join(items)}"


def _inner(tree: Figure, system: str) -> str:
    text = _figure(tree, system)
    return f"({text})" if isinstance(tree, Arithmetic | Extreme) else text


def _name(name: Name) -> str:
    return f"the {_part(name)}'s {name.attribute.name.replace('_', ' ')}"


def _part(name: Name) -> str:
    return name.written.partition(".")[0].replace("_", " ")
