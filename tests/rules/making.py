"""Rulesets, conditions and rows made up for tests, with a truth of their own to compare against.

A made condition is a nested tuple. `written` turns it into the text of a rule; `judged` says
whether it is certainly true and whether it is certainly false on a row, in a way of its own: the
pair of both, exact fractions for the comparison, Python's own operators.
"""

from __future__ import annotations

import math
import operator
import random
from fractions import Fraction
from pathlib import Path
from typing import Any

from advisor.rules import RuleBook, load_rulesets
from advisor.rules.values import Known, Missing
from advisor.vocabulary import Name

NUMBERS = {  # name: unit in rule texts
    "battery.full_voltage": "V",
    "battery.nominal_voltage": "V",
    "controller.absolute_max": "V",
    "controller.battery_current_limit": "A",
    "battery.discharge_continuous": "A",
    "use.ambient_min": "degC",
    "use.ambient_max": "degC",
}
COUNTS = ("battery.packs_in_series", "vehicle.seats")
CHOICES = {
    "use.region": ("us", "eu", "other"),
    "use.wash": ("none", "wet-cloth", "hose", "pressure"),
}
FLAGS = ("battery.lithium", "use.children_present", "provisions.manual")
EVERY_NAME = (*NUMBERS, *COUNTS, *CHOICES, *FLAGS)
LIMITS = (0.0, 0.3, 12.5, 57.0, 63.0, 1e-7, 250000.0)
_OPERATORS = {
    "<": operator.lt,
    "<=": operator.le,
    ">": operator.gt,
    ">=": operator.ge,
    "==": operator.eq,
    "!=": operator.ne,
    "+": operator.add,
    "-": operator.sub,
    "*": operator.mul,
}

RULE = """
  - rule: {name}
    about: {about}
    stage: order
    title: A made rule
    {applies}
    when: {when}
    hazard: {{kind: fire, severity: critical, probability: remote}}
    finding: Something is wrong with {{{about}}}.
    because: It is made up.
    no_fix: It is made up.
    wrong_when: Always.
    {more}
    consult: none
    sources: ["common practice, no source"]
    examples: [{{given: {{}}, verdict: undetermined}}]
"""
HEADER = """
ruleset: {name}
version: 1.0.0
issued: 2026-11-24
title: Made for a test
changes: [{{version: 1.0.0, note: first issue}}]
rules:
"""


def rule_text(
    name: str, when: str, *, about: str = "controller", applies: str = "", more: str = ""
) -> str:
    """One rule in YAML."""
    return RULE.format(
        name=name,
        about=about,
        when=when,
        applies=f"applies: {applies}" if applies else "",
        more=more,
    )


def book_of(folder: Path, *rules: str, name: str = "made") -> RuleBook:
    """The book of some rules in YAML."""
    file = folder / f"{name}.yaml"
    file.write_text(HEADER.format(name=name) + "".join(rules), encoding="utf-8")
    return load_rulesets([file])


# -- conditions ------------------------------------------------------------------------------------


