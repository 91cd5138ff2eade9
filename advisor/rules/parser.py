"""The parser of conditions: by precedence, with positions, with a limit on depth and length.

    or < and < not < comparison, in, is < + - < * / < unary minus < number, name, min(), max(), ( )

A number followed by a unit spelling is a quantity: `60 V`, `0.1 V/cell`, `15 mph`. `in` after a
number is inch unless `[` follows. Words of choices stand bare: `lfp`, `neighbourhood-vehicle`.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

from advisor.problems import nearest, shown
from advisor.rules.tree import Parsed
from advisor.units import DIMENSIONS, known_spellings, unit

MAX_DEPTH = 20
MAX_LENGTH = 1000
MAX_DIGITS = 20
COMPARISONS = ("==", "!=", "<=", ">=", "<", ">")
_KEYWORDS = frozenset(["and", "or", "not", "in", "is", "true", "false", "min", "max"])
_SPELLINGS = sorted(
    {spelling for dimension in DIMENSIONS.values() for spelling in known_spellings(dimension)},
    key=len,
    reverse=True,
)
_UNIT = re.compile(r"\s*(" + "|".join(re.escape(one) for one in _SPELLINGS) + r")(?![\w²³])")
_NUMBER = re.compile(r"(?:0|[1-9][0-9]*)(?:\.[0-9]+)?(?![0-9.])")
_DIGIT_WORD = re.compile(r"[0-9]+[a-z][a-z0-9]*(?:-[a-z0-9]+)*(?![\w.])")
_AFTER_NUMBER = re.compile(r"\s*([^\s()\[\],+\-*/<>=!][^\s()\[\],]*)")
_TOKEN = re.compile(
    r"\s+|(?P<name>[a-z][a-z0-9_]*(?:\.[A-Za-z0-9_]+)+)"
    r"|(?P<word>[A-Za-z_][A-Za-z0-9_]*(?:-[A-Za-z0-9]+)*)|(?P<sign>[=!<>]=|[<>+\-*/()\[\],])"
)


class ExpressionError(ValueError):
    """A condition that cannot be used: what is wrong at which offset, what to write instead."""

    def __init__(self, at: int, problem: str, advice: str = "") -> None:
        super().__init__(f"{problem}; {advice}" if advice else problem)
        self.at = at
        self.problem = problem
        self.advice = advice


class _Token(NamedTuple):
    """One word. `kind` is number, name, word or end, else the keyword or sign itself."""

    kind: str
    text: str
    at: int
    unit: str = ""


def parse_condition(text: str) -> Parsed:
    """The tree of a condition. Raises ExpressionError."""
    if len(text) > MAX_LENGTH:
        raise ExpressionError(0, f"longer than {MAX_LENGTH} characters", "split the rule in two")
    return _Parser(_tokens(text)).whole()


def _tokens(text: str) -> list[_Token]:
    tokens: list[_Token] = []
    at = 0
    while at < len(text):
        if text[at] in "0123456789":
            token, at = _number(text, at)
            tokens.append(token)
            continue
        match = _TOKEN.match(text, at)
        if match is None:
            raise _stray(text, at)
        kind, word = match.lastgroup, match.group()
        if kind is not None:
            if kind == "sign" or word in _KEYWORDS:
                kind = word
            tokens.append(_Token(kind, word, at))
        at = match.end()
    tokens.append(_Token("end", "the end", len(text)))
    return tokens


def _number(text: str, at: int) -> tuple[_Token, int]:
    """The number, with its unit, or the word such as `12v` that starts here; and where it ends."""
    match = _NUMBER.match(text, at)
    if match is None:
        bad = re.compile(r"[0-9.]+").match(text, at)
        assert bad is not None
        raise ExpressionError(at, f"{shown(bad.group())} is not a number", "write it like 0.5")
    end = match.end()
    if end - at > MAX_DIGITS:
        raise ExpressionError(
            at, f"a number of {end - at} characters", f"write at most {MAX_DIGITS}"
        )
    found = _UNIT.match(text, end)
    if found is not None and not (found[1] == "in" and text[found.end() :].lstrip()[:1] == "["):
        return _Token("number", match.group(), at, unit(found[1]).spelling), found.end()
    word = _DIGIT_WORD.match(text, at)
    if word is not None:
        return _Token("word", word.group(), at), word.end()
    after = _AFTER_NUMBER.match(text, end)
    if after is not None and after[1] not in _KEYWORDS:
        raise ExpressionError(
            after.start(1),
            f"{shown(after[1])} is not a unit",
            nearest(after[1], _SPELLINGS) or "write a unit such as V, A, kg, km/h or %",
        )
    return _Token("number", match.group(), at), end


def _stray(text: str, at: int) -> ExpressionError:
    advice = {
        "=": "write == to compare",
        "!": "write != or not",
        "&": "write and",
        "|": "write or",
        '"': "write a word of a choice without quotes",
        "'": "write a word of a choice without quotes",
        ".": "write 0.5, not .5",
    }.get(text[at], "")
    return ExpressionError(at, f"{shown(text[at])} has no meaning here", advice)


class _Parser:
    def __init__(self, tokens: list[_Token]) -> None:
        self.tokens = tokens
        self.next = 0
        self.depth = 0

    def peek(self) -> str:
        return self.tokens[self.next].kind

    def take(self) -> _Token:
        token = self.tokens[self.next]
        self.next += 1
        return token

    def expect(self, kind: str, why: str) -> _Token:
        token = self.tokens[self.next]
        if token.kind != kind:
            raise ExpressionError(token.at, f"{kind} is missing before {token.text}", why)
        return self.take()

    def deeper(self, at: int) -> None:
        self.depth += 1
        if self.depth > MAX_DEPTH:
            raise ExpressionError(at, "nested too deeply", f"use at most {MAX_DEPTH} levels")

    def whole(self) -> Parsed:
        tree = self.either()
        token = self.tokens[self.next]
        if token.kind in COMPARISONS:
            raise ExpressionError(
                token.at, "two comparisons in a row", "write a < b and b < c, not a < b < c"
            )
        if token.kind != "end":
            raise ExpressionError(
                token.at, f"{shown(token.text)} is not expected here", "write and, or, or nothing"
            )
        return tree

    def either(self) -> Parsed:
        return self.several("or", self.both)

    def both(self) -> Parsed:
        return self.several("and", self.negation)

    def several(self, kind: str, part: Callable[[], Parsed]) -> Parsed:
        first = part()
        if self.peek() != kind:
            return first
        at = self.tokens[self.next].at
        parts = [first]
        while self.peek() == kind:
            self.take()
            parts.append(part())
        return Parsed(kind, at, tuple(parts))

    def negation(self) -> Parsed:
        if self.peek() != "not":
            return self.comparison()
        token = self.take()
        self.deeper(token.at)
        tree = Parsed("not", token.at, (self.negation(),))
        self.depth -= 1
        return tree

    def comparison(self) -> Parsed:
        left = self.sum()
        kind = self.peek()
        if kind in COMPARISONS:
            token = self.take()
            return Parsed(kind, token.at, (left, self.sum()))
        if kind == "in":
            return self.membership(left)
        if kind == "is":
            token = self.take()
            word = self.take()
            if word.text not in ("known", "unknown"):
                raise ExpressionError(
                    word.at, f"is {word.text} has no meaning", "write is known, is unknown or =="
                )
            return Parsed(word.text, token.at, (left,))
        return left

    def membership(self, left: Parsed) -> Parsed:
        token = self.take()
        self.expect("[", "write in [first, second]")
        items = [self.sum()]
        while self.peek() == ",":
            self.take()
            items.append(self.sum())
        self.expect("]", "close the list")
        return Parsed("in", token.at, (left, *items))

    def sum(self) -> Parsed:
        return self.chain(("+", "-"), self.product)

    def product(self) -> Parsed:
        return self.chain(("*", "/"), self.unary)

    def chain(self, signs: tuple[str, str], part: Callable[[], Parsed]) -> Parsed:
        left = part()
        before = self.depth
        while self.peek() in signs:
            token = self.take()
            self.deeper(token.at)
            left = Parsed(token.kind, token.at, (left, part()))
        self.depth = before
        return left

    def unary(self) -> Parsed:
        if self.peek() != "-":
            return self.primary()
        token = self.take()
        if self.peek() == "number":  # -10 degC is a number, not minus 283 K
            return self.number(self.take(), -1.0, token.at)
        self.deeper(token.at)
        tree = Parsed("negative", token.at, (self.unary(),))
        self.depth -= 1
        return tree

    def number(self, token: _Token, sign: float, at: int) -> Parsed:
        used = unit(token.unit)
        value = sign * float(token.text) * used.factor + used.offset
        return Parsed("number", at, number=value + 0.0, unit=token.unit)

    def primary(self) -> Parsed:
        token = self.take()
        match token.kind:
            case "number":
                return self.number(token, 1.0, token.at)
            case "name" | "word" | "true" | "false":
                return Parsed(token.kind, token.at, text=token.text)
            case "min" | "max":
                return self.extreme(token)
            case "(":
                self.deeper(token.at)
                tree = self.either()
                self.expect(")", "close the parenthesis")
                self.depth -= 1
                return tree
        advice = "write a name such as battery.full_voltage, or a number with its unit"
        raise ExpressionError(token.at, f"a value is missing before {token.text}", advice)

    def extreme(self, token: _Token) -> Parsed:
        self.deeper(token.at)
        self.expect("(", f"write {token.text}(first, second)")
        items = [self.sum()]
        while self.peek() == ",":
            self.take()
            items.append(self.sum())
        self.expect(")", "close the parenthesis")
        self.depth -= 1
        if len(items) < 2:
            raise ExpressionError(token.at, f"{token.text} of one value", "give it two or more")
        return Parsed(token.kind, token.at, tuple(items))
