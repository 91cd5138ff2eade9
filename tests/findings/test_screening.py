"""A screening as a whole: nothing lost, nothing cleared by an assumption or by silence."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from advisor.engine import Judge
from advisor.facts import facts_of
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Assumed
from advisor.findings.risk import Level, level_of
from advisor.report.sentences import headline
from advisor.rules.values import Known, Missing, Verdict
from advisor.sheet.build import Build, Instance
from advisor.sheet.reading import read_sheet, read_sheet_bytes
from advisor.vocabulary import Name
from tests.findings.making import book, real_book, real_judge, rule, screened

SCENARIOS = Path(__file__).parents[2] / "scenarios"
EMPTY = "title: Nothing yet"
THREE_FACTS = """
title: Three facts
parts:
  packs: [{id: pack-1, chemistry: lfp, nominal_voltage: 51.2 V, capacity: 100 Ah}]
"""
SMALL = """
title: A small build
complete: [auxiliary]
use: {place: private-dry, ambient: -5 .. 38 degC, grade_max: 18 %}
battery: {packs_in_series: 1, packs_in_parallel: 1}
parts:
  packs:
    - {id: pack-1, chemistry: lfp, cells_in_series: 16, nominal_voltage: 51.2 V,
       full_voltage: 58.4 V, capacity: 105 Ah, discharge_continuous: 100 A}
  controllers: [{id: drive, absolute_max: 57 V, battery_current_limit: 250 A}]
  chargers: [{id: old-charger, profile: lead-flooded, set_voltage: 61 V, current_max: 15 A}]
  contactors: none
