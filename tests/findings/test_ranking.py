"""The order of findings, what is folded, and what stands under its cause."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from advisor.findings.report_model import Finding, Screening
from advisor.findings.risk import Level
from tests.findings.making import book, rule, screened, shape

CONTROLLER = """
use: {children_present: yes}
parts:
  controllers:
    - {id: drive, absolute_max: 60 V, battery_current_limit: 200 A}
"""
TWO = """
parts:
  controllers:
    - {id: drive-a, absolute_max: 60 V}
    - {id: drive-b, absolute_max: 90 V}
"""
OVER_50 = "controller.absolute_max > 50 V"
OVER_20 = "controller.absolute_max > 20 V"


def _numbers(found: Screening) -> Iterator[int]:
    for one in (*found.findings, *found.notices):
        yield one.number
        yield from (below.number for below in one.follows)


def _complete(found: Screening) -> list[Finding]:
    """Every finding there is, wherever it stands."""
    every: list[Finding] = []
    stack = [*found.findings, *found.notices]
    while stack:
        one = stack.pop()
        every.append(one)
        stack += [*one.follows, *one.milder]
    return every


def _check_whole(found: Screening) -> None:
    """Nothing violated is lost or printed twice, and the numbers have no gap."""
    every = _complete(found)
    assert len(every) == found.counts.violated
    assert len({id(one) for one in every}) == len(every)
    numbers = list(_numbers(found))
    assert numbers == list(range(1, len(numbers) + 1))
    assert [one.number for one in found.all_findings()] == numbers


# -- order -----------------------------------------------------------------------------------------


def test_the_level_comes_first(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a-low", OVER_20, risk="negligible remote"),
        rule("b-medium", OVER_20, risk="marginal remote"),
        rule("c-informs", OVER_20, more="notice: true"),
        rule("d-high", OVER_50, risk="catastrophic occasional"),
        rule("e-serious", OVER_50, risk="critical occasional"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == ["d-high", "e-serious", "b-medium", "a-low"]
    assert shape(found.notices) == ["c-informs"]
    _check_whole(found)


def test_a_margin_never_beats_a_level(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a-medium-far", "controller.absolute_max > 1 V", risk="critical remote"),
        rule("b-high-close", "controller.absolute_max > 59 V", risk="critical probable"),
    )
    assert shape(screened(CONTROLLER, rules).findings) == ["b-high-close", "a-medium-far"]


def test_within_a_level_the_gravest_harm_comes_first(tmp_path: Path) -> None:
    """Serious is catastrophic and remote, critical and occasional, or marginal and frequent."""
    rules = book(
        tmp_path,
        rule("a-marginal", "controller.absolute_max > 1 V", risk="marginal frequent"),
        rule("b-critical", "controller.absolute_max > 30 V", risk="critical occasional"),
        rule("c-catastrophic", "controller.absolute_max > 59 V", risk="catastrophic remote"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == ["c-catastrophic", "b-critical", "a-marginal"]
    assert {one.level for one in found.findings} == {Level.SERIOUS}


def test_then_what_is_furthest_past_its_limit(tmp_path: Path) -> None:
    """60 V against 59, 20 and 50 V, and 200 A against 10 A: 2 %, 200 %, 20 % and 1900 % past."""
    rules = book(
        tmp_path,
        rule("a-two", "controller.absolute_max > 59 V"),
        rule("b-two-hundred", OVER_20),
        rule("c-twenty", OVER_50),
        rule("d-more", "controller.battery_current_limit > 10 A"),
        rule("e-no-number", "use.children_present", about="use"),
    )
    found = screened(CONTROLLER, rules)
    order = ["d-more", "b-two-hundred", "c-twenty", "a-two", "e-no-number"]
    assert shape(found.findings) == order
    assert found.findings[1].judgement.margin == pytest.approx(-2.0)
    _check_whole(found)


def test_then_what_more_hangs_on(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a-alone", OVER_50),
        rule("b-with-one", OVER_50, more="concludes: controller.weak"),
        rule("c-with-two", OVER_50, more="concludes: controller.bad"),
        rule("d", "controller.weak"),
        rule("e", "controller.bad"),
        rule("f", "controller.bad"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == [
        ("c-with-two", ["e", "f"]),
        ("b-with-one", ["d"]),
        "a-alone",
    ]
    _check_whole(found)


def test_a_cause_ranks_as_high_as_the_worst_that_follows(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a-serious", OVER_50, risk="critical occasional"),
        rule("b-low", OVER_50, risk="negligible remote", more="concludes: controller.weak"),
        rule("c-high", "controller.weak", risk="catastrophic probable"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == [("b-low", ["c-high"]), "a-serious"]
    assert found.at_or_above(Level.HIGH)


# -- milder ----------------------------------------------------------------------------------------


def test_a_milder_check_is_folded_on_the_same_part_only(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("graver", "controller.absolute_max > 70 V", more="covers: [milder]"),
        rule("milder", OVER_50),
    )
    found = screened(TWO, rules)
    assert [(one.rule.name, one.about) for one in found.findings] == [
        ("graver", "drive-b"),
        ("milder", "drive-a"),
    ]
    assert [(one.rule.name, one.about) for one in found.findings[0].milder] == [
        ("milder", "drive-b")
    ]
    _check_whole(found)


def test_a_graver_check_is_never_folded(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("covers-it", OVER_50, risk="marginal remote", more="covers: [graver]"),
        rule("graver", OVER_50, risk="critical probable"),
    )
    assert shape(screened(CONTROLLER, rules).findings) == ["graver", "covers-it"]


def test_a_chain_of_covering_loses_nothing(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a", OVER_50, risk="negligible remote"),
        rule("b", OVER_50, risk="critical remote", more="covers: [a]"),
        rule("c", OVER_50, risk="critical probable", more="covers: [b]"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == ["c"]
    assert sorted(one.rule.name for one in found.findings[0].milder) == ["a", "b"]
    _check_whole(found)


def test_two_that_cover_each_other_do_not_both_vanish(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a", OVER_50, more="covers: [b]"),
        rule("b", OVER_50, more="covers: [a]"),
    )
    found = screened(CONTROLLER, rules)
    assert len(found.findings) == 1
    _check_whole(found)


ASSUMED = "battery.reserve > 10 %"
"""A reserve of 20 % is assumed where the sheet states none."""


def test_an_assumed_finding_never_hides_a_certain_one(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule(
            "assumed", ASSUMED, about="battery", risk="critical probable", more="covers: [certain]"
        ),
        rule("certain", "use.children_present", about="battery"),
    )
    found = screened(CONTROLLER, rules)
    by_name = {one.rule.name: one for one in found.findings}
    assert by_name["assumed"].judgement.on_assumption
    assert not by_name["certain"].judgement.on_assumption
    assert by_name["assumed"].milder == []


def test_a_certain_finding_hides_an_assumed_one(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("assumed", ASSUMED, about="battery"),
        rule("certain", "use.children_present", about="battery", more="covers: [assumed]"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == ["certain"]
    assert [one.rule.name for one in found.findings[0].milder] == ["assumed"]


# -- consequences ----------------------------------------------------------------------------------


@pytest.mark.parametrize("order", ["abc", "acb", "bac", "bca", "cab", "cba"])
def test_consequences_over_two_layers_stand_under_the_first_cause(
    order: str, tmp_path: Path
) -> None:
    """However the rules stand in the file, nothing is lost and the numbers have no gap."""
    texts = {
        "a": rule("a", OVER_50, more="concludes: controller.weak"),
        "b": rule("b", "controller.weak", more="concludes: vehicle.stands"),
        "c": rule("c", "vehicle.stands", about="use", risk="catastrophic probable"),
    }
    found = screened(CONTROLLER, book(tmp_path, *(texts[one] for one in order)))
    assert shape(found.findings) == [("a", ["c", "b"])]
    assert found.at_or_above(Level.HIGH)
    _check_whole(found)


def test_a_rule_that_only_concludes_is_looked_through(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a", OVER_50, more="concludes: controller.weak"),
        rule("between", "controller.weak", risk="", more="concludes: vehicle.stands"),
        rule("c", "vehicle.stands", about="use"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == [("a", ["c"])]
    _check_whole(found)


def test_a_consequence_with_two_causes_is_printed_once_under_the_worse(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("a", OVER_50, risk="marginal remote", more="concludes: vehicle.stands"),
        rule("b", OVER_20, risk="critical probable", more="concludes: vehicle.stands"),
        rule("c", "vehicle.stands", about="use"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == [("b", ["c"]), "a"]
    _check_whole(found)


def test_a_consequence_stands_under_the_cause_on_its_own_part(tmp_path: Path) -> None:
    sheet = """
