"""What the rules engine is handed: flat rows of terms, and two or three patterns for each rule.

The engine gets numbers, not formulas. Python computes both sides of every comparison and folds the
tolerance in; the engine judges which side is greater, which word stands there, what is present,
and `and`, `or`, `not` over these. A pattern matches when a condition is certainly true; its twin
matches when it is certainly false. Every property a pattern reads is guarded by a test that it is
present, because a comparison with a missing right side counts as true there.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import islice
from typing import Any as Json

from advisor.rules.logic import sides
from advisor.rules.rule import Rule
from advisor.rules.tree import All, Among, Any, Compare, Condition, Figure, Holds, IsKnown, Not
from advisor.rules.values import Known, Row, Verdict

Pattern = dict[str, Json]
SMALLEST_PLAIN = 1e-4
LARGEST_PLAIN = 1e16
"""Outside these magnitudes Python writes a number with an exponent, which the engine refuses."""

MAX_NESTED = 12
"""`$and` and `$or` in one pattern; the engine refuses the sixteenth."""

MAX_BRANCHES = 12
"""Parts of all `$or` in one pattern. The engine keeps at most 64 open branches for one row, and one
for each pattern that matches: 48 patterns and these stay below it."""

MAX_PATTERNS = 48
"""Patterns that may match one row; beyond 64 the engine drops them all."""

SEEN: Pattern = {"s": "seen"}
"""Matches a row that is in no case: see where the engine is called."""

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

    def copy(self) -> Terms:
        """The same properties, to which others can be added."""
        found = Terms()
        found._pairs, found._words = dict(self._pairs), dict(self._words)
        found._flags, found._known = dict(self._flags), dict(self._known)
        return found

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


FEW = 4
"""Each takes at most two nested `$and` or `$or`, which leaves room below the engine's limit."""


@dataclass(frozen=True, slots=True)
class _Form:
    """`$and` or `$or` over conditions of the engine and other forms; never one of its own kind."""

    op: str
    items: tuple[_Form | Pattern, ...]

    def nested(self) -> int:
        """How many `$and` and `$or` it takes to write this down."""
        return 1 + sum(one.nested() for one in self.items if isinstance(one, _Form))

    def branches(self) -> int:
        """How many parts its `$or` have together."""
        own = len(self.items) if self.op == "$or" else 0
        return own + sum(one.branches() for one in self.items if isinstance(one, _Form))

    def pattern(self) -> Pattern:
        """The form as the engine takes it."""
        return {self.op: [one.pattern() if isinstance(one, _Form) else one for one in self.items]}


Patterns = list[tuple[Verdict, Pattern]]


def twins(rule: Rule, terms: Terms) -> Patterns:
    """The patterns of a rule: certainly violated, certainly satisfied, certainly not applicable.

    A verdict has several patterns when its condition nests deeper than the engine takes.
    """
    return [
        (verdict, pattern)
        for verdict, form in _forms(rule.applies, rule.when, terms)
        for pattern in _patterns(form)
    ]


def too_complex(applies: Condition | None, when: Condition) -> bool:
    """True when a rule would need more patterns than may match one row.

    A few comparisons always fit into one pattern for each verdict; they are not counted out.
    """
    if _leaves(when) + (_leaves(applies) if applies else 0) <= FEW:
        return False
    patterns = (
        pattern for _, form in _forms(applies, when, Terms()) for pattern in _patterns(form)
    )
    return sum(1 for _ in islice(patterns, MAX_PATTERNS + 1)) > MAX_PATTERNS


def _leaves(tree: Condition) -> int:
    """Comparisons in a condition; a choice among words counts for each word."""
    match tree:
        case Not():
            return _leaves(tree.of)
        case All() | Any():
            return sum(_leaves(one) for one in tree.items)
        case Among():
            return len(tree.words)
    return 1


def _forms(
    applies: Condition | None, when: Condition, terms: Terms
) -> Iterator[tuple[Verdict, _Form]]:
    mark: Pattern = {_MARK: "case"}
    first = [mark] if applies is None else [mark, _certainly(applies, True, terms)]
    yield Verdict.VIOLATED, _join("$and", [*first, _certainly(when, True, terms)])
    yield Verdict.SATISFIED, _join("$and", [*first, _certainly(when, False, terms)])
    if applies is not None:
        yield Verdict.NOT_APPLICABLE, _join("$and", [mark, _certainly(applies, False, terms)])


def _patterns(form: _Form) -> Iterator[Pattern]:
    """A form as the engine takes it: in one piece, or one pattern for each part of an `$or`."""
    if form.nested() <= MAX_NESTED and form.branches() <= MAX_BRANCHES:
        yield form.pattern()
        return
    choices = [one for one in form.items if isinstance(one, _Form)]
    widest = max(choices, key=lambda one: one.branches())
    rest = [one for one in form.items if one is not widest]
    for part in widest.items:
        yield from _patterns(_join("$and", [*rest, part]))


def _join(op: str, parts: Iterable[_Form | Pattern]) -> _Form:
    """A form over parts, with parts of the same kind taken apart."""
    flat: list[_Form | Pattern] = []
    for part in parts:
        flat += part.items if isinstance(part, _Form) and part.op == op else (part,)
    return _Form(op, tuple(flat))


def _certainly(tree: Condition, wanted: bool, terms: Terms) -> _Form:
    """What holds exactly when a condition is certainly true (or certainly false)."""
    match tree:
        case Not():
            return _certainly(tree.of, not wanted, terms)
        case All() | Any():
            every = isinstance(tree, All) == wanted
            parts = [_certainly(one, wanted, terms) for one in tree.items]
            return _join("$and" if every else "$or", parts)
        case Compare():
            return _compare(tree.op if wanted else _OPPOSITE[tree.op], *terms.pair(tree))
        case Among():
            return _among(terms.word(tree.name.written), tree.words, wanted)
        case Holds():
            key = terms.flag(tree.name.written)
            return _Form("$and", ({"$ex": {key: 1}}, {key: 1.0 if wanted else 0.0}))
        case IsKnown():
            key = terms.known(tree.name.written)
            return _Form("$and", ({"$ex": {key: 1}}, {key: 1.0 if wanted else 0.0}))


def _compare(op: str, left: str, right: str) -> _Form:
    here: tuple[Pattern, ...] = ({"$ex": {left: 1}}, {"$ex": {right: 1}})
    less, more = {"$lt": {left: {"$m": right}}}, {"$gt": {left: {"$m": right}}}
    if op == "==":
        order = ({"$lte": {left: {"$m": right}}}, {"$gte": {left: {"$m": right}}})
        return _Form("$and", (*here, *order))
    if op == "!=":
        return _Form("$and", (*here, _Form("$or", (less, more))))
    return _Form("$and", (*here, {_ORDER[op]: {left: {"$m": right}}}))


def _among(key: str, words: tuple[str, ...], wanted: bool) -> _Form:
    here: Pattern = {"$ex": {key: 1}}
    if not wanted:
        return _Form("$and", (here, *({"$neq": {key: word}} for word in words)))
    if len(words) == 1:
        return _Form("$and", (here, {key: words[0]}))
    return _Form("$and", (here, _Form("$or", tuple({key: word} for word in words))))