"""
SHEETS = {"empty": EMPTY, "three facts": THREE_FACTS, "small": SMALL}
STAGES = ("order", "wiring", "handoff")


# -- counts ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("name", SHEETS)
def test_counts_are_all_rules_on_all_their_cases(name: str, stage: str) -> None:
    found = screened(SHEETS[name], stage=stage)
    cases = BuildCases(found.facts)
    expected = sum(
        len(cases.cases(subject))
        for one in real_book().rules
        if one.hazard is not None
        for subject in one.about
    )
    assert found.counts.total == expected
    assert found.counts.undetermined == len(found.undecided)
    every = list(found.all_findings())
    assert found.counts.violated == len(every) + sum(len(one.milder) for one in every)


@pytest.mark.parametrize("name", SHEETS)
def test_a_later_stage_moves_checks_and_loses_none(name: str) -> None:
    order, wiring, handoff = (screened(SHEETS[name], stage=stage).counts for stage in STAGES)
    assert order.total == wiring.total == handoff.total
    assert order.violated == wiring.violated == handoff.violated
    open_checks = [one.undetermined + one.later + one.not_asked for one in (order, wiring, handoff)]
    assert len(set(open_checks)) == 1
    assert order.later >= wiring.later >= handoff.later == 0


def test_the_stage_of_the_sheet_counts_unless_another_is_asked_for() -> None:
    assert screened(EMPTY).stage == "order"
    assert screened(f"{EMPTY}\nstage: wiring").stage == "wiring"
    assert screened(f"{EMPTY}\nstage: wiring", stage="handoff").stage == "handoff"


def test_the_engine_and_the_evaluator_alone_give_the_same_screening() -> None:
    from advisor.findings.screening import screen

    build = read_sheet_bytes(f"sheet: 1\n{SMALL}".encode(), "sheet.yaml")
    both = screen(build, real_book(), Judge(real_book()))
    alone = screen(build, real_book(), real_judge())
    assert both.counts == alone.counts
    assert [(one.rule.name, one.about, one.text) for one in both.all_findings()] == [
        (one.rule.name, one.about, one.text) for one in alone.all_findings()
    ]


# -- assumptions -----------------------------------------------------------------------------------

RESERVE_TOO_HIGH = "battery.reserve > 10 %"
RESERVE_TOO_LOW = "battery.reserve < 10 %"
"""Nobody stated the reserve; 20 % is assumed."""


def test_violated_on_an_assumption_says_so_and_on_which(tmp_path: Path) -> None:
    rules = book(tmp_path, rule("a", RESERVE_TOO_HIGH, about="battery"))
    (one,) = screened(THREE_FACTS, rules).findings
    assert one.judgement.on_assumption
    assert [fact.attribute.path for fact in one.rests_on] == ["battery.reserve"]
    assert isinstance(one.rests_on[0].origin, Assumed)
    assert one.rests_on[0].origin.reason


def test_a_stated_value_takes_the_place_of_the_assumption(tmp_path: Path) -> None:
    rules = book(tmp_path, rule("a", RESERVE_TOO_HIGH, about="battery"))
    (one,) = screened(f"{THREE_FACTS}\nbattery: {{reserve: 20 %}}", rules).findings
    assert not one.judgement.on_assumption
    assert one.rests_on == ()


def test_a_finding_on_a_conclusion_lists_the_assumption_underneath(tmp_path: Path) -> None:
    rules = book(
        tmp_path,
        rule("cause", RESERVE_TOO_HIGH, about="battery", risk="", more="concludes: battery.weak"),
        rule("effect", "battery.weak", about="use"),
    )
    (one,) = screened(THREE_FACTS, rules).findings
    assert one.judgement.on_assumption
    assert [fact.attribute.path for fact in one.rests_on] == ["battery.reserve"]


@pytest.mark.parametrize(
    ("risk", "level"),
    [
        ("critical probable", Level.HIGH),
        ("critical occasional", Level.SERIOUS),
        ("critical remote", Level.MEDIUM),
        ("negligible remote", Level.LOW),
    ],
)
def test_satisfied_on_an_assumption_is_apart_and_blocks_the_handoff(
    risk: str, level: Level, tmp_path: Path
) -> None:
    rules = book(tmp_path, rule("a", RESERVE_TOO_LOW, about="battery", risk=risk))
    for stage in STAGES:
        found = screened(THREE_FACTS, rules, stage)
        assert found.counts.satisfied == 0
        assert found.counts.satisfied_on_assumption == 1
        (passed,) = found.passed
        assert passed.judgement.on_assumption
        assert [fact.attribute.path for fact in found.assumptions] == ["battery.reserve"]
        blocks = stage == "handoff" and level >= Level.SERIOUS
        assert bool(found.blocking()) == blocks
        assert found.at_or_above(Level.SERIOUS) == blocks
        assert headline(found).startswith("OPEN")


@pytest.mark.parametrize("name", SHEETS)
def test_no_check_is_cleared_by_an_assumption(name: str) -> None:
    """What counts as satisfied is satisfied with every assumption taken away."""
    found = screened(SHEETS[name])
    bare = _verdicts(found.facts.build)
    cleared = [one.judgement for one in found.passed if not one.judgement.on_assumption]
    for one in cleared:
        assert bare[one.rule.name, one.case] is Verdict.SATISFIED
    total = sum(verdict is Verdict.SATISFIED for verdict in bare.values())
    assert found.counts.satisfied == total


@pytest.mark.parametrize("name", SHEETS)
def test_every_finding_on_an_assumption_names_one(name: str) -> None:
    for one in screened(SHEETS[name]).all_findings():
        assert bool(one.rests_on) == one.judgement.on_assumption


# -- silence is never an all-clear -----------------------------------------------------------------


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("name", ["empty", "three facts"])
def test_few_facts_never_say_that_nothing_was_found(name: str, stage: str) -> None:
    found = screened(SHEETS[name], stage=stage)
    assert not headline(found).startswith("NOTHING")
    assert "not an all-clear" in headline(found)
    assert found.questions
    assert found.at_or_above(Level.HIGH), "undecided checks of high risk are due"
    assert found.counts.undetermined > found.counts.satisfied


@pytest.mark.parametrize(
    "extra", ["stage: handoff", "quiet_when_unknown: Hardly any maker states it."]
)
def test_nothing_found_is_not_said_while_a_check_is_open(extra: str, tmp_path: Path) -> None:
    text = rule("a", "controller.absolute_max > 50 V")
    text = text.replace("stage: order", extra) if "stage" in extra else text + f"    {extra}\n"
    found = screened("parts: {controllers: [{id: drive}]}", book(tmp_path, text))
    assert found.counts.undetermined == 0
    assert not headline(found).startswith("NOTHING")


def test_nothing_found_is_said_when_all_is_decided(tmp_path: Path) -> None:
    rules = book(tmp_path, rule("a", "controller.absolute_max > 50 V"))
    found = screened("parts: {controllers: [{id: drive, absolute_max: 40 V}]}", rules)
    assert headline(found).startswith("NOTHING FOUND")
    assert "safe" not in headline(found)


class _Bare(BuildCases):
    """The cases of a build without a single assumed value."""

    def value(self, case: str, name: Name) -> Known | Missing:
        found = super().value(case, name)
        if isinstance(found, Known) and found.assumed:
            return Missing(found.settles, "assumed")
        return found


def _verdicts(build: Build) -> dict[tuple[str, str], Verdict]:
    judgements = real_judge().judge(_Bare(facts_of(build)))
    return {
        (one.rule.name, one.case): one.verdict for one in judgements if one.rule.hazard is not None
    }


def _without(build: Build, owner: Instance, group: str, name: str) -> Build:
    kept = {key: value for key, value in getattr(owner, group).items() if key != name}
    return replace(
        build,
        instances=tuple(
            replace(one, **{group: kept}) if one is owner else one for one in build.instances
        ),
    )


OPEN = (Verdict.VIOLATED, Verdict.UNDETERMINED)
DESCRIBES_ANOTHER_BUILD = {"count", "packs_in_series", "packs_in_parallel"}
"""A part without `count` is one part, and the arrangement follows from the number of packs: without
these the sheet says something else, not less."""


def _unlike(build: Build) -> list[Instance]:
    """All parts, but of the cable runs one for each circuit: the others are like it."""
    seen: set[object] = set()
    found = []
    for one in build.instances:
        circuit = one.values.get("circuit")
        like = circuit.value if one.subject == "run" and circuit else None
        if like is None or like not in seen:
            found.append(one)
        seen.add(like)
    return found


def _cleared_by_silence(build: Build) -> list[str]:
    """Checks that are violated or open, and pass when one value is left out."""
    whole = _verdicts(build)
    found = []
    for owner in _unlike(build):
        for group in ("values", "settings"):
            for name in sorted(set(getattr(owner, group)) - DESCRIBES_ANOTHER_BUILD):
                less = _verdicts(_without(build, owner, group, name))
                found += [
                    f"{key[0]} on {key[1]} without {owner.id}.{name}: {verdict}, then {less[key]}"
                    for key, verdict in whole.items()
                    if verdict in OPEN and less.get(key, verdict) not in OPEN
                ]
    return found


@pytest.mark.parametrize(
    "name", ["orchard-four-seater", "seventy-two-volt-hauler", "campus-ac-drive", "winter-hauler"]
)
def test_a_value_left_out_clears_nothing(name: str) -> None:
    """Fewer facts never make fewer violated and open checks; more never reopen a passed one."""
    assert _cleared_by_silence(read_sheet(SCENARIOS / f"{name}.yaml")) == []


def test_a_value_left_out_of_a_small_sheet_clears_nothing() -> None:
    build = read_sheet_bytes(f"sheet: 1\n{SMALL}".encode(), "sheet.yaml")
    assert _cleared_by_silence(build) == []


LARGEST_OF_SEVERAL = {
    "outlet": """
