"""A finding worked by hand, and its comparison with the tree of an explanation, node by node.

Every node of the tree must stand in the hand calculation and the other way round.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from advisor.explain.tree import Node
from advisor.explain.verdicts import Explained
from advisor.facts.origins import Fact
from advisor.sheet.examples import example_sheets
from tests.explain.test_explaining import explainer

Value = float | str | bool

SI = {
    "V": 1.0,
    "A": 1.0,
    "m": 1.0,
    "V/cell": 1.0,
    "mV/cell/K": 1e-3,
    "%": 0.01,
    "": 1.0,
    "A·h": 3600.0,
    "mm²": 1e-6,
    "mF": 1e-3,
    "mΩ": 1e-3,
    "kW": 1e3,
    "km/h": 1 / 3.6,
}
"""SI of one of each unit; by definition. °C is shifted by 273.15 K."""
EXACT = 1e-9  # the same arithmetic done twice differs only by binary rounding, far below this
SHOWN = 5e-3  # printed with at least three figures: half of the third is at most 0.5 %
CELSIUS = 0.05  # K, temperatures are printed to a tenth


@dataclass(frozen=True)
class Hand:
    """One value by hand: SI, its unit as printed, how it is known, what the tree must say of it.

    `inputs` are the last names, `words` and `source` parts of what is printed.
    """

    value: Value
    unit: str
    how: str
    words: str
    source: str = ""
    inputs: tuple[str, ...] = ()


def line_of(sheet: str, *texts: str) -> int:
    """Number of the line with the last text, each searched from the line of the one before."""
    lines = example_sheets()[sheet].read_text(encoding="utf-8").splitlines()
    at = 0
    for text in texts:
        at = next(n for n in range(at, len(lines)) if text in lines[n])
    return at + 1


def written(sheet: str, value: Value, unit: str, text: str, *where: str) -> Hand:
    """A value of the sheet: its text, and texts that lead to its line."""
    line = line_of(sheet, *where)
    return Hand(value, unit, "written", f"{text}, line {line} of {example_sheets()[sheet]}")


def worked(value: Value, unit: str, words: str, source: str, *inputs: str) -> Hand:
    """A value by a formula from others."""
    return Hand(value, unit, "computed", words, source, inputs)


def assumed(value: Value, unit: str, words: str, source: str, *inputs: str) -> Hand:
    """A value assumed for a reason."""
    return Hand(value, unit, "assumed", words, source, inputs)


def tabled(value: Value, unit: str, row: str, column: str, source: str) -> Hand:
    """A value of a row and a column of a table."""
    return Hand(value, unit, "table", f"row {row}, column {column}", source)


def unknown() -> Hand:
    """A value that nobody stated."""
    return Hand("", "", "unknown", "nobody stated it")


def agree(
    sheet: str, rule: str, about: str, hand: dict[str, Hand], margin: float | None, *, guess: bool
) -> Explained:
    """Compare the explanation of a violated check with a hand calculation, node by node."""
    found = explainer(sheet)
    one = found.explained(found.chosen(rule, about))
    assert one.judgement.verdict == "violated"
    assert one.judgement.on_assumption is guess
    if margin is None:
        assert one.judgement.margin is None
    else:
        assert one.judgement.margin == pytest.approx(margin, rel=EXACT)
    trees = [node for _, node in (*one.values, *one.also)]
    trees += [node for below in one.because_of for _, node in below.values]
    nodes = [node for tree in trees for node in tree.walk()]
    assert {node.name for node in nodes} == set(hand)
    for node in nodes:
        _same(sheet, node, hand[node.name])
    return one


def _same(sheet: str, node: Node, want: Hand) -> None:
    assert node.how == want.how, node
    assert want.words in node.words and want.source in node.source, node
    if want.how == "written":
        assert node.words == want.words
    if not node.again:
        names = {one.name.rpartition(".")[2] for one in node.inputs}
        assert names == set(want.inputs), node.name
    part, _, name = node.name.rpartition(".")
    fact = explainer(sheet).facts.fact(part, name)
    if want.how == "unknown":
        assert not isinstance(fact, Fact) and node.text == "not known"
        return
    assert isinstance(fact, Fact)
    if isinstance(want.value, str):
        assert fact.value == want.value
        assert node.text in (want.value, want.value.replace("-", " "))
        return
    if isinstance(want.value, bool):
        assert fact.value is want.value and node.text == ("yes" if want.value else "no")
        return
    assert fact.value == pytest.approx(want.value, rel=EXACT), node.name
    number, _, unit = node.text.partition(" ")
    assert unit == want.unit, node.name
    if unit == "°C":
        assert float(number) == pytest.approx(want.value - 273.15, abs=CELSIUS)
    else:
        assert float(number) * SI[unit] == pytest.approx(want.value, rel=SHOWN), node.name