class Maker:
    """Makes conditions from a source of chance."""

    def __init__(self, chance: random.Random, *, known_tests: bool = True) -> None:
        self.chance = chance
        self.known_tests = known_tests

    def condition(self, depth: int) -> tuple[Any, ...]:
        """A condition of at most ten parts; many more make too many patterns and are refused."""
        while True:
            made = self._condition(depth)
            if _leaves(made) <= 10:
                return made

    def _condition(self, depth: int) -> tuple[Any, ...]:
        kind = self.chance.random()
        if depth > 0 and kind < 0.55:
            if kind < 0.15:
                return ("not", self._condition(depth - 1))
            many = self.chance.choice((2, 2, 3))
            word = "and" if kind < 0.35 else "or"
            return (word, *(self._condition(depth - 1) for _ in range(many)))
        kind = self.chance.random()
        if kind < 0.55:
            return self.comparison()
        if kind < 0.65:
            name = self.chance.choice(list(CHOICES))
            words = self.chance.sample(CHOICES[name], self.chance.choice((1, 2)))
            return ("in", name, tuple(words))
        if kind < 0.75:
            name = self.chance.choice(list(CHOICES))
            return (self.chance.choice(("is", "is not")), name, self.chance.choice(CHOICES[name]))
        if kind < 0.85 or not self.known_tests:
            return ("flag", self.chance.choice(FLAGS))
        name = self.chance.choice(EVERY_NAME)
        return (self.chance.choice(("known", "unknown")), name)

    def comparison(self) -> tuple[Any, ...]:
        if self.chance.random() < 0.15:
            op = self.chance.choice(tuple(_OPERATORS)[:6])
            return (op, ("name", self.chance.choice(COUNTS)), ("number", 2.0, ""))
        unit = self.chance.choice(("V", "A", "degC"))
        op = self.chance.choice(("<", "<=", ">", ">="))
        left = self.figure(unit, 2, right=False)
        return (op, left, self.figure(unit, 1, right=True))

    def figure(self, unit: str, depth: int, *, right: bool) -> tuple[Any, ...]:
        kind = self.chance.random()
        if unit == "degC" or depth == 0 or kind < 0.6:
            if right and self.chance.random() < 0.5:
                limit = self.chance.choice(LIMITS)
                return ("number", 5.0 if unit == "degC" else limit, unit)
            names = [name for name, own in NUMBERS.items() if own == unit]
            return ("name", self.chance.choice(names))
        if kind < 0.75:
            factor = ("number", self.chance.choice((1.25, 0.1, 3.0, 0.8)), "")
            return ("*", self.figure(unit, depth - 1, right=False), factor)
        if kind < 0.82:
            divisor = ("name", self.chance.choice(COUNTS))
            return ("/", self.figure(unit, depth - 1, right=False), divisor)
        if kind < 0.9:
            word = self.chance.choice(("min", "max"))
            return (word, *(self.figure(unit, depth - 1, right=False) for _ in range(2)))
        if kind < 0.95:
            return ("negative", self.figure(unit, depth - 1, right=False))
        return ("+", *(self.figure(unit, depth - 1, right=False) for _ in range(2)))

    def value(self, name: str) -> float | str | bool:
        """A value of a name: often at a limit, or one unit in the last place beside it."""
        if name in FLAGS:
            return self.chance.random() < 0.5
        if name in CHOICES:
            return self.chance.choice(CHOICES[name])
        if name in COUNTS:
            return float(self.chance.choice((0, 1, 2, 3)))
        if NUMBERS[name] == "degC":
            return 273.15 + self.chance.choice((-20.0, 5.0, 5.0000001, 4.9999, 40.0))
        value = self.chance.choice((*LIMITS, 1e-9, 1e20, 0.1, 0.1 * 3, 57.0 / 1.25))
        change = self.chance.random()
        if change < 0.2:
            return math.nextafter(value, math.inf)
        if change < 0.4:
            return math.nextafter(value, -math.inf)
        if change < 0.6:
            return value * self.chance.choice((1 + 5e-10, 1 - 5e-10, 1 + 3e-9, 1 - 3e-9))
        return value

    def row(self, missing: float) -> dict[str, float | str | bool]:
        """A row in which each name is missing with some probability."""
        return {name: self.value(name) for name in EVERY_NAME if self.chance.random() >= missing}


def _leaves(made: tuple[Any, ...]) -> int:
    if made[0] in ("not", "and", "or"):
        return sum(_leaves(part) for part in made[1:])
    return len(made[2]) if made[0] == "in" else 1