supply: {voltage: 120 V, circuit_rating: 20 A, receptacle_rating: 15 A}
parts:
  chargers: [{id: big, ac_current: 14 A}]
""",
    "buffer": """
parts:
  converters: [{id: conv, output_voltage: 13 V}]
  buffers: [{id: buf, charge_voltage_max: 16 V}]
  loads: [{id: lamp, kind: headlamp, bus: 12v, voltage_min: 10 V, voltage_max: 15 V}]
""",
    "charger": """
parts:
  packs: [{id: pack-1, full_voltage: 58.4 V}]
  chargers: [{id: wall, set_voltage: 70 V, tolerance: 1 %, equalise: no,
              temperature_compensation: 0 mV/cell/K}]
  fuses: [{id: fuse-1, role: main, dc_voltage: 60 V}]
battery: {packs_in_series: 1, packs_in_parallel: 1}
""",
}


@pytest.mark.parametrize("name", LARGEST_OF_SEVERAL)
def test_a_larger_value_left_out_clears_nothing(name: str) -> None:
    """The largest of several counts; the one left out may be the one that is too much."""
    build = read_sheet_bytes(f"sheet: 1\n{LARGEST_OF_SEVERAL[name]}".encode(), "sheet.yaml")
    assert _cleared_by_silence(build) == []


# -- rulesets named by the sheet -------------------------------------------------------------------


def test_a_pin_that_is_not_met_is_said() -> None:
    versions = {one.name: one.version for one in real_book().rulesets}
    (name, version), *_ = versions.items()
    assert screened(f"{EMPTY}\nrulesets: {{{name}: {version}}}").pins == ()
    (said,) = screened(f"{EMPTY}\nrulesets: {{{name}: 99.0.0}}").pins
    assert name in said
    assert "99.0.0" in said
    assert version in said


def test_levels_of_findings_are_those_of_their_rules() -> None:
    for one in screened(SMALL).all_findings():
        assert one.level is level_of(one.rule)
        assert "{" not in one.text
