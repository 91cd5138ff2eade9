"""Two parts together: which checks touch both, and the plain answer."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import jsonschema
import pytest

from advisor.explain.between import Between, between
from advisor.explain.naming import part_named
from advisor.problems import ProblemsFoundError
from tests.explain.test_explaining import explainer

SCHEMA = jsonschema.Draft202012Validator(
    json.loads((Path(__file__).parents[2] / "docs" / "explanation.schema.json").read_text("utf-8"))
)
SCENARIOS = Path(__file__).parents[2] / "scenarios"


def asked(sheet: str, first: str, second: str) -> Between:
    found = explainer(sheet)
    return between(found.facts, found.everything, first, second)


def test_a_charger_that_overcharges_a_pack_is_refused_with_the_checks() -> None:
    """68.4 V of the charger against 58.4 V of the pack: worked in the expected findings."""
    found = asked("bargain-parts", "box-48", "old-charger")
    names = {one.rule.name for one in found.violated}
    assert {"charger-nobody-stops", "charger-set-above-cells"} <= names
    assert found.answer.startswith("Not as they are")


def test_a_clean_pair_is_right_by_checks_that_read_both() -> None:
    found = asked("orchard-four-seater", "pack-a", "charger-a")
    assert not found.violated
    names = {one.rule.name for one in found.satisfied}
    assert {"charger-set-above-cells", "charger-current-too-high"} <= names
    assert "tyre" not in " ".join(names)


def test_parts_that_have_nothing_to_do_with_each_other() -> None:
    found = asked("orchard-four-seater", "horn", "motor-a")
    assert not (found.violated or found.undetermined)


def test_the_order_of_the_two_does_not_matter() -> None:
    one, other = (
        asked("winter-hauler", "twin-left", "conv-12"),
        asked("winter-hauler", "conv-12", "twin-left"),
    )
    assert (one.violated, one.satisfied) == (other.violated, other.satisfied)


def test_an_open_check_leaves_the_answer_open() -> None:
    """The voltage at which the old charger starts is not known: nobody can tell if it wakes."""
    found = asked("bargain-parts", "box-48", "old-charger")
    assert {one.rule.name for one in found.undetermined} == {"charger-cannot-wake-battery"}
    without = replace(found, violated=())
    assert without.answer == "Nobody can tell yet: 1 check is still open."
    nothing = replace(without, undetermined=(), assumed=(), satisfied=())
    assert nothing.answer == "No check reads values of both of them."


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--between", "box-4", "old-charger"), 'write "box-48"'),
        (("--between", "box-48", "box-48"), "name two parts"),
        (("--clear", "charger-nobody-stops"), "is violated, not satisfied"),
        (("--clear", "charger-nobody-stop"), 'write "charger-nobody-stops"'),
        (("1", "--value", "battery.full_voltage"), "give one of"),
    ],
)
def test_bad_calls_are_told_what_to_write(options: tuple[str, ...], words: str) -> None:
    sheet = str(SCENARIOS / "bargain-parts.yaml")
    call = [sys.executable, "-m", "advisor", "explain", sheet, *options]
    ran = subprocess.run(call, capture_output=True, text=True, check=False, timeout=120)
    assert ran.returncode == 2
    assert words in ran.stderr and "Traceback" not in ran.stderr


@pytest.mark.parametrize("form", ["text", "markdown", "json"])
def test_between_and_clear_in_every_form(form: str) -> None:
    sheet = str(SCENARIOS / "orchard-four-seater.yaml")
    start = [sys.executable, "-m", "advisor", "explain", sheet, "--format", form]
    for options in (("--between", "pack-a", "charger-a"), ("--clear", "charger-above-pack-label")):
        ran = subprocess.run(
            [*start, *options], capture_output=True, text=True, check=False, timeout=120
        )
        assert (ran.returncode, ran.stderr) == (0, "")
        if form == "json":
            data = json.loads(ran.stdout)
            SCHEMA.validate(data)
            assert "answer" in data or data["sensitivity"]["values"][0]["down"]["becomes"]


def test_an_unknown_part_is_refused() -> None:
    with pytest.raises(ProblemsFoundError, match="there is no part"):
        part_named(explainer("orchard-four-seater").facts, "nothing-like-it")


@pytest.mark.parametrize("options", [("1",), ("--value", "battery.full_voltage")])
def test_the_schema_takes_every_form_and_refuses_more(options: tuple[str, ...]) -> None:
    sheet = str(SCENARIOS / "winter-hauler.yaml")
    call = [sys.executable, "-m", "advisor", "explain", sheet, *options, "--format", "json"]
    ran = subprocess.run(call, capture_output=True, text=True, check=False, timeout=120)
    data = json.loads(ran.stdout)
    SCHEMA.validate(data)
    assert not SCHEMA.is_valid(data | {"extra": 1})
