"""Conditions in words."""

from __future__ import annotations

import pytest

from advisor.rules.parser import parse_condition
from advisor.rules.types import check_condition
from advisor.rules.words import describe
from advisor.vocabulary import VOCABULARY


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (
            "battery.full_voltage > controller.absolute_max",
            "the battery's full voltage is more than the controller's absolute max",
        ),
        (
            "not (battery.full_voltage * 1.25 <= 60 V and use.region in [eu, us])",
            "the battery's full voltage times 1.25 is more than 60 V or "
            "the use's region is not eu or us",
        ),
        ("vehicle.top_speed >= 15 mph", "the vehicle's top speed is at least 24.14 km/h"),
        ("use.ambient_min < -10 degC", "the use's ambient min is less than -10 °C"),
        (
            "battery.packs_in_series == 2 and "
            "(battery.full_voltage is unknown or use.wash != none)",
            "the battery's packs in series equals 2 and "
            "(the battery's full voltage is not known or the use's wash is not none)",
        ),
        (
            "max(battery.full_voltage, 3 V + battery.nominal_voltage) < -(battery.full_voltage)",
            "the greatest of the battery's full voltage and (3 V plus the battery's nominal "
            "voltage) is less than minus the battery's full voltage",
        ),
    ],
)
def test_conditions_in_words(text: str, words: str) -> None:
    tree = check_condition(
        parse_condition(text), lambda name: VOCABULARY.resolve(("controller",), name)
    )
    assert describe(tree) == words


def test_units_of_the_reader_and_flags() -> None:
    def resolve(name: str):
        return VOCABULARY.resolve(("controller",), name)

    speed = check_condition(parse_condition("vehicle.top_speed >= 15 mph"), resolve)
    assert describe(speed, "us") == "the vehicle's top speed is at least 15 mph"
    flag = check_condition(parse_condition("not use.children_present"), resolve)
    assert describe(flag) == "“children are around it” is not true of the use"
