"""Three-valued truth, margins, and the facts that are asked for."""

from __future__ import annotations

import math

import pytest

from advisor.rules.logic import lacking, margin, missing_facts, settled, truth, verdict
from advisor.rules.parser import parse_condition
from advisor.rules.types import check_condition
from advisor.rules.values import Known, Missing, Verdict, without_assumptions
from advisor.vocabulary import VOCABULARY

A, B, C = "battery.lithium", "use.children_present", "provisions.manual"
VALUES = (True, False, None)


def _tree(text: str):
    return check_condition(
        parse_condition(text), lambda name: VOCABULARY.resolve(("controller",), name)
    )


def _row(**values: object):
    names = {"a": A, "b": B, "c": C}
    return {names[key]: Known(value) for key, value in values.items() if value is not None}


# Strong logic of three values: S. C. Kleene, Introduction to Metamathematics (1952), section 64;
# the section from memory, the tables worked out by hand.
AND = {
    (True, True): True, (True, False): False, (True, None): None,
    (False, True): False, (False, False): False, (False, None): False,
    (None, True): None, (None, False): False, (None, None): None,
}  # fmt: skip
OR = {
    (True, True): True, (True, False): True, (True, None): True,
    (False, True): True, (False, False): False, (False, None): None,
    (None, True): True, (None, False): None, (None, None): None,
}  # fmt: skip
NOT = {True: False, False: True, None: None}


@pytest.mark.parametrize("a", VALUES)
@pytest.mark.parametrize("b", VALUES)
def test_and_or_not_follow_kleenes_tables(a: bool | None, b: bool | None) -> None:
    row = _row(a=a, b=b)
    assert truth(_tree(f"{A} and {B}"), row) is AND[a, b]
    assert truth(_tree(f"{A} or {B}"), row) is OR[a, b]
    assert truth(_tree(f"not {A}"), row) is NOT[a]


@pytest.mark.parametrize("a", VALUES)
@pytest.mark.parametrize("b", VALUES)
@pytest.mark.parametrize("c", VALUES)
def test_de_morgan_holds_with_three_values(a: object, b: object, c: object) -> None:
    row = _row(a=a, b=b, c=c)
    for left, right in (
        (f"not ({A} and {B} and {C})", f"not {A} or not {B} or not {C}"),
        (f"not ({A} or {B} or {C})", f"not {A} and not {B} and not {C}"),
        (f"{A} and ({B} or {C})", f"{A} and {B} or {A} and {C}"),
    ):
        assert truth(_tree(left), row) is truth(_tree(right), row)


def test_a_value_or_its_opposite_stays_open_when_it_is_missing() -> None:
    assert truth(_tree("battery.full_voltage > 5 V or battery.full_voltage <= 5 V"), {}) is None


@pytest.mark.parametrize(
    "text",
    [
        "battery.full_voltage / battery.packs_in_series > 3 V",
        "battery.full_voltage * battery.full_voltage > 3 V * 1 V",
        "min(battery.full_voltage, battery.nominal_voltage) > 3 V",
        "max(battery.full_voltage, battery.nominal_voltage) > 3 V",
        "-(battery.nominal_voltage) > 3 V",
    ],
)
def test_a_number_that_cannot_be_had_is_open(text: str) -> None:
    row = {"battery.full_voltage": Known(1e200), "battery.packs_in_series": Known(0.0)}
    assert truth(_tree(text), row) is None


def test_settled_makes_equal_what_is_equal_within_the_tolerance() -> None:
    assert settled(0.1 * 3, 0.3) == (0.3, 0.3)
    assert settled(60.0, math.nextafter(60.0, 61.0)) == (math.nextafter(60.0, 61.0),) * 2
    assert settled(60.0, 60.0 * (1 + 2e-9)) == (60.0, 60.0 * (1 + 2e-9))
    assert settled(0.0, 1e-300) == (0.0, 1e-300)


# -- margins: (left - right) / max(|right|, floor), by hand ---------------------------------------


