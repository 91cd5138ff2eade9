"""The type check: what is refused, where, and with which advice."""

from __future__ import annotations

import pytest

from advisor.rules.logic import truth
from advisor.rules.parser import ExpressionError, parse_condition
from advisor.rules.types import check_condition
from advisor.rules.values import Known
from advisor.vocabulary import VOCABULARY


def _check(text: str, about: tuple[str, ...] = ("controller",), **options: bool):
    return check_condition(
        parse_condition(text), lambda name: VOCABULARY.resolve(about, name), **options
    )


@pytest.mark.parametrize(
    "text",
    [
        "battery.full_voltage > controller.absolute_max",
        "battery.full_voltage * controller.battery_current_limit > 5 kW",
        "battery.full_voltage / 2 > controller.absolute_max - 3 V",
        "use.ambient_max - use.ambient_min > 40 K",
        "use.ambient_min + 5 K < 0 degC",
        "5 K + use.ambient_min < 0 degC",
        "min(battery.full_voltage, 60 V) >= max(battery.nominal_voltage, 48 V, 1 V)",
        "battery.packs_in_series == 2",
        "battery.packs_in_series in [2, 3]",
        "battery.packs_in_series * 2 + 1 != vehicle.seats",
        "use.region == eu or use.wash in [hose, pressure]",
        "battery.lithium and not use.children_present",
        "battery.lithium == true and use.children_present != battery.lithium",
        "controller.absolute_max is unknown",
        "-(battery.full_voltage) < -10 V",
        "vehicle.top_speed > 15 mph",
        "use.grade_max > 18 %",
        "battery.full_voltage / battery.nominal_voltage > 115 %",
    ],
)
def test_well_typed(text: str) -> None:
    _check(text)


@pytest.mark.parametrize(
    ("text", "at", "problem", "advice"),
    [
        ("battery.full_volt > 3 V", 0, 'a battery has no "full_volt"', "full_voltage"),
        ("batery.full_voltage > 3 V", 0, '"batery" is no subject', "battery"),
        ("pack.capacity > 3 A h", 0, "a controller has no single pack", "aggregate"),
        ("battery.full_voltage > 3 A", 21, "voltage > current", "one kind of number"),
        ("battery.full_voltage > 3", 21, "voltage > pure", "write the unit, such as V"),
        ("battery.full_voltage > 3 V/cell", 23, "a value per cell against", "number of cells"),
        ("battery.full_voltage + 3 A > 3 V", 21, "voltage + current", ""),
        ("use.ambient_min > 5 K", 16, "temperature > temperature difference", "write degC"),
        (
            "use.ambient_max - use.ambient_min > 5 degC",
            34,
            "difference > temperature",
            "write degC",
        ),
        ("use.ambient_max + use.ambient_min > 5 degC", 16, "sum of two absolute", "such as 5 K"),
        ("use.ambient_max * 2 > 5 degC", 16, "* with an absolute temperature", "difference"),
        ("-use.ambient_max > 5 degC", 0, "minus an absolute temperature", "-10 degC"),
        ("use.region == europe", 14, '"europe" is no choice of use.region', "us, eu, other"),
        ("use.region > eu", 11, "> has no meaning for a choice", "== or !="),
        ("use.region in [eu, eu]", 11, "stands twice", ""),
        ("use.region in [eu, ux]", 19, '"ux" is no choice', ""),
        ("use.region == use.wash", 14, "share no word", ""),
        ("use.region", 0, "alone is no condition", "use.region == us"),
        ("battery.full_voltage", 0, "alone is no condition", "compare it with a limit"),
        ("battery.lithium > 3", 16, "> has no meaning for a flag", ""),
        ("battery.lithium == 1", 19, "is a flag", "true, false"),
        ("battery.lithium == yes", 19, "yes is for sheets", "write battery.lithium"),
        ("battery.lithium + 1 > 2", 0, "battery.lithium is a flag", "a number is needed"),
        ("controller.name == lfp", 0, "free text, which is never compared", ""),
        ("battery.full_voltage == 58 V", 21, "need not be whole", "write < or >"),
        ("battery.packs_in_series == 1.5", 24, "need not be whole", ""),
        ("battery.packs_in_series / 2 == 1", 28, "need not be whole", ""),
        ("battery.full_voltage in [58 V]", 0, "is a quantity", "choices and counts"),
        ("true", 0, "true alone decides nothing", "compare a flag"),
        ("lfp", 0, '"lfp" is no name', "subject.attribute"),
        ("battery.full_voltage > 1e3", 23, '"1e3" is no name and no number', ""),
        ("5 V", 0, "a number is no condition", "compare"),
        ("(battery.lithium and use.children_present) > 3", 17, "a condition is no number", ""),
        ("5 V is known", 0, "is known needs one name", ""),
        ("battery.full_voltage / 0 > 3 V", 21, "division by zero", ""),
        (
            "battery.full_voltage - controller.absolute_max > 0 V",
            47,
            "compared with zero",
            "directly",
        ),
        ("max(battery.full_voltage, 3 A) > 3 V", 26, "voltage max current", ""),
        ("3 V > 2 V", 4, "no name", "compare a name"),
    ],
)
def test_refused_with_its_place(text: str, at: int, problem: str, advice: str) -> None:
    with pytest.raises(ExpressionError) as caught:
        _check(text)
    assert caught.value.at == at
    assert problem in caught.value.problem
    assert advice in caught.value.advice


@pytest.mark.parametrize("word", ["known", "unknown"])
def test_applies_refuses_tests_for_known(word: str) -> None:
    text = f"battery.lithium and controller.absolute_max is {word}"
    with pytest.raises(ExpressionError, match=f"is {word} is not allowed in applies") as caught:
        _check(text, known_tests=False)
    assert caught.value.at == text.index(" is ") + 1


def test_a_name_of_several_subjects() -> None:
    about = ("disconnect", "connector", "bus_bar")
    _check("part.current_carried > part.current_rating", about)
    with pytest.raises(ExpressionError, match='a disconnect has no "ip"'):
        _check("part.ip is known", about)


def test_two_choices_are_equal_when_they_are_the_same_word() -> None:

    tree = _check("pack.chemistry == buffer.chemistry", ("pack",))
    assert truth(tree, {"pack.chemistry": Known("lfp"), "buffer.chemistry": Known("lfp")}) is True
    assert truth(tree, {"pack.chemistry": Known("lfp"), "buffer.chemistry": Known("nmc")}) is False
    assert truth(tree, {"pack.chemistry": Known("lfp")}) is None
