"""Steps from files: every mistake with its place, all at once, and the shipped ones as a whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.commissioning.guide import Phase
from advisor.commissioning.loading import find_steps, load_steps
from advisor.problems import ProblemsFoundError
from advisor.rules.loading import find_rulesets, load_rulesets
from advisor.vocabulary import VOCABULARY, measured
from advisor.vocabulary.attribute import Attribute
from tests.commissioning.making import steps

CAUTIONS = "eyes: {short: eyes, text: Wear glasses.}\n"
GOOD = """\
phase: battery in
steps:
  - step: pack-voltage
    about: pack
    applies: pack.cells_in_series > 3
    title: Measure {pack}
    do: From {plus} to {minus}; full it has {pack.full_voltage}.
    instrument: meter
    reading: pack.resting_voltage
    expect: {low: pack.empty_voltage, high: 1.01 * pack.full_voltage, because: The cells.}
    wrong:
      - {reading: low, means: Empty.}
    cautions: [eyes]
    sources: ["common practice, no source"]
"""


def loaded(tmp_path: Path, text: str, cautions: str = CAUTIONS) -> list[str]:
    """What is said about a file of steps, without its name."""
    (tmp_path / "steps.yaml").write_text(text, encoding="utf-8")
    (tmp_path / "cautions.yaml").write_text(cautions, encoding="utf-8")
    try:
        load_steps(tmp_path)
    except ProblemsFoundError as error:
        return [str(one).removeprefix(f"{tmp_path}/") for one in error.problems]
    return []


def test_a_good_file_has_no_problem(tmp_path: Path) -> None:
    assert loaded(tmp_path, GOOD) == []


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        (
            "phase: battery in",
            "phase: batery in",
            'steps.yaml:1:8: phase: "batery in" is not known; write "battery in"',
        ),
        (
            "about: pack",
            "about: pak",
            'steps.yaml:4:12: pack-voltage.about: "pak" is no subject; write "pack"',
        ),
        (
            "pack.cells_in_series > 3",
            "pack.cells_in_serie > 3",
            "steps.yaml:5:14: pack-voltage.applies: a pack has no",
        ),
        (
            "pack.cells_in_series > 3",
            "pack.capacity is known",
            "steps.yaml:5:28: pack-voltage.applies:",
        ),
        (
            "{pack}",
            "{pak}",
            'steps.yaml:6:12: pack-voltage.title: {pak} is no name and no part; write "pack"',
        ),
        (
            "{plus}",
            "{plu}",
            'steps.yaml:7:9: pack-voltage.do: {plu} is no name and no part; write "plus"',
        ),
        ("    instrument: meter\n", "", "steps.yaml:3:5: pack-voltage.instrument: is missing"),
        (
            "pack.resting_voltage",
            "pack.rested_voltage",
            "steps.yaml:9:14: pack-voltage.reading: a pack has no",
        ),
        (
            "reading: pack.resting_voltage",
            "reading: battery.sag_voltage",
            "steps.yaml:9:14: pack-voltage.reading: battery.sag_voltage is computed, not read",
        ),
        (
            "low: pack.empty_voltage",
            "low: pack.capacity",
            "steps.yaml:10:19: pack-voltage.expect.low: this is a charge",
        ),
        (
            "low: pack.empty_voltage",
            "low: pack.empty_voltge",
            "steps.yaml:10:19: pack-voltage.expect.low: a pack has no",
        ),
        (
            "low: pack.empty_voltage, high: 1.01 * pack.full_voltage",
            "word: yes",
            "steps.yaml:10:20: pack-voltage.expect.word: pack.resting_voltage is a number",
        ),
        (
            "low: pack.empty_voltage, high: 1.01 * pack.full_voltage, ",
            "",
            "steps.yaml:10:13: pack-voltage.expect: a band or a word is wanted",
        ),
        (
            "reading: pack.resting_voltage\n    expect: {low: pack.empty_voltage, "
            "high: 1.01 * pack.full_voltage",
            "reading: pack.damaged\n    expect: {low: 2 V",
            "steps.yaml:10:19: pack-voltage.expect.low: pack.damaged is no number",
        ),
        (
            "means: Empty.",
            "mean: Empty.",
            'steps.yaml:12:24: pack-voltage.wrong[1].mean: is no key here; write "means"',
        ),
        (
            "[eyes]",
            "[eye]",
            'steps.yaml:13:16: pack-voltage.cautions: "eye" is no caution; write "eyes"',
        ),
        (
            '["common practice, no source"]',
            "[hearsay]",
            'steps.yaml:14:15: pack-voltage.sources[1]: "hearsay" names no source',
        ),
        ("sources:", "source:", "steps.yaml:14:5: pack-voltage.source: is no key here"),
        (
            "step: pack-voltage",
            "step: Pack Voltage",
            'steps.yaml:3:11: steps[1].step: "Pack Voltage" is no name',
        ),
    ],
)  # fmt: skip
def test_a_mistake_is_told_with_its_place(tmp_path: Path, old: str, new: str, said: str) -> None:
    assert old in GOOD
    problems = loaded(tmp_path, GOOD.replace(old, new))
    assert any(one.startswith(said) for one in problems), problems
    assert len(problems) == 1, problems


def test_all_problems_come_at_once_and_names_are_used_once(tmp_path: Path) -> None:
    text = GOOD + GOOD.partition("steps:\n")[2].replace("full_voltage", "ful_voltage")
    problems = loaded(tmp_path, text)
    assert len(problems) == 2 and "ful_voltage" in problems[0] and "ful_voltage" in problems[1]
    problems = loaded(tmp_path, GOOD + GOOD.partition("steps:\n")[2])
    assert problems == [
        "steps.yaml:15:5: pack-voltage: this name is used in steps.yaml:3; "
        "names are unique over all phases"
    ]


def test_a_caution_may_hold_for_some_vehicles_only(tmp_path: Path) -> None:
    only = "eyes: {short: eyes, text: Wear glasses., applies: motor.type == series-dc}\n"
    assert loaded(tmp_path, GOOD, only) == []
    (problem,) = loaded(tmp_path, GOOD, only.replace("series-dc", "serie-dc"))
    assert problem.startswith('cautions.yaml:1:65: eyes.applies: "serie-dc" is no choice')


def test_an_empty_folder_is_told(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFoundError, match="no steps in it"):
        load_steps(tmp_path)


def test_the_shipped_steps_are_in_the_order_of_the_work() -> None:
    order = list(Phase)
    numbers = [order.index(one.phase) for one in steps().steps]
    assert numbers == sorted(numbers) and set(numbers) == set(range(len(order)))


def test_steps_are_no_rulesets() -> None:
    """The folder of the steps lies in that of the rulesets and is not read as one of them."""
    assert find_steps().parent == find_rulesets()
    assert not {"cautions", "steps"} & {one.name for one in load_rulesets(examples=False).rulesets}


def test_every_reading_of_the_vocabulary_has_its_step() -> None:
    """What a person can read on the vehicle is asked for by some step."""
    groups = [one for name, one in vars(measured).items() if name.isupper() and len(name) > 1]
    given = {
        (attribute.name, attribute.meaning)
        for group in groups
        if isinstance(group, tuple)
        for attribute in group
        if isinstance(attribute, Attribute) and attribute.given
    }
    assert len(given) > 50
    read = {
        (one.reading.attribute.name, one.reading.attribute.meaning)
        for one in steps().steps
        if one.reading is not None
    }
    assert given - read == set()


def test_two_steps_for_one_reading_exclude_each_other() -> None:
    """Only the turning of the wheels has two steps: one for a series motor, one for the others."""
    found: dict[str, list[str]] = {}
    for one in steps().steps:
        if one.reading is not None:
            found.setdefault(one.reading.attribute.path, []).append(one.name)
    assert {key: names for key, names in found.items() if len(names) > 1} == {
        "controller.turns_right_way": ["turns-right", "turns-right-series"]
    }


def test_every_caution_is_used_and_every_step_names_a_source() -> None:
    used = {word for one in steps().steps for word in one.cautions}
    assert used == set(steps().cautions)
    assert all(one.source for one in steps().steps)


def test_expected_names_are_of_the_vocabulary() -> None:
    """Every band that the facts compute for a reading is the band of its step."""
    bands = {path for path in VOCABULARY.attributes if "_expected_m" in path}
    named = set()
    for one in steps().steps:
        if one.expected is not None and one.reading is not None:
            text = f"{one.expected.low} {one.expected.high}"
            named |= {path for path in bands if f"'{path}'" in text}
    assert bands - named <= {"battery.bonding_expected_max"}  # judged from two readings together