def written(made: tuple[Any, ...]) -> str:
    """The text of a made condition."""
    kind, *parts = made
    if kind == "name":
        return str(parts[0])
    if kind == "flag":
        return str(parts[0])
    if kind == "number":
        return f"{_plain(parts[0])} {parts[1]}".rstrip()
    if kind == "not":
        return f"not ({written(parts[0])})"
    if kind == "negative":
        return f"-({written(parts[0])})"
    if kind in ("and", "or"):
        return f" {kind} ".join(f"({written(part)})" for part in parts)
    if kind in ("known", "unknown"):
        return f"{parts[0]} is {kind}"
    if kind == "in":
        return f"{parts[0]} in [{', '.join(parts[1])}]"
    if kind in ("is", "is not"):
        return f"{parts[0]} {'==' if kind == 'is' else '!='} {parts[1]}"
    if kind in ("min", "max"):
        return f"{kind}({', '.join(written(part) for part in parts)})"
    left, right = (written(part) for part in parts)
    if kind in "+-*/":
        return f"({left} {kind} {right})"
    return f"{left} {kind} {right}"


def _plain(number: float) -> str:
    text = f"{number:.12f}".rstrip("0").rstrip(".")
    assert float(text) == number
    return text


# -- truth -----------------------------------------------------------------------------------------


def judged(made: tuple[Any, ...], row: dict[str, float | str | bool]) -> tuple[bool, bool]:
    """(certainly true, certainly false) of a made condition on a row."""
    kind, *parts = made
    if kind == "not":
        true, false = judged(parts[0], row)
        return false, true
    if kind in ("and", "or"):
        pairs = [judged(part, row) for part in parts]
        trues, falses = [one[0] for one in pairs], [one[1] for one in pairs]
        if kind == "and":
            return all(trues), any(falses)
        return any(trues), all(falses)
    if kind in ("known", "unknown"):
        here = (parts[0] in row) == (kind == "known")
        return here, not here
    if kind in ("flag", "in", "is", "is not"):
        if parts[0] not in row:
            return False, False
        value = row[parts[0]]
        holds = {
            "flag": lambda: value is True,
            "in": lambda: value in parts[1],
            "is": lambda: value == parts[1],
            "is not": lambda: value != parts[1],
        }[kind]()
        return holds, not holds
    left, right = (_number(part, row) for part in parts)
    if left is None or right is None:
        return False, False
    apart = abs(Fraction(left) - Fraction(right))
    if apart * 10**9 <= max(abs(Fraction(left)), abs(Fraction(right))):
        left = right
    holds = bool(_OPERATORS[kind](left, right))
    return holds, not holds


def _number(made: tuple[Any, ...], row: dict[str, float | str | bool]) -> float | None:
    kind, *parts = made
    if kind == "number":
        number, unit = parts
        return float(number) + (273.15 if unit == "degC" else 0.0)
    if kind == "name":
        found = row.get(parts[0])
        return None if found is None else float(found)
    values = [_number(part, row) for part in parts]
    if any(value is None for value in values):
        return None
    numbers = [value for value in values if value is not None]
    if kind == "negative":
        return -numbers[0]
    if kind in ("min", "max"):
        return min(numbers) if kind == "min" else max(numbers)
    if kind == "/":
        return None if numbers[1] == 0 else numbers[0] / numbers[1]
    return float(_OPERATORS[kind](*numbers))


# -- cases -----------------------------------------------------------------------------------------


class Cases:
    """Cases for the judge: rows of values by written name, for cases of some subjects."""

    def __init__(
        self,
        rows: dict[str, dict[str, float | str | bool | Known | Missing]],
        subjects: dict[str, list[str]] | None = None,
        related: dict[tuple[str, str], str] | None = None,
    ) -> None:
        self.rows = rows
        self.subjects = {"controller": list(rows)} if subjects is None else subjects
        self.relations = related or {}

    def cases(self, subject: str) -> list[str]:
        return self.subjects.get(subject, [])

    def related(self, case: str, subject: str) -> str | None:
        if subject in ("battery", "use", "vehicle", "supply", "provisions"):
            return subject
        return self.relations.get((case, subject))

    def value(self, case: str, name: Name) -> Known | Missing:
        found = self.rows[case].get(name.written)
        if isinstance(found, Known | Missing):
            return found
        if found is None:
            return Missing(frozenset({name.written}), "not stated")
        return Known(found)
