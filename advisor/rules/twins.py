"""What the rules engine is handed: flat rows of terms, and two or three patterns for each rule.

The engine gets numbers, not formulas. Python computes both sides of every comparison and folds the
tolerance in; the engine judges which side is greater, which word stands there, what is present,
and `and`, `or`, `not` over these. A pattern matches when a condition is certainly true; its twin
matches when it is certainly false. Every property a pattern reads is guarded by a test that it is
present, because a comparison with a missing right side counts as true there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any as Json

from advisor.rules.logic import sides
from advisor.rules.rule import Rule
from advisor.rules.tree import All, Among, Any, Compare, Condition, Figure, Holds, IsKnown, Not
from advisor.rules.values import Known, Row, Verdict

Pattern = dict[str, Json]
SMALLEST_PLAIN = 1e-4
LARGEST_PLAIN = 1e16
"""Outside these magnitudes Python writes a number with an exponent, which the engine refuses."""

_OPPOSITE = {">": "<=", ">=": "<", "<": ">=", "<=": ">", "==": "!=", "!=": "=="}
_ORDER = {">": "$gt", ">=": "$gte", "<": "$lt", "<=": "$lte"}
_MARK = "s"
"""The property every row has; every pattern starts with an equality on it."""


def plain_pair(left: float, right: float) -> tuple[float, float]:
    """Two finite numbers in the same order as the given ones, both written without an exponent.

    Both are multiplied by one power of two, which is exact and keeps the order, so that the larger
    magnitude lies in [1, 2). A smaller magnitude that would still need an exponent is then less
    than 1e-4 and becomes 0.0: the larger one is at least 1 away from zero on its side, so it stays
    greater (or less) than the other exactly as before. Adding 0.0 turns -0.0 into 0.0.
    """
    largest = max(abs(left), abs(right))
    if largest == 0.0:
        return 0.0, 0.0
    if largest >= LARGEST_PLAIN or min(abs(left), abs(right)) < SMALLEST_PLAIN:
        shift = 1 - math.frexp(largest)[1]
        left, right = math.ldexp(left, shift), math.ldexp(right, shift)
        left = left if abs(left) >= SMALLEST_PLAIN else 0.0
        right = right if abs(right) >= SMALLEST_PLAIN else 0.0
    return left + 0.0, right + 0.0


class Terms:
    """The properties that some rules read, and their values for a row."""

    def __init__(self) -> None:
        self._pairs: dict[tuple[Figure, Figure], tuple[str, str, Compare]] = {}
        self._words: dict[str, str] = {}
        self._flags: dict[str, str] = {}
        self._known: dict[str, str] = {}

    def __len__(self) -> int:
        return 2 * len(self._pairs) + len(self._words) + len(self._flags) + len(self._known)

    def pair(self, tree: Compare) -> tuple[str, str]:
        """The properties of both sides of a comparison."""
        key = (tree.left, tree.right)
        if key not in self._pairs:
            number = len(self._pairs)
            self._pairs[key] = (f"l{number}", f"r{number}", tree)
        return self._pairs[key][:2]

    def word(self, written: str) -> str:
        """The property of a choice."""
        return self._words.setdefault(written, f"w{len(self._words)}")

    def flag(self, written: str) -> str:
        """The property of a flag: 1.0 or 0.0."""
        return self._flags.setdefault(written, f"f{len(self._flags)}")

    def known(self, written: str) -> str:
        """The property that says whether a value is known: 1.0 or 0.0, always present."""
        return self._known.setdefault(written, f"k{len(self._known)}")

    def row(self, values: Row) -> dict[str, str | float]:
        """The flat row; what has no value is left out."""
        row: dict[str, str | float] = {_MARK: "case"}
        for left, right, tree in self._pairs.values():
            pair = sides(tree, values)
            if pair is not None:
                row[left], row[right] = plain_pair(*pair)
        for written, key in self._words.items():
            value = values.get(written)
            if isinstance(value, Known):
                row[key] = str(value.value)
        for written, key in self._flags.items():
            value = values.get(written)
            if isinstance(value, Known):
                row[key] = 1.0 if value.value else 0.0
        for written, key in self._known.items():
            value = values.get(written)
            row[key] = 1.0 if isinstance(value, Known) and not value.assumed else 0.0
        return row


def twins(rule: Rule, terms: Terms) -> Iterator[tuple[Verdict, Pattern]]:
    """The patterns of a rule: certainly violated, certainly satisfied, certainly not applicable."""
    true, false = certainly(rule.when, True, terms), certainly(rule.when, False, terms)
    marked: Pattern = {_MARK: "case"}
    if rule.applies is None:
        yield Verdict.VIOLATED, {"$and": [marked, true]}
        yield Verdict.SATISFIED, {"$and": [marked, false]}
        return
    applies = certainly(rule.applies, True, terms)
    yield Verdict.VIOLATED, {"$and": [marked, applies, true]}
    yield Verdict.SATISFIED, {"$and": [marked, applies, false]}
    yield Verdict.NOT_APPLICABLE, {"$and": [marked, certainly(rule.applies, False, terms)]}


def certainly(tree: Condition, wanted: bool, terms: Terms) -> Pattern:
    """The pattern that matches exactly when a condition is certainly true (or certainly false)."""
    match tree:
        case Not():
            return certainly(tree.of, not wanted, terms)
        case All() | Any():
            every = isinstance(tree, All) == wanted
            return _join(
                "$and" if every else "$or", [certainly(one, wanted, terms) for one in tree.items]
            )
        case Compare():
            return _compare(tree.op if wanted else _OPPOSITE[tree.op], *terms.pair(tree))
        case Among():
            return _among(terms.word(tree.name.written), tree.words, wanted)
        case Holds():
            key = terms.flag(tree.name.written)
            return {"$and": [{"$ex": {key: 1}}, {key: 1.0 if wanted else 0.0}]}
        case IsKnown():
            return {terms.known(tree.name.written): 1.0 if wanted else 0.0}


def _join(word: str, parts: list[Pattern]) -> Pattern:
    return parts[0] if len(parts) == 1 else {word: parts}


def _compare(op: str, left: str, right: str) -> Pattern:
    here: list[Pattern] = [{"$ex": {left: 1}}, {"$ex": {right: 1}}]
    if op == "==":
        order = [{"$lte": {left: {"$m": right}}}, {"$gte": {left: {"$m": right}}}]
        return {"$and": [*here, *order]}
    if op == "!=":
        either = [{"$lt": {left: {"$m": right}}}, {"$gt": {left: {"$m": right}}}]
        return {"$and": [*here, {"$or": either}]}
    return {"$and": [*here, {_ORDER[op]: {left: {"$m": right}}}]}


def _among(key: str, words: tuple[str, ...], wanted: bool) -> Pattern:
    if wanted:
        same: list[Pattern] = [{key: word} for word in words]
        return {"$and": [{"$ex": {key: 1}}, _join("$or", same)]}
    return {"$and": [{"$ex": {key: 1}}, *({"$neq": {key: word}} for word in words)]}
