"""The judge: evaluators agree, nothing is lost, conclusions and assumptions do what they say."""

from __future__ import annotations

import math
import random
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor import engine
from advisor.engine import EngineError, EvaluatorsDisagreeError, Judge, Verdict
from advisor.rules import twins
from advisor.rules.values import Known
from tests.rules.making import Cases, book_of, rule_text
from tests.test_engine_agreement import made_book

V, S, U, N = Verdict.VIOLATED, Verdict.SATISFIED, Verdict.UNDETERMINED, Verdict.NOT_APPLICABLE
needs_engine = pytest.mark.skipif(engine.durable is None, reason="durable-rules is not available")


@needs_engine
@pytest.mark.parametrize(
    ("right", "wrong"), [("$gt", "$gte"), ("$lt", "$gt"), ("$gte", "$gt"), ("$lte", "$lt")]
)
def test_a_wrong_operator_in_the_engine_is_caught(
    right: str, wrong: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    planted = {op: wrong if word == right else word for op, word in twins._ORDER.items()}
    monkeypatch.setattr(twins, "_ORDER", planted)
    op = {"$gt": ">", "$lt": "<", "$gte": ">=", "$lte": "<="}[right]
    book = book_of(
        tmp_path, rule_text("limit", f"battery.full_voltage {op} controller.absolute_max")
    )
    rows = {
        f"c{number}": {"battery.full_voltage": value, "controller.absolute_max": 60.0}
        for number, value in enumerate((59.0, 60.0, 61.0))
    }
    with pytest.raises(EvaluatorsDisagreeError) as caught:
        Judge(book).judge(Cases(rows))
    assert caught.value.rule.name == "limit"
    assert caught.value.case in rows
    assert "rule limit on c" in str(caught.value)


@needs_engine
def test_a_wrong_word_test_is_caught(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    book = book_of(tmp_path, rule_text("words", "use.region in [us, eu]"))
    wrong = twins._Form("$and", ({"$ex": {"w0": 1}}, {"w0": "us"}))
    monkeypatch.setattr(twins, "_among", lambda key, words, wanted: wrong)
    with pytest.raises(EvaluatorsDisagreeError):
        Judge(book).judge(Cases({"c0": {"use.region": "eu"}}))


# -- at the limit ----------------------------------------------------------------------------------

AT = [
    (58.4, 58.4, 0),
    (0.1 * 3, 0.3, 0),
    (0.3, 0.1 * 3, 0),
    (math.nextafter(58.4, 99.0), 58.4, 0),
    (math.nextafter(58.4, 0.0), 58.4, 0),
    (58.4 * (1 + 5e-10), 58.4, 0),
    (58.4 * (1 - 5e-10), 58.4, 0),
    (58.4 * (1 + 2e-9), 58.4, 1),
    (58.4 * (1 - 2e-9), 58.4, -1),
    (0.0, 0.0, 0),
    (-0.0, 0.0, 0),
    (1e-300, 0.0, 1),
    (-1e-300, 0.0, -1),
    (5e-324, 1e-300, -1),
    (1e-7, 1e-7, 0),
    (1.0000001e-7, 1e-7, 1),
    (1e300, 1e-300, 1),
    (-1e300, 1e-300, -1),
    (1e300, -1e-300, 1),
    (1e16, 1e16, 0),
    (1e16, 9.99e15, 1),
    (-1e-5, -2e-5, 1),
    (1e308, -1e308, 1),
]
MEANING = {
    ">": lambda side: side > 0,
    ">=": lambda side: side >= 0,
    "<": lambda side: side < 0,
    "<=": lambda side: side <= 0,
}


def test_at_the_limit_just_below_and_just_above(tmp_path: Path) -> None:
    """Equal within 1e-9 of the larger; each evaluator, each operator; sides by hand."""
    names = {">": "above", ">=": "at-least", "<": "below", "<=": "at-most"}
    book = book_of(
        tmp_path,
        *(
            rule_text(name, f"battery.full_voltage {op} controller.absolute_max")
            for op, name in names.items()
        ),
    )
    rows = {
        f"c{number}": {"battery.full_voltage": left, "controller.absolute_max": right}
        for number, (left, right, _) in enumerate(AT)
    }
    for judge in (Judge(book), Judge(book, use_engine=False)):
        found = {(one.rule.name, one.case): one for one in judge.judge(Cases(rows))}
        for number, (left, right, side) in enumerate(AT):
            for op, name in names.items():
                one = found[name, f"c{number}"]
                assert one.verdict is (V if MEANING[op](side) else S), (left, op, right)
                if side == 0:
                    assert one.margin == 0.0


def test_whole_numbers_are_compared_for_equality(tmp_path: Path) -> None:
    book = book_of(
        tmp_path,
        rule_text("same", "vehicle.seats == battery.packs_in_series + 1"),
        rule_text("other", "vehicle.seats != battery.packs_in_series + 1"),
    )
    rows = {
        f"c{seats}": {"vehicle.seats": float(seats), "battery.packs_in_series": 3.0}
        for seats in (3, 4, 5)
    }
    found = {(one.rule.name, one.case): one.verdict for one in Judge(book).judge(Cases(rows))}
    assert [found["same", f"c{n}"] for n in (3, 4, 5)] == [S, V, S]
    assert [found["other", f"c{n}"] for n in (3, 4, 5)] == [V, S, V]


@given(
    left=st.floats(allow_nan=False, allow_infinity=False),
    right=st.floats(allow_nan=False, allow_infinity=False),
)
def test_plain_pairs_keep_the_order_and_need_no_exponent(left: float, right: float) -> None:
    one, other = twins.plain_pair(left, right)
    assert "e" not in f"{one!r} {other!r}"
    if left == right:
        assert one == other
    elif abs(left - right) > 1e-9 * max(abs(left), abs(right)):
        assert (one > other) == (left > right)
        assert one != other


# -- verdicts of one rule --------------------------------------------------------------------------


def test_an_undecided_applies_leaves_the_check_undetermined_and_asks_for_its_facts(
    tmp_path: Path,
) -> None:
    book = book_of(
        tmp_path,
        rule_text(
            "guarded",
            "battery.full_voltage > controller.absolute_max",
            applies="use.region == eu",
        ),
    )
    volts = {"battery.full_voltage": 58.8, "controller.absolute_max": 57.0}
    rows = {
        "yes": {"use.region": "eu", **volts},
        "no": {"use.region": "us", **volts},
        "open": volts,
    }
    found = {one.case: one for one in Judge(book).judge(Cases(rows))}
    assert {case: one.verdict for case, one in found.items()} == {"yes": V, "no": N, "open": U}
    assert found["open"].missing == {"use.region"}
    assert found["open"].reasons == ("use.region: not stated",)


def test_division_by_zero_is_undetermined_with_its_reason(tmp_path: Path) -> None:
    book = book_of(
        tmp_path, rule_text("share", "battery.full_voltage / battery.packs_in_series > 30 V")
    )
    rows = {"c0": {"battery.full_voltage": 58.8, "battery.packs_in_series": 0.0}}
    (one,) = Judge(book).judge(Cases(rows))
    assert one.verdict is U
    assert one.reasons == ("a division by zero, or a number out of range",)


def test_assumptions_never_clear_a_check(tmp_path: Path) -> None:
    book = book_of(tmp_path, rule_text("limit", "battery.full_voltage > controller.absolute_max"))

    def assumed(volts: float) -> Known:
        return Known(volts, True, frozenset({"pack-a.nominal_voltage"}))

    rows = {
        "firm": {"battery.full_voltage": 58.8, "controller.absolute_max": 60.0},
        "over": {"battery.full_voltage": assumed(62.0), "controller.absolute_max": 60.0},
        "under": {"battery.full_voltage": assumed(58.8), "controller.absolute_max": 60.0},
        "open": {"battery.full_voltage": assumed(58.8)},
    }
    found = {one.case: one for one in Judge(book).judge(Cases(rows))}
    assert [(found[c].verdict, found[c].on_assumption) for c in rows] == [
        (S, False),
        (V, True),
        (S, True),
        (U, False),
    ]
    assert found["under"].missing == {"pack-a.nominal_voltage"}
    assert found["over"].margin == pytest.approx(-2.0 / 60.0)
    assert found["open"].missing == {"controller.absolute_max"}


def test_is_known_means_known_without_assumptions(tmp_path: Path) -> None:
    book = book_of(tmp_path, rule_text("said", "controller.absolute_max is unknown"))
    rows = {
        "firm": {"controller.absolute_max": 60.0},
        "assumed": {"controller.absolute_max": Known(60.0, True)},
        "none": {},
    }
    found = {one.case: one.verdict for one in Judge(book).judge(Cases(rows))}
    assert found == {"firm": S, "assumed": V, "none": V}


# -- counts and limits -----------------------------------------------------------------------------


def test_every_rule_on_every_case_is_counted(tmp_path: Path) -> None:
    book = book_of(
        tmp_path, rule_text("one", "battery.lithium"), rule_text("two", "use.wash == none")
    )
    rows = {f"c{number}": {} for number in range(5)}
    judgements = Judge(book).judge(Cases(rows))
    assert [(one.rule.name, one.case) for one in judgements] == [
        (rule, case) for rule in ("one", "two") for case in rows
    ]


def test_a_case_that_gets_lost_stops_the_run(tmp_path: Path) -> None:
    class Losing(Cases):
        calls = 0

        def cases(self, subject: str) -> list[str]:
            self.calls += 1
            return super().cases(subject)[: 1 if self.calls == 1 else 2]

    book = book_of(tmp_path, rule_text("one", "battery.lithium"))
    with pytest.raises(EngineError, match="1 verdicts for 2 cases"):
        Judge(book).judge(Losing({"c0": {}, "c1": {}}))


# -- the engine's envelope -------------------------------------------------------------------------


def test_more_than_sixteen_rules_on_one_row_all_fire(tmp_path: Path) -> None:
    book = book_of(tmp_path, *(rule_text(f"rule-{n}", "battery.lithium") for n in range(70)))
    judge = Judge(book)
    verdicts = [one.verdict for one in judge.judge(Cases({"c0": {"battery.lithium": True}}))]
    assert verdicts == [V] * 70


def test_wide_rules_are_split_before_the_row_gets_too_wide(tmp_path: Path) -> None:
    wide = " or ".join(f"battery.full_voltage * {number} > 60 V" for number in range(1, 25))
    book = book_of(tmp_path, *(rule_text(f"rule-{n}", wide) for n in range(16)))
    judge = Judge(book)
    found = judge.judge(Cases({"c0": {"battery.full_voltage": 2.0}}))
    assert [one.verdict for one in found] == [S] * 16


@needs_engine
def test_a_build_leaves_no_state_behind(tmp_path: Path) -> None:
    judge = Judge(book_of(tmp_path, rule_text("one", "battery.lithium")))
    assert judge._engine is not None
    judge.judge(Cases({"c0": {"battery.lithium": True}}))
    ruleset = judge._engine._host.get_ruleset("chunk0")
    with pytest.raises(Exception, match="Could not get state"):
        ruleset.get_state("judgement0")


@needs_engine
def test_an_exception_that_the_engine_swallows_stops_the_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    judge = Judge(
        book_of(tmp_path, rule_text("one", "battery.lithium"), rule_text("two", "use.wash == none"))
    )
    assert judge._engine is not None

    class Failing(list):
        def append(self, item: object) -> None:
            super().append(item)
            raise RuntimeError("no room")

    monkeypatch.setattr(judge._engine, "_fired", Failing())
    with pytest.raises(EngineError, match="no room"):
        judge.judge(Cases({"c0": {"battery.lithium": True}}))


@needs_engine
def test_any_other_exception_of_the_engine_stops_the_run(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    judge = Judge(book_of(tmp_path, rule_text("one", "battery.lithium")))
    chunk = judge._chunks[0]
    monkeypatch.setattr(type(chunk.terms), "row", lambda self, values: {"s": "case", "x": 1e-9})
    with pytest.raises(EngineError, match="the rules engine failed"):
        judge.judge(Cases({"c0": {"battery.lithium": True}}))


@needs_engine
def test_the_same_judge_judges_many_builds_alike(tmp_path: Path) -> None:
    chance = random.Random(7)
    book, _, maker = made_book(tmp_path, chance)
    judge = Judge(book)
    rows = {f"c{number}": maker.row(0.2) for number in range(4)}
    first = judge.judge(Cases(rows))
    assert all(judge.judge(Cases(rows)) == first for _ in range(5))
    assert judge.firings > 0


def test_without_the_engine_the_python_evaluator_judges_alone_and_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(engine, "durable", None)
    judge = Judge(book_of(tmp_path, rule_text("one", "battery.lithium")))
    assert judge.engine_name == (
        "Python evaluator alone: durable-rules is not available on this interpreter"
    )
    (one,) = judge.judge(Cases({"c0": {"battery.lithium": True}}))
    assert one.verdict is V
    assert judge.firings == 0


def test_the_engine_is_used_where_it_can_be_imported() -> None:
    assert (engine.durable is not None) == ("durable.engine" in sys.modules)


@needs_engine
def test_a_state_in_which_nothing_fires_is_deleted_safely(tmp_path: Path) -> None:
    """Deleting such a state as it is frees a wild pointer in the engine."""
    judge = Judge(book_of(tmp_path, rule_text("one", "battery.lithium")))
    for _ in range(300):
        (one,) = judge.judge(Cases({"c0": {}}))
        assert one.verdict is U