@pytest.mark.parametrize(
    ("text", "row", "expected"),
    [
        ("battery.full_voltage > 60 V", {"battery.full_voltage": 66.0}, 0.1),
        ("battery.full_voltage > 60 V", {"battery.full_voltage": 57.0}, -0.05),
        ("battery.full_voltage < 60 V", {"battery.full_voltage": 57.0}, 0.05),
        ("battery.full_voltage <= 60 V", {"battery.full_voltage": 60.0}, 0.0),
        ("not battery.full_voltage > 60 V", {"battery.full_voltage": 66.0}, -0.1),
        # a temperature on a scale: difference over 10 K
        ("use.ambient_min < 0 degC", {"use.ambient_min": 268.15}, 0.5),
        ("use.ambient_min + 5 K < 0 degC", {"use.ambient_min": 263.15}, 0.5),
        # a difference of temperatures is a number like any other
        (
            "use.ambient_max - use.ambient_min > 40 K",
            {"use.ambient_max": 311.15, "use.ambient_min": 261.15},
            0.25,
        ),
        # counts have the floor 1
        ("battery.packs_in_series > 0", {"battery.packs_in_series": 3.0}, 3.0),
        # and is the least, or the greatest; flags give only a sign
        (
            "battery.full_voltage > 60 V and battery.nominal_voltage > 40 V",
            {"battery.full_voltage": 66.0, "battery.nominal_voltage": 60.0},
            0.1,
        ),
        (
            "battery.full_voltage > 60 V or battery.nominal_voltage > 40 V",
            {"battery.full_voltage": 66.0, "battery.nominal_voltage": 60.0},
            0.5,
        ),
        ("battery.full_voltage > 60 V and " + A, {"battery.full_voltage": 66.0, A: True}, 0.1),
        ("battery.full_voltage > 60 V or " + A, {"battery.full_voltage": 57.0, A: False}, -0.05),
        # a part that is not decided is left out
        ("battery.full_voltage > 60 V or " + A, {"battery.full_voltage": 66.0}, 0.1),
        (A, {A: True}, math.inf),
        (A, {A: False}, -math.inf),
        (A, {}, None),
        ("use.region == eu", {"use.region": "eu"}, math.inf),
        ("battery.packs_in_series == 2", {"battery.packs_in_series": 3.0}, -math.inf),
    ],
)
def test_margins(text: str, row: dict[str, object], expected: float | None) -> None:
    found = margin(_tree(text), {name: Known(value) for name, value in row.items()})
    assert found == (None if expected is None else pytest.approx(expected))


# -- the facts asked for --------------------------------------------------------------------------


def _missing(*facts: str) -> Missing:
    return Missing(frozenset(facts), "not stated")


@pytest.mark.parametrize(
    ("text", "row", "facts"),
    [
        # a comparison needs every missing input
        (
            "battery.full_voltage > controller.absolute_max",
            {
                "battery.full_voltage": _missing("p.a", "p.b"),
                "controller.absolute_max": _missing("c.d"),
            },
            {"p.a", "p.b", "c.d"},
        ),
        ("battery.full_voltage > 3 V", {"battery.full_voltage": _missing("p.a")}, {"p.a"}),
        # of several undecided parts the one with the fewest facts, the first of equals
        (f"{A} and {B}", {A: _missing("p.a", "p.b"), B: _missing("p.c")}, {"p.c"}),
        (f"{A} or {B}", {A: _missing("p.a"), B: _missing("p.c")}, {"p.a"}),
        # decided parts ask for nothing
        (f"{A} and {B}", {A: Known(True), B: _missing("p.c", "p.d")}, {"p.c", "p.d"}),
        (f"not ({A} or {B})", {A: Known(False), B: _missing("p.c")}, {"p.c"}),
        # a part that nobody can answer comes last
        (
            f"{A} and {B}",
            {A: Missing(reason="not fitted"), B: _missing("p.c", "p.d")},
            {"p.c", "p.d"},
        ),
        (
            f"battery.full_voltage > controller.absolute_max or {B}",
            {
                "battery.full_voltage": Missing(),
                "controller.absolute_max": _missing("c.d"),
                B: _missing("p.a", "p.b"),
            },
            {"p.a", "p.b"},
        ),
        (A, {A: Missing(reason="not fitted")}, set()),
    ],
)
def test_the_smallest_set_that_can_decide(text: str, row, facts: set[str]) -> None:
    assert lacking(_tree(text), row) == facts


def test_whether_it_applies_is_asked_first() -> None:
    row = {A: _missing("p.a"), B: _missing("p.b")}
    assert missing_facts(_tree(A), _tree(B), row) == {"p.a"}
    assert missing_facts(_tree(A), _tree(B), {A: Known(True), B: _missing("p.b")}) == {"p.b"}


@pytest.mark.parametrize("applies", VALUES)
@pytest.mark.parametrize("when", VALUES)
def test_verdicts(applies: bool | None, when: bool | None) -> None:
    expected = {
        True: {True: "violated", False: "satisfied", None: "undetermined"}[when],
        False: "not-applicable",
        None: "undetermined",
    }[applies]
    assert verdict(_tree(A), _tree(B), _row(a=applies, b=when)) == expected
    assert (
        verdict(None, _tree(B), _row(b=when))
        is {
            True: Verdict.VIOLATED,
            False: Verdict.SATISFIED,
            None: Verdict.UNDETERMINED,
        }[when]
    )


def test_assumed_values_are_taken_out_with_what_would_settle_them() -> None:
    row = {A: Known(True, True, frozenset({"p.a"})), B: Known(True)}
    assert without_assumptions(row) == {A: Missing(frozenset({"p.a"}), "assumed"), B: Known(True)}
    assert truth(_tree(f"{A} is known"), row) is False
    assert truth(_tree(f"{B} is known"), row) is True
    assert truth(_tree(f"{C} is unknown"), row) is True
