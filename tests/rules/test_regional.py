"""The regional rulesets: limits against the published ones, notices only, told once."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.rules import load_rulesets
from advisor.rules.loading import find_rulesets
from advisor.rules.rule import Rule

BOOK = load_rulesets(examples=False)
REGIONAL = [rule for one in BOOK.rulesets if one.family == "regional" for rule in one.rules]

# A rule and a limit as its condition writes it. Read in reproductions where nothing is said.
PUBLISHED = [
    # ANSI/ILTVA Z130.1: a golf car stays below 15 mph; Z135: a personal transport vehicle below 20.
    ("faster-than-a-golf-car", "vehicle.top_speed >= 15 mph"),
    ("faster-than-a-golf-car", "vehicle.top_speed <= 20 mph"),
    # 63 FR 33194: carts that cannot exceed 20 mph are left to the states.
    # 49 CFR 571.3(b): above 20 mph and up to 25 mph is a low-speed vehicle.
    ("state-decides-on-carts-on-the-road", "vehicle.top_speed <= 20 mph"),
    ("faster-than-twenty-miles-an-hour", "vehicle.top_speed > 20 mph"),
    ("low-speed-vehicle-lacks-equipment", "vehicle.top_speed > 20 mph"),
    ("faster-than-a-low-speed-vehicle", "vehicle.top_speed > 25 mph"),
    # Regulation (EU) 168/2013 Annex I: L6e 2 seats, 425 kg, 45 km/h.
    ("heavier-or-faster-than-light-quadricycles", "vehicle.seats > 2"),
    ("heavier-or-faster-than-light-quadricycles", "vehicle.mass_empty > 425 kg"),
    ("heavier-or-faster-than-light-quadricycles", "vehicle.top_speed > 45 km/h"),
    # Directive 2014/35/EU Article 1: 75 to 1500 V direct current (from memory).
    ("parts-above-75-volts", "battery.full_voltage > 75 V"),
]


def test_the_folder_is_read() -> None:
    files = {one.name for one in (find_rulesets() / "regional").glob("*.yaml")}
    assert files == {"united-states.yaml", "european-union.yaml", "general.yaml"}
    assert {Path(rule.file).name for rule in REGIONAL} == files


@pytest.mark.parametrize(("name", "limit"), PUBLISHED)
def test_limits_are_the_published_ones(name: str, limit: str) -> None:
    rule = BOOK.rule(name)
    assert rule is not None
    assert limit in rule.when_text


@pytest.mark.parametrize("rule", REGIONAL, ids=[rule.name for rule in REGIONAL])
def test_they_inform_and_never_decide(rule: Rule) -> None:
    assert rule.notice
    assert not rule.concludes
    assert rule.consult != "none"
    assert rule.hazard is not None
    assert rule.hazard.severity == "negligible"
    assert set(rule.covers) <= {one.name for one in REGIONAL}


def test_only_one_rule_asks_for_the_region() -> None:
    assert [rule.name for rule in REGIONAL if not rule.quiet_when_unknown] == [
        "ask-which-rules-hold-here"
    ]


def test_regions_keep_to_themselves() -> None:
    for rule in REGIONAL:
        if rule.ruleset == "united-states":
            assert rule.applies_text.startswith("use.region == us")
        elif rule.ruleset == "european-union":
            assert rule.applies_text.startswith("use.region == eu")
