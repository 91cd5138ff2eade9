"""The solver's formulas say what the Python evaluator says, and its answers are what they claim.

The oracle of the translation is the truth of `tests/rules/making.py`, which shares no code with the
program: exact fractions for comparisons, Python's own operators.
"""

from __future__ import annotations

import random
from fractions import Fraction
from pathlib import Path

import pytest

z3 = pytest.importorskip("z3")

from advisor.proofs.formulas import Formulas, verdict_on  # noqa: E402
from advisor.rules.rule import Rule  # noqa: E402
from advisor.rules.values import Verdict  # noqa: E402
from tests.rules.making import (  # noqa: E402
    CHOICES,
    COUNTS,
    FLAGS,
    NUMBERS,
    Maker,
    book_of,
    judged,
    rule_text,
    written,
)


def _fixed(formulas: Formulas, row: dict[str, float | str | bool], used: frozenset[str]) -> list:
    """Every used variable pinned to the value of a row."""
    parts = []
    for key in used:
        value = row[key]
        variable = formulas._variables[key]
        if key in CHOICES:
            parts.append(variable == formulas.word(str(value)))
        elif key in FLAGS:
            parts.append(variable == bool(value))
        else:
            exact = Fraction(float(value))
            parts.append(variable == z3.Q(exact.numerator, exact.denominator))
    return parts


def _row(chance: random.Random) -> dict[str, float | str | bool]:
    """Values apart from each other and from every limit by more than the tolerance."""
    row: dict[str, float | str | bool] = {}
    for name, unit in NUMBERS.items():
        row[name] = chance.choice((250.0, 280.5, 310.25) if unit == "degC" else (3.5, 20.0, 71.0))
    row |= {name: float(chance.choice((1, 2, 3))) for name in COUNTS}
    row |= {name: chance.choice(words) for name, words in CHOICES.items()}
    row |= {name: chance.random() < 0.5 for name in FLAGS}
    return row


def test_a_formula_holds_where_the_condition_does(tmp_path: Path) -> None:
    """200 made conditions on 5 rows each, against the truth of the tests."""
    chance = random.Random(7)
    maker = Maker(chance, known_tests=False)
    compared = 0
    for number in range(200):
        made = maker.condition(2)
        folder = tmp_path / str(number)
        folder.mkdir()
        (rule,) = book_of(folder, rule_text("made", written(made))).rules
        formulas = Formulas()
        formula = formulas.formula(rule, "controller")
        for _ in range(5):
            row = _row(chance)
            true, false = judged(made, row)
            assert true != false  # everything is known, so it is decided
            pinned = _fixed(formulas, row, formula.variables)
            assert formulas.ask([formula.violated, *pinned], ()).can is true
            assert formulas.ask([formula.satisfied, *pinned], ()).can is false
            compared += 1
    assert compared == 1000


def _rule(folder: Path, when: str, applies: str = "", about: str = "controller") -> Rule:
    (rule,) = book_of(folder, rule_text("made", when, applies=applies, about=about)).rules
    return rule


@pytest.mark.parametrize(
    ("when", "violated", "satisfied"),
    [
        ("battery.full_voltage > 60 V", True, True),
        ("battery.full_voltage < 0 V", False, True),  # no voltage of a battery is below zero
        ("battery.full_voltage >= 0 V", True, False),
        ("use.ambient_min > 200 degC", False, True),  # a sheet takes -60 to 150 °C
        ("use.region == us and use.region == eu", False, True),
        ("use.region in [us, eu, other]", True, False),
        ("battery.packs_in_series > 2 and battery.packs_in_series < 3", False, True),  # whole
        ("battery.lithium or not battery.lithium", True, False),
        # 0.1 + 0.2 is 0.3 in exact fractions, and is not in binary floating point
        ("0.1 * battery.full_voltage + 0.2 * battery.full_voltage > 0.3 * battery.full_voltage",
         False, True),
        ("battery.full_voltage / battery.packs_in_series > 5 V and battery.packs_in_series == 0",
         False, True),  # a division by zero decides nothing
        ("max(battery.full_voltage, 10 V) < min(9 V, battery.full_voltage)", False, True),
    ],
)  # fmt: skip
def test_never_and_always(when: str, violated: bool, satisfied: bool, tmp_path: Path) -> None:
    """Each follows from arithmetic or from the range that a sheet may write."""
    formulas = Formulas()
    formula = formulas.formula(_rule(tmp_path, when), "controller")
    assert formulas.ask([*formula.ranges, formula.violated], ()).can is violated
    assert formulas.ask([*formula.ranges, formula.satisfied], ()).can is satisfied


def test_an_example_is_confirmed_by_the_evaluator(tmp_path: Path) -> None:
    rule = _rule(
        tmp_path,
        "battery.full_voltage > 1.05 * controller.absolute_max and use.region != us",
        applies="use.ambient_min < 0 degC",
    )
    formulas = Formulas()
    formula = formulas.formula(rule, "controller")
    for part, verdict in (
        (formula.violated, Verdict.VIOLATED),
        (formula.satisfied, Verdict.SATISFIED),
    ):
        answer = formulas.ask([*formula.ranges, part], formula.variables)
        assert answer.can
        assert verdict_on(rule, "controller", answer.example) is verdict


def test_what_the_solver_cannot_decide_is_unknown(tmp_path: Path) -> None:
    """Without time to think there is no answer, and no answer is never taken as proven."""
    names = ("full_voltage", "nominal_voltage")
    power = " * ".join(f"battery.{name}" for name in names * 3)
    rule = _rule(tmp_path, f"{power} > 1 V * 1 V * 1 V * 1 V * 1 V * 1 V + {power} / 3")
    formulas = Formulas()
    formulas._solver.set("rlimit", 1)
    formula = formulas.formula(rule, "controller")
    answer = formulas.ask([*formula.ranges, formula.violated], formula.variables)
    assert answer.can is None
    assert answer.example == {}


def test_known_is_a_truth_of_its_own(tmp_path: Path) -> None:
    rule = _rule(tmp_path, "battery.lithium and controller.absolute_max is unknown")
    formulas = Formulas()
    formula = formulas.formula(rule, "controller")
    answer = formulas.ask([*formula.ranges, formula.violated], formula.variables)
    assert answer.example["controller.absolute_max is known"] is False
    assert verdict_on(rule, "controller", answer.example) is Verdict.VIOLATED
