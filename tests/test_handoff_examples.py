"""Finished vehicles, handed over and refused: the review says what was argued, and no more.

One of them is judged by both evaluators, the others by the Python evaluator, for speed. The
readings are looked at too: a sheet with readings that no vehicle can give would prove nothing.
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema
import pytest
import yaml

from advisor.commissioning.building import build_guide
from advisor.commissioning.guide import Standing
from advisor.commissioning.loading import load_steps
from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.findings.screening import screen
from advisor.handoff.model import Condition, Obstacle, Outcome, Review
from advisor.handoff.review import review
from advisor.rules import load_rulesets
from advisor.sheet.build import Build, Reading
from advisor.sheet.examples import example_sheets, find_scenarios, handoff_sheets
from advisor.sheet.reading import read_sheet

BOOK = load_rulesets(examples=False)
STEPS = load_steps()
PYTHON = Judge(BOOK, use_engine=False)
SHEETS = handoff_sheets()
FOLDER = find_scenarios() / "handoff"
SCHEMA = json.loads(
    (Path(__file__).parents[1] / "docs" / "sheet.schema.json").read_text(encoding="utf-8")
)
EXPECTED: dict[str, Any] = yaml.safe_load((FOLDER / "expected.yaml").read_text(encoding="utf-8"))
BY_BOTH = "campus-ac-drive-refused"
ENDS = ("handed-over", "refused")
WAY_OF_LIFE = {"vehicle", "use", "supply", "trips", "battery", "wiring", "removed", "retained"}


@cache
def reviewed(name: str) -> Review:
    build = read_sheet(SHEETS[name])
    judge = Judge(BOOK) if name == BY_BOTH else PYTHON
    screening = screen(build, BOOK, judge, facts=surveyed(build))
    return review(screening, build_guide(screening, STEPS), BOOK)


def named(one: Obstacle | Condition | dict[str, Any]) -> tuple[str, str, str]:
    if isinstance(one, dict):
        return one["rule"], one["part"], one["kind"]
    return one.rule, one.part, one.kind


@pytest.fixture(scope="module")
def raw() -> dict[str, Any]:
    return {name: yaml.safe_load(path.read_text(encoding="utf-8")) for name, path in SHEETS.items()}


def test_every_scenario_has_one_handed_over_and_one_refused() -> None:
    wanted = {f"{name}-{end}" for name in example_sheets() for end in ENDS}
    assert set(SHEETS) == set(EXPECTED) == wanted


@pytest.mark.parametrize("name", SHEETS)
def test_the_review_says_what_was_argued(name: str) -> None:
    found, wanted = reviewed(name), EXPECTED[name]
    assert sorted(map(named, found.obstacles)) == sorted(map(named, wanted["obstacles"]))
    assert sorted(map(named, found.conditions)) == sorted(map(named, wanted["conditions"]))
    assert found.outcome == wanted["outcome"]


@pytest.mark.parametrize("name", SHEETS)
def test_the_numbers_worked_by_hand_are_printed(name: str) -> None:
    found = {
        named(one): one.text for one in (*reviewed(name).obstacles, *reviewed(name).conditions)
    }
    for one in (*EXPECTED[name]["obstacles"], *EXPECTED[name]["conditions"]):
        assert one["why"]
        for text in one.get("shows", ()):
            assert text in found[named(one)], (text, found[named(one)])


@pytest.mark.parametrize("name", SHEETS)
def test_the_end_is_the_one_in_the_name(name: str) -> None:
    handed_over = reviewed(name).outcome in (Outcome.READY, Outcome.CONDITIONS)
    assert handed_over == name.endswith("handed-over")
    assert reviewed(name).screening.stage == "handoff"


@pytest.mark.parametrize("name", [one for one in SHEETS if one.endswith("handed-over")])
def test_every_step_of_the_guide_was_done(name: str) -> None:
    taken = [one for one in reviewed(name).guide.steps if one.key is not None]
    assert [one.name for one in taken if one.standing is Standing.OPEN] == []
    assert [one.name for one in taken if one.standing is Standing.DANGEROUS] == []


# What is wrong on the bad day, by the readings: the one that shows it, and none that was read
# beside it (the air, the current of a drop, the voltage during a charge that ends too high).
BLAMED = {
    "bargain-parts-refused": {"park-holds", "stop-distance"},
    "campus-ac-drive-refused": {"run-drop@contactor-to-drive", "hottest-joint"},
    "orchard-four-seater-refused": {"opens-with-key", "past-open-contactor"},
    "seventy-two-volt-hauler-refused": {"isolation"},
    "three-facts-refused": {"charge-interlock"},
    "twin-packs-in-parallel-refused": {"set-full", "rest-charge"},
    "two-lots-in-series-refused": {"charge-end-voltage"},
}


@pytest.mark.parametrize("name", SHEETS)
def test_only_the_reading_that_shows_it_is_blamed(name: str) -> None:
    wrong = (Standing.OFF, Standing.DANGEROUS)
    found = {one.name for one in reviewed(name).guide.steps if one.standing in wrong}
    assert found == BLAMED.get(name, set())


@pytest.mark.parametrize("name", SHEETS)
def test_the_guide_stops_only_for_what_nobody_accepts(name: str) -> None:
    """Of the refused ones only the wrong fuse is a fault of the build, the others are read."""
    warning = reviewed(name).guide.warning
    assert ("Connect nothing" in warning) == (name == "winter-hauler-refused")
    assert ("the readings show" in warning) == (name in BLAMED)


@pytest.mark.parametrize("name", SHEETS)
def test_both_sources_of_a_value_agree(name: str) -> None:
    """What the sheet, the plan and the readings say of the same thing differs nowhere."""
    assert reviewed(name).screening.facts.disagreements == {}


@pytest.mark.parametrize("name", SHEETS)
def test_sheets_follow_the_schema(name: str, raw: dict[str, Any]) -> None:
    jsonschema.validate(json.loads(json.dumps(raw[name], default=str)), SCHEMA)


@pytest.mark.parametrize("name", example_sheets())
def test_the_refused_one_is_the_same_vehicle(name: str, raw: dict[str, Any]) -> None:
    good, bad = (raw[f"{name}-{end}"] for end in ENDS)
    assert {key: good.get(key) for key in WAY_OF_LIFE} == {key: bad.get(key) for key in WAY_OF_LIFE}
    parts = {kind: [one["id"] for one in of] for kind, of in good["parts"].items() if of != "none"}
    assert parts == {
        kind: [one["id"] for one in of] for kind, of in bad["parts"].items() if of != "none"
    }


def test_the_recorded_drive_is_the_one_of_the_order() -> None:
    name = "mailbox-drive.csv"
    assert (FOLDER / name).read_bytes() == (find_scenarios() / name).read_bytes()


# -- the readings ----------------------------------------------------------------------------------


def readings(build: Build, identity: str, name: str) -> tuple[Reading, ...]:
    (instance,) = [one for one in build.instances if one.id == identity]
    return instance.readings.get(name, ())


def last(build: Build, identity: str, name: str) -> float:
    value = readings(build, identity, name)[-1].value
    assert isinstance(value, float)
    return value


@pytest.mark.parametrize("name", SHEETS)
def test_every_reading_says_when_and_by_whom(name: str) -> None:
    build = reviewed(name).build
    every = [
        (what, one)
        for instance in build.instances
        for what, taken in instance.readings.items()
        for one in taken
    ]
    assert len(every) > 80
    told = {"owner_told", "documents_given"}
    assert all(one.time and one.who and (one.instrument or what in told) for what, one in every)
    for instance in build.instances:
        for taken in instance.readings.values():
            assert [one.time for one in taken] == sorted(one.time for one in taken)


@pytest.mark.parametrize("name", SHEETS)
def test_voltages_along_the_string_add_up(name: str) -> None:
    """Kirchhoff: packs in series add, packs side by side agree; the meter shows 10 mV."""
    build = reviewed(name).build
    packs = [one.id for one in build.instances if one.subject == "pack"]
    alone = [last(build, one, "resting_voltage") for one in packs]
    series = name.startswith("two-lots-in-series")
    wanted = sum(alone) if series else alone[0]
    assert readings(build, "battery", "voltage_joined")[0].value == pytest.approx(wanted, abs=0.02)
    assert series or max(alone) - min(alone) < 0.02


@pytest.mark.parametrize("name", SHEETS)
def test_full_packs_rest_where_full_cells_rest(name: str) -> None:
    """A full LFP cell rests between 3.33 and 3.40 V: from memory, for cells of any maker."""
    build = reviewed(name).build
    for one in build.instances:
        if one.subject == "pack":
            cell = last(build, one.id, "resting_voltage") / float(
                one.values["cells_in_series"].value
            )
            assert 3.33 <= cell <= 3.40


@pytest.mark.parametrize("name", SHEETS)
def test_the_sag_is_current_times_resistance(name: str) -> None:
    """Ohm: resistance from the reading, within a quarter of that of the datasheets."""
    review_ = reviewed(name)
    build, facts = review_.build, review_.screening.facts
    fall = last(build, "battery", "voltage_before_load") - last(build, "battery", "voltage_loaded")
    stated = facts.fact("battery", "internal_resistance").value
    assert fall / last(build, "battery", "current_loaded") == pytest.approx(stated, rel=0.25)


@pytest.mark.parametrize("name", [one for one in SHEETS if one != BY_BOTH])
def test_the_drops_are_those_of_copper(name: str) -> None:
    """Annealed copper, 17.241 nΩ·m at 20 °C (IEC 60028), 2 % for the lay of strands (from memory).

    A working cable is between 20 and 50 °C; two good lugs add at most 0.1 mΩ (from memory).
    """
    build = reviewed(name).build
    read = 0
    for one in build.instances:
        if one.subject == "run" and one.readings.get("drop_measured"):
            ohm = last(build, one.id, "drop_measured") / last(build, one.id, "drop_current")
            length, area = (float(one.values[key].value) for key in ("length", "gauge"))
            cold = 17.241e-9 * 1.02 * length / area
            assert cold * 0.97 <= ohm <= cold * 1.12 + 0.1e-3, one.id
            read += 1
    assert read >= 8


@pytest.mark.parametrize("name", SHEETS)
def test_the_isolation_readings_fit_two_leaks(name: str) -> None:
    """Two leaks and a meter of 10 megohm: both poles to the frame add to the battery at most, and
    a resistor across the higher one lowers it."""
    build = reviewed(name).build
    plus, minus, held = (
        last(build, "battery", what)
        for what in ("voltage_plus_frame", "voltage_minus_frame", "voltage_with_resistor")
    )
    assert plus + minus <= readings(build, "battery", "voltage_joined")[0].value + 0.02
    assert 0 < held < max(plus, minus)
