"""Steps without a reading: said to be done or not, kept in the sheet, told in guide and review."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import jsonschema
import pytest
from typer.testing import CliRunner

import advisor.commands.commissioning
import advisor.commands.handoff
import advisor.commands.recording  # noqa: F401 - puts the command into the program
from advisor.commands.handoff import reviewed
from advisor.commands.shared import app
from advisor.commissioning.guide import Standing
from advisor.handoff.model import Outcome
from advisor.problems import ProblemsFoundError
from advisor.sheet.reading import read_sheet

ROOT = Path(__file__).parents[2]
HANDOFF = ROOT / "scenarios" / "handoff"
SCHEMA = json.loads((ROOT / "docs" / "commissioning.schema.json").read_text("utf-8"))


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    shutil.copy(HANDOFF / "mailbox-drive.csv", tmp_path)
    made = tmp_path / "cart.yaml"
    shutil.copy(HANDOFF / "orchard-four-seater-handed-over.yaml", made)
    return made


def call(*words: str | Path) -> str:
    ran = CliRunner().invoke(app, [*map(str, words)], catch_exceptions=False)
    assert ran.exit_code == 0, ran.output
    return ran.output


def add(sheet: Path, lines: str) -> None:
    sheet.write_text(f"{sheet.read_text('utf-8')}\nsteps:\n{lines}", "utf-8")


def test_a_step_that_was_done_is_kept_with_who_and_why(sheet: Path) -> None:
    before = sheet.read_text("utf-8")
    call("record", sheet, "work-place", "done", "--who", "the builder", "--note", "shed emptied",
         "--time", "2026-11-12 08:00")  # fmt: skip
    assert sheet.read_text("utf-8").startswith(before.rstrip("\n"))
    (tick,) = read_sheet(sheet).steps
    assert (tick.step, tick.done, tick.who, tick.time, tick.note) == (
        "work-place", True, "the builder", "2026-11-12 08:00", "shed emptied"
    )  # fmt: skip
    text = call("commission", sheet)
    assert "[x] 1. Make the place ready" in text
    assert "Said: done, 2026-11-12 08:00, the builder, shed emptied" in text
    review = reviewed(sheet, "si", None)
    assert (review.outcome, review.conditions) == (Outcome.READY, ())


def test_a_step_that_was_not_done_is_a_condition_with_its_reason(sheet: Path) -> None:
    call("record", sheet, "work-place", "not-done", "--note", "alone that day")
    review = reviewed(sheet, "si", None)
    assert review.outcome is Outcome.CONDITIONS
    (one,) = review.conditions
    assert (one.kind, one.rule) == ("step", "work-place") and "alone that day" in one.text
    call("record", sheet, "work-place", "done")
    assert reviewed(sheet, "si", None).outcome is Outcome.READY, "the last word counts"
    assert len(read_sheet(sheet).steps) == 2, "the earlier word stays"


def test_a_tick_is_no_reading(sheet: Path) -> None:
    text = sheet.read_text("utf-8")
    lines = [one for one in text.splitlines(keepends=True) if "what: joints_rechecked" not in one]
    assert len(lines) == len(text.splitlines()) - 1
    sheet.write_text("".join(lines), "utf-8")
    add(sheet, "  - {step: joints-again, state: done}\n")
    review = reviewed(sheet, "si", None)
    step = next(one for one in review.guide.steps if one.name == "joints-again")
    assert step.standing is Standing.OPEN and step.only_ticked
    told = [one.text for one in review.conditions if one.rule == "joints-again"]
    assert told and "ticked, but its reading is missing" in told[0]


def test_a_step_that_the_guide_does_not_have_is_told(sheet: Path) -> None:
    add(sheet, "  - {step: work-plcae, state: done}\n")
    review = reviewed(sheet, "si", None)
    (lost,) = review.guide.unknown
    assert "work-plcae" in lost.text and "work-place" in lost.text
    assert [one.rule for one in review.conditions] == ["work-plcae"]
    assert "work-plcae" in call("commission", sheet)


def test_the_guide_as_data_has_what_was_said(sheet: Path) -> None:
    add(sheet, "  - {step: work-place, state: done, who: me}\n  - {step: gone, state: done}\n")
    data = json.loads(call("commission", sheet, "--format", "json"))
    jsonschema.validate(data, SCHEMA)
    first = data["phases"][0]["steps"][0]
    assert (first["standing"], first["said"][0]["who"]) == ("done", "me")
    assert len(data["unknown_steps"]) == 1
    page = call("commission", sheet, "--format", "html")
    assert "✓" in page and "Said" in page
    assert "- [x] **1. " in call("commission", sheet, "--format", "markdown")


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("{step: work-place, state: dnoe}", 'write "done"'),
        ("{step: work-place, state: not-done}", "has no `note`"),
        ("{step: work-place}", "it has no `state`"),
        ("{state: done}", "it has no `step`"),
        ("{step: work-place, state: done, when: now}", '"when" is not known here'),
        ("{step: pack-voltage@pack-x, state: done}", 'there is no part "pack-x"'),
        ("{step: Work Place, state: done}", "is no name of a step"),
        ("{step: work-place, state: done, time: noon}", "is no time"),
        ("done", "a step is keys and values"),
    ],
)
def test_bad_steps_are_told_with_their_line(sheet: Path, line: str, words: str) -> None:
    add(sheet, f"  - {line}\n")
    last = len(sheet.read_text("utf-8").splitlines())
    with pytest.raises(ProblemsFoundError) as found:
        read_sheet(sheet)
    (one,) = found.value.problems
    assert one.place.line == last and words in str(one)


def test_walking_through_asks_for_them_too(sheet: Path) -> None:
    ran = CliRunner().invoke(
        app, ["record", str(sheet), "--phase", "before"], input="yes, swept\nq\n"
    )
    assert "Saved: work-place is DONE: swept" in ran.output, ran.output
    assert "1 entry saved" in ran.output
    assert read_sheet(sheet).steps[0].note == "swept"
