"""The type check: names resolved, both sides of every comparison of one dimension, words declared.

Absolute temperature and temperature difference are different types: the difference of two absolute
temperatures is a temperature difference, their sum has no meaning. A boolean is no number, free
text is never compared, and only whole numbers are compared for equality.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from advisor.problems import nearest, shown
from advisor.rules.fields import split_advice
from advisor.rules.parser import COMPARISONS, ExpressionError
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
    Parsed,
    Read,
    names_in,
)
from advisor.units import DIMENSIONS, Dimension, known_spellings, unit
from advisor.vocabulary import Kind, Name

PURE = DIMENSIONS["pure"]
DIFFERENCE = DIMENSIONS["temperature difference"]
TEMPERATURE = DIMENSIONS["temperature"]
_NUMERIC = (Kind.QUANTITY, Kind.COUNT)

Resolve = Callable[[str], Name]
"""From a written name to what it means; raises LookupError with advice."""


@dataclass(frozen=True, slots=True)
class _Typed:
    """A number's tree with its dimension; `whole` when it can only be a whole number."""

    tree: Figure
    dimension: Dimension
    whole: bool
    at: int


def check_condition(parsed: Parsed, resolve: Resolve, *, known_tests: bool = True) -> Condition:
    """The checked tree of a parsed condition. Raises ExpressionError.

    Without `known_tests`, `is known` and `is unknown` are refused.
    """
    return _Checker(resolve, known_tests).condition(parsed)


def check_figure(parsed: Parsed, resolve: Resolve) -> tuple[Figure, Dimension]:
    """The checked tree of a parsed number, and its dimension. Raises ExpressionError."""
    found = _Checker(resolve, False).figure(parsed)
    return found.tree, found.dimension


