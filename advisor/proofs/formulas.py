"""Rules as formulas of the solver, over the declared ranges of the attributes.

Every value is taken as known, so that two-valued logic decides; `is known` is a free truth of its
own. Constants are exact fractions of the decimal that the rule writes. A conclusion of other rules
is a free truth. The tolerance of a comparison (1e-9) is left out. A formula is about one subject: a
rule about several is one formula for each.
"""

from __future__ import annotations

import os
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from advisor.rules import logic
from advisor.rules.rule import Rule
from advisor.rules.tree import (
    All,
    Among,
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
from advisor.rules.tree import Any as AnyOf
from advisor.rules.values import Known, Missing, Value, Verdict
from advisor.vocabulary import VOCABULARY, Attribute, Kind, Name

try:
    import z3
except ImportError:
    z3 = None

AVAILABLE = z3 is not None
INSTALL = "pip install 'conversion-advisor[proofs]', or pip install z3-solver"
QUESTION_MS = 2000
"""How long the solver may think about one question before the answer is *unknown*."""


@dataclass(frozen=True, slots=True)
class Formula:
    """One rule on one subject: when it is violated, when satisfied, and what its values may be.

    `ranges` are the bounds of its values and that nothing is divided by zero.
    """

    rule: Rule
    subject: str
    violated: Any
    satisfied: Any
    ranges: tuple[Any, ...]
    variables: frozenset[str]


@dataclass(frozen=True, slots=True)
class Answer:
    """What the solver says to `can all of this hold?`: yes with an example, no, or unknown."""

    can: bool | None
    example: dict[str, float | str | bool]


class Formulas:
    """Turns rules into formulas and asks the solver; one solver for all questions."""

    def __init__(self, milliseconds: int = QUESTION_MS) -> None:
        if z3 is None:
            raise RuntimeError(f"proofs need the solver: {INSTALL}")
        os.environ.setdefault("OMP_NUM_THREADS", "1")
        self.attributes: dict[str, Attribute] = {}
        self.choices: dict[str, tuple[str, ...]] = {}
        self._words: dict[str, int] = {}
        self._variables: dict[str, Any] = {}
        self._ranges: dict[str, list[Any]] = {}
        self._solver = z3.Solver()
        self._solver.set("timeout", milliseconds)

    def formula(self, rule: Rule, subject: str) -> Formula:
        """The formula of a rule about one of its subjects."""
        made = _Translation(self, subject)
        applies = made.condition(rule.applies) if rule.applies is not None else z3.BoolVal(True)
        when = made.condition(rule.when)
        bounds = [one for key in sorted(made.used) for one in self._ranges[key]]
        return Formula(
            rule,
            subject,
            z3.And(applies, when),
            z3.And(applies, z3.Not(when)),
            (*bounds, *made.defined),
            frozenset(made.used),
        )

    def ask(self, parts: Iterable[Any], used: Iterable[str]) -> Answer:
        """Whether all parts can hold together; the example gives every used variable a value."""
        self._solver.push()
        try:
            self._solver.add(*parts)
            said = self._solver.check()
            if said == z3.sat:
                return Answer(True, self._example(self._solver.model(), used))
            return Answer(False if said == z3.unsat else None, {})
        finally:
            self._solver.pop()

    def _example(self, model: Any, used: Iterable[str]) -> dict[str, float | str | bool]:
        found: dict[str, float | str | bool] = {}
        words = {number: word for word, number in self._words.items()}
        for key in sorted(used):
            value = model.eval(self._variables[key], model_completion=True)
            if z3.is_bool(value):
                found[key] = z3.is_true(value)
            elif key in self.choices:
                found[key] = words[value.as_long()]
            elif z3.is_int_value(value):
                found[key] = float(value.as_long())
            elif z3.is_algebraic_value(value):
                found[key] = float(value.approx(20).as_fraction())
            else:
                found[key] = float(value.as_fraction())
        return found

    def variable(self, key: str, name: Name) -> Any:
        """The variable of a value; its range is noted when it is first met."""
        found = self._variables.get(key)
        if found is not None:
            return found
        attribute = name.attribute
        subject, _, word = key.partition(".")
        members = VOCABULARY.members(subject)
        own = [one for one in (VOCABULARY.attribute(m, word) for m in members) if one is not None]
        self.attributes[key] = own[0] if own else attribute
        bounds: list[Any] = []
        match attribute.kind:
            case Kind.FLAG:
                found = z3.Bool(key)
            case Kind.CHOICE:
                found = z3.Int(key)
                choices = tuple(dict.fromkeys(w for one in own or [attribute] for w in one.choices))
                self.choices[key] = choices
                bounds.append(z3.Or(*(found == self.word(one) for one in choices)))
            case _:
                found = z3.Int(key) if attribute.kind is Kind.COUNT else z3.Real(key)
                least = _widest((one.at_least for one in own), min)
                most = _widest((one.at_most for one in own), max)
                if least is not None:
                    bounds.append(found >= _exact(least))
                if most is not None:
                    bounds.append(found <= _exact(most))
        self._variables[key] = found
        self._ranges[key] = bounds
        return found

    def variable_of(self, key: str) -> Any:
        """The variable of a value that some formula reads."""
        return self._variables[key]

    def known(self, key: str) -> Any:
        """The truth that a value is known."""
        return self._free(f"{key} is known")

    def _free(self, key: str) -> Any:
        if key not in self._variables:
            self._variables[key] = z3.Bool(key)
            self._ranges[key] = []
        return self._variables[key]

    def word(self, text: str) -> Any:
        """A word of a choice as the number that stands for it everywhere."""
        return z3.IntVal(self._words.setdefault(text, len(self._words)))


def _widest(bounds: Iterable[float | None], wider: Any) -> float | None:
    """The widest of some bounds; none when one of them is open."""
    found = list(bounds)
    numbers = [one for one in found if one is not None]
    if not found or len(numbers) < len(found):
        return None
    return float(wider(numbers))


def _exact(number: float) -> Any:
    """The decimal that a float is written as, as an exact fraction."""
    exact = Fraction(repr(number))
    return z3.Q(exact.numerator, exact.denominator)


def key_of(name: Name, subject: str) -> str:
    """The variable that a name of a rule stands for, when the rule is about this subject."""
    return f"{subject if name.reach == 'self' else name.reach}.{name.attribute.name}"


class _Translation:
    """One rule about one subject being translated."""

    def __init__(self, formulas: Formulas, subject: str) -> None:
        self._formulas = formulas
        self._subject = subject
        self.used: set[str] = set()
        self.defined: list[Any] = []

    def _variable(self, name: Name) -> Any:
        key = key_of(name, self._subject)
        self.used.add(key)
        return self._formulas.variable(key, name)

    def condition(self, tree: Condition) -> Any:
        match tree:
            case Compare():
                left, right = self.figure(tree.left), self.figure(tree.right)
                return {
                    ">": left > right,
                    ">=": left >= right,
                    "<": left < right,
                    "<=": left <= right,
                    "==": left == right,
                    "!=": left != right,
                }[tree.op]
            case Among():
                variable = self._variable(tree.name)
                return z3.Or(*(variable == self._formulas.word(one) for one in tree.words))
            case Holds():
                return self._variable(tree.name)
            case IsKnown():
                key = key_of(tree.name, self._subject)
                self.used.add(f"{key} is known")
                return self._formulas.known(key)
            case Not():
                return z3.Not(self.condition(tree.of))
            case All():
                return z3.And(*(self.condition(one) for one in tree.items))
            case AnyOf():
                return z3.Or(*(self.condition(one) for one in tree.items))

    def figure(self, tree: Figure) -> Any:
        match tree:
            case Number():
                return _exact(tree.value)
            case Read():
                variable = self._variable(tree.name)
                return z3.ToReal(variable) if z3.is_int(variable) else variable
            case Negative():
                return -self.figure(tree.of)
            case Extreme():
                items = [self.figure(one) for one in tree.items]
                found = items[0]
                for one in items[1:]:
                    found = z3.If(one < found if tree.which == "min" else one > found, one, found)
                return found
            case Arithmetic():
                left, right = self.figure(tree.left), self.figure(tree.right)
                if tree.op == "/":
                    self.defined.append(right != 0)
                    return left / right
                return {"+": left + right, "-": left - right, "*": left * right}[tree.op]


def raised(formulas: Formulas, formula: Formula, key: str) -> list[Any]:
    """That raising one value alone turns a rule that is not violated into one that is."""
    value = formulas.variable_of(key)
    higher = z3.Int(f"{key} raised") if z3.is_int(value) else z3.Real(f"{key} raised")
    moved = [z3.substitute(part, (value, higher)) for part in (*formula.ranges, formula.violated)]
    return [*formula.ranges, *moved, higher > value, z3.Not(formula.violated)]


def opposite(part: Any) -> Any:
    """The formula that holds where this one does not."""
    return z3.Not(part)


def verdict_on(rule: Rule, subject: str, example: dict[str, float | str | bool]) -> Verdict:
    """The verdict of the Python evaluator on an example of the solver."""
    row: dict[str, Value] = {}
    for name in rule.reads:
        key = key_of(name, subject)
        if example.get(f"{key} is known") is False:
            row[name.written] = Missing()
        elif key in example:
            row[name.written] = Known(example[key])
        else:
            row[name.written] = Known(True)
    return logic.verdict(rule.applies, rule.when, row)
