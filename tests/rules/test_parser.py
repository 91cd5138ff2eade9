"""The parser: against a grammar library as the oracle, and its positions and limits."""

from __future__ import annotations

import random

import lark
import pytest

from advisor.rules.parser import MAX_DEPTH, MAX_LENGTH, ExpressionError, parse_condition
from advisor.units import unit
from advisor.vocabulary import VOCABULARY
from tests.rules.making import Maker, written

# The language, written down a second time, for a grammar library.
GRAMMAR = r"""
start: either
?either: both ("or" both)* -> or
?both: negation ("and" negation)* -> and
?negation: "not" negation -> not
         | comparison
?comparison: sum OP sum -> compare
           | sum "in" "[" sum ("," sum)* "]" -> among
           | sum "is" "known" -> known
           | sum "is" "unknown" -> unknown
           | sum
?sum: product
    | sum "+" product -> plus
    | sum "-" product -> minus
?product: unary
        | product "*" unary -> times
        | product "/" unary -> divided
?unary: primary
      | "-" quantity -> negated
      | "-" unary_not_number -> negative
?unary_not_number: "-" quantity -> negated
      | "-" unary_not_number -> negative
      | group
?group: "(" either ")"
      | "min" "(" sum ("," sum)+ ")" -> min
      | "max" "(" sum ("," sum)+ ")" -> max
      | NAME -> name
      | WORD -> word
?primary: quantity | group
quantity: NUMBER UNIT?
OP: "==" | "!=" | "<=" | ">=" | "<" | ">"
NAME.3: /[a-z][a-z0-9_]*\.[a-z0-9_]+/
WORD: /(?!(and|or|not|in|is|min|max|known|unknown|V|A|K|degC|mph)\b)[a-z][a-z0-9]*(-[a-z0-9]+)*/
NUMBER: /[0-9]+(\.[0-9]+)?/
UNIT.2: "V/cell" | "V" | "A" | "K" | "degC" | "mph" | "kg" | "mm" | "%"
%ignore " "
"""
ORACLE = lark.Lark(GRAMMAR, parser="earley", ambiguity="resolve")
_SIGNS = {"plus": "+", "minus": "-", "times": "*", "divided": "/"}


def _oracle(node) -> str:
    """The oracle's tree, written like the parser's."""
    if isinstance(node, lark.Token):
        return str(node)
    kind, parts = node.data, node.children
    if kind in ("or", "and"):
        inner = [_oracle(part) for part in parts]
        return inner[0] if len(inner) == 1 else f"({kind} {' '.join(inner)})"
    if kind == "start":
        return _oracle(parts[0])
    if kind in ("quantity", "negated"):
        number = parts[0] if kind == "quantity" else parts[0].children[0]
        spelling = (parts if kind == "quantity" else parts[0].children)[1:]
        used = unit(str(spelling[0]) if spelling else "")
        sign = -1.0 if kind == "negated" else 1.0
        value = sign * float(number) * used.factor + used.offset
        return f"{value + 0.0!r} {used.spelling}".rstrip()
    if kind in ("name", "word"):
        return str(parts[0])
    if kind == "compare":
        return f"({parts[1]} {_oracle(parts[0])} {_oracle(parts[2])})"
    word = {"among": "in", **_SIGNS}.get(str(kind), str(kind))
    return f"({word} {' '.join(_oracle(part) for part in parts)})"


def test_generated_conditions_parse_like_the_oracle() -> None:
    maker = Maker(random.Random(20261124))
    for _ in range(250):
        text = written(maker.condition(3))
        assert str(parse_condition(text)) == _oracle(ORACLE.parse(text)), text


def _free(chance: random.Random, depth: int) -> str:
    """A text without more parentheses than needed, so that precedence decides."""
    atoms = ["a.b", "c.d_e", "5 V", "0.5 V/cell", "-10 degC", "3", "12 mph", "f.g", "7 %"]
    number = chance.choice(atoms)
    for _ in range(chance.randrange(4)):
        number += (
            f" {chance.choice('+-*/')} {chance.choice(['', '', '-'])}{chance.choice(atoms[:4])}"
        )
    if depth == 0:
        return number
    kind = chance.randrange(7)
    if kind == 0:
        return f"not {_free(chance, depth - 1)}"
    if kind in (1, 2):
        other = _free(chance, depth - 1)
        return f"{_free(chance, depth - 1)} {chance.choice(['and', 'or'])} {other}"
    if kind == 3:
        return f"x.y in [{chance.choice(['lfp', 'two-way'])}, nmc]"
    if kind == 4:
        return f"x.y is {chance.choice(['known', 'unknown'])}"
    if kind == 5:
        return f"{number} {chance.choice(['<', '<=', '==', '!=', '>', '>='])} a.b * max(c.d, 3 kg)"
    return f"({_free(chance, depth - 1)})"


