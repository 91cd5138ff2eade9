"""Risk levels and signal words against MIL-STD-882E and ANSI Z535.4."""

from __future__ import annotations

import math
from dataclasses import replace
from pathlib import Path

import pytest

from advisor.findings.risk import (
    INJURES_WHEN_GRAVE,
    LEVELS,
    PROPERTY_ONLY,
    Level,
    level_of,
    matrix,
    signal_word,
)
from advisor.rules.rule import HAZARD_KINDS, PROBABILITIES, SEVERITIES, Hazard
from tests.rules.making import book_of, rule_text

H, S, M, L = Level.HIGH, Level.SERIOUS, Level.MEDIUM, Level.LOW

# MIL-STD-882E (2012, change 1 2023), Table III, without the row "eliminated":
# catastrophic (1), critical (2), marginal (3), negligible (4)
TABLE_III = {
    "frequent": (H, H, S, M),  # A
    "probable": (H, H, S, M),  # B
    "occasional": (H, S, M, L),  # C
    "remote": (S, M, M, L),  # D
    "improbable": (M, M, M, L),  # E; one public copy prints low for 3E, the others medium
}
COLUMNS = ("catastrophic", "critical", "marginal", "negligible")
HURTING = [kind for kind in HAZARD_KINDS if kind not in PROPERTY_ONLY | INJURES_WHEN_GRAVE]


@pytest.mark.parametrize(
    ("severity", "probability", "level"),
    [
        (severity, probability, levels[number])
        for probability, levels in TABLE_III.items()
        for number, severity in enumerate(COLUMNS)
    ],
)
def test_every_cell_of_table_iii(severity: str, probability: str, level: Level) -> None:
    assert matrix(severity, probability) is level


def test_the_table_has_every_word_a_rule_may_use() -> None:
    assert set(PROBABILITIES) == set(TABLE_III)
    assert set(SEVERITIES) == set(COLUMNS)


@pytest.mark.parametrize("severity", COLUMNS)
def test_less_likely_is_never_a_higher_risk(severity: str) -> None:
    levels = [matrix(severity, probability) for probability in TABLE_III]
    assert levels == sorted(levels, reverse=True)


@pytest.mark.parametrize("probability", TABLE_III)
def test_less_severe_is_never_a_higher_risk(probability: str) -> None:
    levels = [matrix(severity, probability) for severity in COLUMNS]
    assert levels == sorted(levels, reverse=True)


@pytest.mark.parametrize(
    ("severity", "probability"),
    [("critical", "never"), ("deadly", "remote"), ("", ""), ("remote", "critical")],
)
def test_other_words_are_refused(severity: str, probability: str) -> None:
    with pytest.raises((ValueError, KeyError)):
        matrix(severity, probability)


def test_levels_are_ordered_and_named() -> None:
    assert sorted(LEVELS, key=LEVELS.__getitem__) == ["notice", "low", "medium", "serious", "high"]
    assert math.prod(LEVELS[level.word] is level for level in Level) == 1


# ANSI Z535.4-2007, as quoted by a label maker: DANGER will, WARNING could result in death or
# serious injury, CAUTION could result in minor or moderate injury, NOTICE is not related to injury.
# DANGER is to be kept for the most extreme situations.
@pytest.mark.parametrize("kind", HURTING)
@pytest.mark.parametrize(
    ("severity", "level", "word"),
    [
        ("catastrophic", H, "DANGER"),
        ("catastrophic", S, "WARNING"),
        ("catastrophic", M, "WARNING"),
        ("critical", H, "WARNING"),
        ("critical", S, "WARNING"),
        ("critical", M, "WARNING"),
        ("marginal", S, "CAUTION"),
        ("marginal", M, "CAUTION"),
        ("negligible", M, "CAUTION"),
        ("negligible", L, "CAUTION"),
    ],
)
def test_signal_words_where_people_are_hurt(
    kind: str, severity: str, level: Level, word: str
) -> None:
    assert signal_word(Hazard(kind, severity, "remote"), level) == word


@pytest.mark.parametrize("kind", ["damage", "cost", "nuisance"])
@pytest.mark.parametrize("severity", COLUMNS)
@pytest.mark.parametrize("level", list(Level))
def test_property_alone_gives_notice(kind: str, severity: str, level: Level) -> None:
    assert signal_word(Hazard(kind, severity, "remote"), level) == "NOTICE"


@pytest.mark.parametrize(
    ("severity", "word"),
    [
        ("catastrophic", "WARNING"),
        ("critical", "WARNING"),
        ("marginal", "NOTICE"),
        ("negligible", "NOTICE"),
    ],
)
def test_a_vehicle_that_stands_is_no_injury_unless_rated_so(severity: str, word: str) -> None:
    """MIL-STD-882E Table I (from memory): critical could end in permanent partial disability."""
    assert signal_word(Hazard("loss-of-drive", severity, "occasional"), Level.SERIOUS) == word


@pytest.mark.parametrize("kind", HAZARD_KINDS)
def test_a_rule_that_only_informs_is_a_notice_whatever_its_kind(kind: str, tmp_path: Path) -> None:
    book = book_of(
        tmp_path, rule_text("informs", "controller.absolute_max < 60 V", more="notice: true")
    )
    (rule,) = book.rules
    rule = replace(rule, hazard=Hazard(kind, "catastrophic", "frequent"))
    assert level_of(rule) is Level.NOTICE
    assert signal_word(rule.hazard, level_of(rule)) == "NOTICE"


def test_level_of_a_rule_is_the_cell_of_its_hazard(tmp_path: Path) -> None:
    (rule,) = book_of(tmp_path, rule_text("checks", "controller.absolute_max < 60 V")).rules
    for severity in COLUMNS:
        for probability, levels in TABLE_III.items():
            found = level_of(replace(rule, hazard=Hazard("fire", severity, probability)))
            assert found is levels[COLUMNS.index(severity)]


def test_a_rule_without_hazard_is_at_most_a_notice(tmp_path: Path) -> None:
    (rule,) = book_of(tmp_path, rule_text("checks", "controller.absolute_max < 60 V")).rules
    assert level_of(replace(rule, hazard=None)) is Level.NOTICE
    assert signal_word(None, Level.HIGH) == "NOTICE"
