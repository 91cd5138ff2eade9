"""What is proven about rules: each defect is made on purpose, and the shipped rules have none."""

from __future__ import annotations

from pathlib import Path

import pytest

pytest.importorskip("z3")

from advisor.proofs.formulas import Formulas
from advisor.proofs.proving import Proofs, prove, prove_rule
from advisor.rules import RuleBook, load_rulesets
from tests.rules.making import book_of, rule_text

WIDE = rule_text("wide", "battery.full_voltage > 60 V")
MILD = WIDE.replace("severity: critical", "severity: negligible")


def _proven(folder: Path, *rules: str) -> Proofs:
    return prove(book_of(folder, *rules))


def _said(proofs: Proofs) -> list[str]:
    return [f"{one.path}: {one.problem}" for one in proofs.problems]


def test_never_and_always_are_defects(tmp_path: Path) -> None:
    (never, always) = _said(
        _proven(
            tmp_path,
            rule_text("impossible", "battery.full_voltage > 60 V and battery.full_voltage < 50 V"),
            rule_text("certain", "battery.full_voltage > 0 V or not battery.lithium",
                      applies="battery.full_voltage > 10 V"),
        )
    )  # fmt: skip
    assert always.startswith("certain: is violated whenever it applies")
    assert never.startswith("impossible: can never be violated")


def test_the_same_condition_in_other_words(tmp_path: Path) -> None:
    (said,) = _said(
        _proven(
            tmp_path,
            rule_text("first", "battery.full_voltage > 60 V and battery.lithium"),
            rule_text("second", "not (battery.full_voltage <= 60 V or not battery.lithium)"),
        )
    )
    assert said == "second: has the same condition as first"


def test_one_that_outranks_what_covers_it(tmp_path: Path) -> None:
    narrow = rule_text("narrow", "battery.full_voltage > 80 V")
    (said,) = _said(_proven(tmp_path, MILD, narrow))
    assert said.startswith("narrow: outranks wide, which is violated whenever this is, for example")
    assert " V" in said
    again = rule_text("narrow", "battery.full_voltage > 80 V", more="covers: [wide]")
    proofs = _proven(tmp_path, MILD, again)
    assert (proofs.problems, proofs.declared, proofs.implied) == ((), 1, 1)


def test_one_that_says_nothing_new(tmp_path: Path) -> None:
    narrow = rule_text("narrow", "battery.full_voltage > 80 V and battery.lithium")
    (said,) = _said(_proven(tmp_path, WIDE, narrow))
    assert said.startswith("narrow: says nothing new: wide is violated whenever this is")


def test_rules_on_other_parts_are_not_compared(tmp_path: Path) -> None:
    other = rule_text("other", "battery.full_voltage > 60 V", about="charger")
    assert _proven(tmp_path, WIDE, other).problems == ()


def test_rules_that_only_overlap_are_left_alone(tmp_path: Path) -> None:
    other = rule_text("other", "battery.full_voltage > 50 V and battery.lithium")
    assert _proven(tmp_path, WIDE, other).problems == ()


def test_a_counter_example_in_words(tmp_path: Path) -> None:
    narrow = rule_text("narrow", "battery.full_voltage > 80 V")
    book = book_of(tmp_path, WIDE, narrow)
    told = prove_rule(book, book.rules[1], [book.rules[0]])
    by_question = {one.question: one for one in told}
    inside = by_question["Can narrow be violated where wide is not?"]
    assert inside.answer.startswith("no, proven")
    apart = by_question["Can wide be violated where narrow is not?"]
    assert apart.answer == "yes"
    name, value, unit = apart.example.split()
    assert (name, unit) == ("battery.full_voltage", "V")
    assert 60 < float(value) <= 80


def test_an_open_question_is_reported_and_no_defect(tmp_path: Path) -> None:
    power = " * ".join(["battery.full_voltage", "battery.nominal_voltage"] * 3)
    hard = rule_text("hard", f"{power} > 1 V * 1 V * 1 V * 1 V * 1 V * 1 V + {power} / 3")
    formulas = Formulas()
    formulas._solver.set("rlimit", 1)
    proofs = prove(book_of(tmp_path, hard), formulas)
    assert proofs.problems == ()
    assert "hard on controller: whether it never holds" in proofs.open


@pytest.fixture(scope="module")
def shipped() -> RuleBook:
    return load_rulesets(examples=False)


def test_the_shipped_rules(shipped: RuleBook) -> None:
    proofs = prove(shipped)
    assert _said(proofs) == []
    assert proofs.open == ()


def test_a_higher_rating_that_makes_a_check_worse(tmp_path: Path) -> None:
    """The rating stands on the wrong side of the comparison."""
    wrong = rule_text("wrong", "controller.absolute_max > battery.full_voltage")
    right = rule_text("right", "controller.absolute_max < battery.full_voltage")
    (said,) = _said(_proven(tmp_path, wrong, right))
    assert said.startswith("wrong: a higher controller.absolute_max can make it worse, from")


def test_a_rating_in_both_directions(tmp_path: Path) -> None:
    """A window has two ends; at the upper one a higher rating is worse."""
    window = rule_text("window", "controller.absolute_max < 1.1 * battery.full_voltage")
    assert _said(_proven(tmp_path, window)) == []
    both = rule_text(
        "both",
        "controller.absolute_max < battery.full_voltage or controller.absolute_max > 200 V",
    )
    (said,) = _said(_proven(tmp_path, both))
    assert "can make it worse" in said