def test_precedence_is_that_of_the_oracle() -> None:
    chance = random.Random(7)
    for _ in range(400):
        text = _free(chance, 3)
        assert str(parse_condition(text)) == _oracle(ORACLE.parse(text)), text


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("a.b > 60 V", "(> a.b 60.0 V)"),
        ("a.b > 60V", "(> a.b 60.0 V)"),
        ("a.b<0.1 V/cell", "(< a.b 0.1 V/cell)"),
        ("a.b > 1.25 * c.d", "(> a.b (* 1.25 c.d))"),
        ("a.b - 10 degC > 5 K", "(> (- a.b 283.15 °C) 5.0 K)"),
        ("a.b > -10 degC", "(> a.b 263.15 °C)"),
        ("a.b > 15 mph", "(> a.b 6.7056 mph)"),
        ("a.b > 5 in", "(> a.b 0.127 in)"),
        ("a.b in [5, 6]", "(in a.b 5.0 6.0)"),
        ("a.b == 12v", "(== a.b 12v)"),
        ("a.b == neighbourhood-vehicle", "(== a.b neighbourhood-vehicle)"),
        ("a.b-c.d > 3", "(> (- a.b c.d) 3.0)"),
        ("a.b or c.d and not e.f", "(or a.b (and c.d (not e.f)))"),
        ("not a.b == lfp", "(not (== a.b lfp))"),
        ("a.b > 0.5 per hour", "(> a.b 0.0001388888888888889 per hour)"),
        ("a.b > 1 %/day", "(> a.b 1.1574074074074074e-07 %/day)"),
        ("a.b > 100 A h", "(> a.b 360000.0 A·h)"),
        ("a.b > 2 m * 3", "(> a.b (* 2.0 m 3.0))"),
        ("a.b > 5 min", "(> a.b 300.0 min)"),
        ("a.b > min(5 min, c.d)", "(> a.b (min 300.0 min c.d))"),
        ("--a.b < 1", "(< (negative (negative a.b)) 1.0)"),
    ],
)
def test_trees(text: str, tree: str) -> None:
    assert str(parse_condition(text)) == tree


@pytest.mark.parametrize(
    ("text", "at", "says"),
    [
        ("", 0, "a value is missing before the end"),
        ("a.b >", 5, "a value is missing before the end"),
        ("a.b > 60 volts extra", 15, '"extra" is not expected here'),
        ("a.b > 60 X", 9, '"X" is not a unit'),
        ("a.b > 60 v", 9, 'write "V"'),
        ("a.b > 1 < c.d", 8, "two comparisons in a row"),
        ("a.b = 5", 4, "write == to compare"),
        ("a.b > 1E3", 7, '"E3" is not a unit'),
        ("a.b > 010", 6, "is not a number"),
        ("a.b > 1.2.3", 6, "is not a number"),
        ("a.b > .5", 6, "write 0.5, not .5"),
        ("a.b && c.d", 4, "write and"),
        ('a.b == "lfp"', 7, "without quotes"),
        ("a.b in lfp", 7, "[ is missing before lfp"),
        ("a.b in [lfp", 11, "] is missing before the end"),
        ("(a.b > 1", 8, ") is missing before the end"),
        ("a.b is red", 7, "is red has no meaning"),
        ("min(a.b) > 3", 0, "min of one value"),
        ("a.b > f(3)", 7, '"(" is not expected here'),
        ("a.b[0] > 3", 3, '"[" is not expected here'),
        ("a.b > 3 and", 11, "a value is missing"),
        ("a.b > $5", 6, "has no meaning here"),
        ("a.b ** 2 > 3", 5, "a value is missing before *"),
    ],
)
def test_errors_say_where_and_what(text: str, at: int, says: str) -> None:
    with pytest.raises(ExpressionError) as caught:
        parse_condition(text)
    assert caught.value.at == at
    assert says in str(caught.value)


def test_depth_and_length_are_limited() -> None:
    deep = "(" * MAX_DEPTH + "a.b" + ")" * MAX_DEPTH
    assert parse_condition(deep).text == "a.b"
    for text in (f"({deep})", "not " * 21 + "a.b", "-" * 21 + "a.b < 1", "a.b" + " + a.b" * 21):
        with pytest.raises(ExpressionError, match="nested too deeply"):
            parse_condition(text)
    with pytest.raises(ExpressionError, match="nested too deeply"):
        parse_condition("(" * 400)
    with pytest.raises(ExpressionError, match="longer than"):
        parse_condition("a.b > 1 and " * (MAX_LENGTH // 12) + "a.b > 1")


def test_every_choice_of_the_vocabulary_can_be_written() -> None:
    for attribute in VOCABULARY.attributes.values():
        for word in attribute.choices:
            tree = parse_condition(f"{attribute.path} == {word}")
            assert [part.text for part in tree.parts] == [attribute.path, word]