class _Checker:
    def __init__(self, resolve: Resolve, known_tests: bool) -> None:
        self._resolve = resolve
        self._known_tests = known_tests

    def name(self, node: Parsed) -> Name:
        try:
            return self._resolve(node.text)
        except LookupError as error:
            raise ExpressionError(node.at, *split_advice(error)) from error

    # -- conditions --------------------------------------------------------------------------------

    def condition(self, node: Parsed) -> Condition:
        kind = node.kind
        if kind == "not":
            return Not(self.condition(node.parts[0]))
        if kind == "and":
            return All(tuple(self.condition(part) for part in node.parts))
        if kind == "or":
            return Any(tuple(self.condition(part) for part in node.parts))
        if kind in ("known", "unknown"):
            return self.known_test(node)
        if kind == "in":
            return self.membership(node)
        if kind in COMPARISONS:
            return self.comparison(node)
        if kind == "name":
            return self.flag(node)
        if kind in ("true", "false"):
            raise ExpressionError(
                node.at, f"{kind} alone decides nothing", "compare a flag with it"
            )
        if kind == "word":
            raise self.stray_word(node)
        raise ExpressionError(node.at, "a number is no condition", "compare it with a limit")

    def flag(self, node: Parsed) -> Condition:
        name = self.name(node)
        if name.attribute.kind is not Kind.FLAG:
            advice = "compare it with a limit"
            if name.attribute.kind is Kind.CHOICE:
                advice = f"write {node.text} == {name.attribute.choices[0]}"
            raise ExpressionError(node.at, f"{node.text} alone is no condition", advice)
        return Holds(name)

    def known_test(self, node: Parsed) -> Condition:
        if not self._known_tests:
            raise ExpressionError(
                node.at,
                f"is {node.kind} is not allowed in applies",
                "a missing fact would make the rule not applicable; put it in when",
            )
        (of,) = node.parts
        if of.kind != "name":
            raise ExpressionError(
                of.at,
                f"is {node.kind} needs one name before it",
                f"write a name, then is {node.kind}",
            )
        test = IsKnown(self.name(of))
        return test if node.kind == "known" else Not(test)

    def membership(self, node: Parsed) -> Condition:
        left, *items = node.parts
        if left.kind != "name":
            raise ExpressionError(left.at, "in needs one name before it", "write name in [a, b]")
        name = self.name(left)
        if name.attribute.kind is Kind.CHOICE:
            words = tuple(self.word(name, item) for item in items)
            if len(set(words)) < len(words):
                raise ExpressionError(node.at, "a word stands twice in the list", "keep one")
            return Among(name, words)
        if name.attribute.kind is not Kind.COUNT:
            raise self.wrong_kind(left, name, "in [ ] compares choices and counts")
        compared = tuple(self.comparison(Parsed("==", item.at, (left, item))) for item in items)
        return compared[0] if len(compared) == 1 else Any(compared)

    def comparison(self, node: Parsed) -> Condition:
        left, right = node.parts
        for one, other in ((left, right), (right, left)):
            if one.kind == "name":
                name = self.name(one)
                if name.attribute.kind is Kind.CHOICE:
                    return self.choice(node, name, other)
                if name.attribute.kind is Kind.FLAG:
                    return self.flags(node, name, other)
        typed, limit = self.figure(left), self.figure(right)
        self.same(node, typed, limit)
        if node.kind in ("==", "!=") and not (typed.whole and limit.whole):
            raise ExpressionError(
                node.at, f"{node.kind} compares numbers that need not be whole", "write < or >"
            )
        for value, against in ((typed, limit), (limit, typed)):
            zero = isinstance(against.tree, Number) and against.tree.value == 0.0
            tree = value.tree
            if zero and isinstance(tree, Arithmetic) and tree.op == "-" and not value.whole:
                raise ExpressionError(
                    node.at, "a difference compared with zero", "compare the two values directly"
                )
        if not any(True for side in (typed, limit) for _ in names_in(side.tree)):
            raise ExpressionError(node.at, "this reads no name", "compare a name with a limit")
        scale, fixed = self.scale(typed, limit)
        return Compare(node.kind, typed.tree, limit.tree, scale, fixed)

    def scale(self, left: _Typed, right: _Typed) -> tuple[float, bool]:
        """The least denominator of the margin, from the attribute that is compared."""
        for side in (right, left):
            if isinstance(side.tree, Read):
                return side.tree.name.attribute.scale, left.dimension.absolute
        return (10.0, True) if left.dimension.absolute else (1e-9, False)

    def choice(self, node: Parsed, name: Name, other: Parsed) -> Condition:
        self.equality_only(node, "a choice")
        if other.kind == "name":
            found = self.two_choices(other, name)
        else:
            found = Among(name, (self.word(name, other),))
        return found if node.kind == "==" else Not(found)

    def two_choices(self, node: Parsed, name: Name) -> Condition:
        other = self.name(node)
        if other.attribute.kind is not Kind.CHOICE:
            raise self.wrong_kind(node, other, f"{name.written} is a choice")
        common = [word for word in name.attribute.choices if word in other.attribute.choices]
        if not common:
            raise ExpressionError(
                node.at, f"{name.written} and {node.text} share no word", "they are never equal"
            )
        same = tuple(All((Among(name, (word,)), Among(other, (word,)))) for word in common)
        return same[0] if len(same) == 1 else Any(same)

    def flags(self, node: Parsed, name: Name, other: Parsed) -> Condition:
        self.equality_only(node, "a flag")
        holds = Holds(name)
        if other.kind in ("true", "false"):
            positive = (other.kind == "true") == (node.kind == "==")
            return holds if positive else Not(holds)
        if other.kind == "word" and other.text in ("yes", "no"):
            raise ExpressionError(
                other.at,
                f"{other.text} is for sheets",
                f"write {name.written} or not {name.written}",
            )
        if other.kind != "name":
            raise ExpressionError(
                other.at, f"{name.written} is a flag", "compare it with true, false or a flag"
            )
        second = self.flag(other)
        same = Any((All((holds, second)), All((Not(holds), Not(second)))))
        return same if node.kind == "==" else Not(same)

    def equality_only(self, node: Parsed, what: str) -> None:
        if node.kind not in ("==", "!="):
            raise ExpressionError(
                node.at, f"{node.kind} has no meaning for {what}", "write == or !="
            )

    def word(self, name: Name, node: Parsed) -> str:
        choices = name.attribute.choices
        if node.kind in ("word", "true", "false", "name") and node.text in choices:
            return node.text
        text = node.text or str(node)
        advice = nearest(text, choices) or f"write one of {', '.join(choices)}"
        raise ExpressionError(node.at, f"{shown(text)} is no choice of {name.written}", advice)

    # -- numbers -----------------------------------------------------------------------------------

    def figure(self, node: Parsed) -> _Typed:
        match node.kind:
            case "number":
                used = unit(node.unit)
                whole = not node.unit and node.number == int(node.number)
                return _Typed(Number(node.number, node.unit), used.dimension, whole, node.at)
            case "name":
                name = self.name(node)
                if name.attribute.kind not in _NUMERIC:
                    raise self.wrong_kind(node, name, "a number is needed here")
                attribute = name.attribute
                whole = attribute.kind is Kind.COUNT
                return _Typed(Read(name), attribute.dimension, whole, node.at)
            case "negative":
                of = self.figure(node.parts[0])
                if of.dimension.absolute:
                    raise ExpressionError(
                        node.at, "minus an absolute temperature", "write -10 degC"
                    )
                return _Typed(Negative(of.tree), of.dimension, of.whole, node.at)
            case "+" | "-" | "*" | "/":
                return self.arithmetic(node)
            case "min" | "max":
                return self.extreme(node)
            case "word":
                raise self.stray_word(node)
        raise ExpressionError(
            node.at, "a condition is no number", "compare numbers, join conditions with and, or"
        )

    def extreme(self, node: Parsed) -> _Typed:
        items = [self.figure(part) for part in node.parts]
        for item in items[1:]:
            self.same(Parsed(node.kind, item.at), items[0], item)
        tree = Extreme(node.kind, tuple(item.tree for item in items))
        return _Typed(tree, items[0].dimension, all(item.whole for item in items), node.at)

    def arithmetic(self, node: Parsed) -> _Typed:
        left, right = (self.figure(part) for part in node.parts)
        tree = Arithmetic(node.kind, left.tree, right.tree)
        whole = left.whole and right.whole and node.kind != "/"
        if node.kind in ("+", "-"):
            return _Typed(tree, self.sum_dimension(node, left, right), whole, node.at)
        if left.dimension.absolute or right.dimension.absolute:
            raise ExpressionError(
                node.at,
                f"{node.kind} with an absolute temperature",
                "take the difference of two temperatures first",
            )
        if node.kind == "*":
            return _Typed(tree, left.dimension * right.dimension, whole, node.at)
        if right.tree in (Number(0.0), Number(-0.0)):
            raise ExpressionError(node.at, "division by zero", "divide by something else")
        return _Typed(tree, left.dimension / right.dimension, False, node.at)

    def sum_dimension(self, node: Parsed, left: _Typed, right: _Typed) -> Dimension:
        one, other = left.dimension, right.dimension
        if one.absolute and other.absolute:
            if node.kind == "-":
                return DIFFERENCE
            raise ExpressionError(
                node.at, "the sum of two absolute temperatures", "add a difference such as 5 K"
            )
        if one.absolute and other == DIFFERENCE:
            return TEMPERATURE
        if other.absolute and one == DIFFERENCE and node.kind == "+":
            return TEMPERATURE
        self.same(node, left, right)
        return one

    def same(self, node: Parsed, left: _Typed, right: _Typed) -> None:
        one, other = left.dimension, right.dimension
        if one == other:
            self.same_per_cell(left, right)
            return
        advice = "both sides need one kind of number"
        for side, wanted in ((right, one), (left, other)):
            if isinstance(side.tree, Number):
                if {one, other} == {TEMPERATURE, DIFFERENCE}:
                    advice = "write degC for a temperature, K for a difference"
                elif not side.tree.unit and known_spellings(wanted):
                    advice = f"write the unit, such as {known_spellings(wanted)[0]}"
        raise ExpressionError(
            node.at, f"{one.name or 'a number'} {node.kind} {other.name or 'a number'}", advice
        )

    def same_per_cell(self, left: _Typed, right: _Typed) -> None:
        """A literal per cell meets a value per cell: else it is wrong by the number of cells."""
        for literal, side in ((left, right), (right, left)):
            if not isinstance(literal.tree, Number) or not isinstance(side.tree, Read):
                continue
            attribute = side.tree.name.attribute
            if "/cell" in literal.tree.unit and "/cell" not in attribute.unit:
                raise ExpressionError(
                    literal.at,
                    f"a value per cell against {side.tree.name.written}",
                    f"multiply by the number of cells, or write {attribute.unit}",
                )
            if "/cell" in attribute.unit and "/cell" not in literal.tree.unit:
                raise ExpressionError(
                    literal.at,
                    f"{side.tree.name.written} is a value per cell",
                    f"write {attribute.unit}",
                )

    # -- refusals ----------------------------------------------------------------------------------

    def wrong_kind(self, node: Parsed, name: Name, why: str) -> ExpressionError:
        what = {
            Kind.TEXT: "free text, which is never compared",
            Kind.REFERENCE: "the id of a part, which is never compared",
            Kind.CHOICE: "a choice",
            Kind.FLAG: "a flag",
            Kind.COUNT: "a count",
            Kind.QUANTITY: "a quantity",
        }[name.attribute.kind]
        return ExpressionError(node.at, f"{node.text} is {what}", why)

    def stray_word(self, node: Parsed) -> ExpressionError:
        return ExpressionError(
            node.at,
            f"{shown(node.text)} is no name and no number",
            "write subject.attribute, such as battery.full_voltage",
        )