parts:
  controllers:
    - {id: drive-a, absolute_max: 90 V, battery_current_limit: 300 A}
    - {id: drive-b, absolute_max: 60 V, battery_current_limit: 100 A}
"""
    rules = book(
        tmp_path,
        rule("cause", OVER_20, more="concludes: controller.weak"),
        rule("effect", "controller.weak and controller.battery_current_limit > 50 A"),
    )
    found = screened(sheet, rules)
    pairs = [(one.about, [below.about for below in one.follows]) for one in found.findings]
    assert pairs == [("drive-a", ["drive-a"]), ("drive-b", ["drive-b"])]
    _check_whole(found)


def test_a_part_without_the_cause_is_not_put_under_another_part(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("cause", "controller.absolute_max > 70 V", more="concludes: controller.weak"),
        rule("effect", "controller.weak or controller.absolute_max < 70 V"),
    )
    found = screened(TWO, rules)
    pairs = [
        (one.rule.name, one.about, [below.about for below in one.follows]) for one in found.findings
    ]
    assert sorted(pairs) == [("cause", "drive-b", ["drive-b"]), ("effect", "drive-a", [])]
    _check_whole(found)


def test_what_a_folded_check_concludes_hangs_under_the_graver(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("effect", "controller.weak"),
        rule("milder", OVER_50, risk="marginal remote", more="concludes: controller.weak"),
        rule("graver", OVER_50, risk="critical probable", more="covers: [milder]"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == [("graver", ["effect"])]
    _check_whole(found)


def test_covering_and_concluding_in_a_circle_loses_nothing(tmp_path: Path) -> None:
    """`graver` covers what causes `effect`, and reads what `effect` concludes."""
    rules = book(
        tmp_path,
        rule("milder", OVER_50, risk="marginal remote", more="concludes: controller.weak"),
        rule("effect", "controller.weak", more="concludes: controller.bad"),
        rule("graver", "controller.bad", risk="critical probable", more="covers: [milder]"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == [("graver", ["effect"])]
    _check_whole(found)


def test_a_certain_consequence_never_hangs_under_an_assumed_cause(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule(
            "assumed",
            ASSUMED,
            about="battery",
            risk="critical probable",
            more="concludes: battery.bad",
        ),
        rule("certain", "use.children_present", about="battery", more="concludes: battery.bad"),
        rule("effect", "battery.bad", about="battery"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == ["assumed", ("certain", ["effect"])]
    _check_whole(found)


def test_a_hazard_under_a_notice_is_a_finding(tmp_path: Path) -> None:
    """A notice from which a hazard follows must not hide it among what is good to know."""
    rules = book(
        tmp_path,
        rule("informs", OVER_50, more="notice: true\n    concludes: controller.weak"),
        rule("hazard", "controller.weak", risk="critical probable"),
    )
    found = screened(CONTROLLER, rules)
    assert shape(found.findings) == [("informs", ["hazard"])]
    assert found.notices == ()
    _check_whole(found)
