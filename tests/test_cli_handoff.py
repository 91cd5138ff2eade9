"""The commands `handoff` and `verify` as processes: forms, files, bad calls, exit codes."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import jsonschema
import pytest

ROOT = Path(__file__).parents[1]
ORCHARD = ROOT / "scenarios" / "orchard-four-seater.yaml"
SCHEMA = json.loads((ROOT / "docs" / "handoff.schema.json").read_text("utf-8"))


def advisor(*words: str | Path) -> subprocess.CompletedProcess[str]:
    call = [sys.executable, "-m", "advisor", *map(str, words)]
    return subprocess.run(call, capture_output=True, text=True, check=False, timeout=300)


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A record of the orchard cart; it is not ready, and the record is written all the same."""
    path = tmp_path_factory.mktemp("record") / "record.html"
    ran = advisor("handoff", ORCHARD, "--html", path)
    assert (ran.returncode, ran.stderr) == (1, "")
    assert "NOT READY" in ran.stdout and f"written to {path}" in ran.stdout
    return path


def test_the_review_as_data() -> None:
    ran = advisor("handoff", ORCHARD, "--json")
    data = json.loads(ran.stdout)
    jsonschema.validate(data, SCHEMA)
    assert (ran.returncode, data["outcome"]) == (1, "not ready")
    crimps = [one["part"] for one in data["obstacles"] if one["rule"] == "joint-not-crimped"]
    assert len(crimps) == 14 + 4, "battery, charge and converter cables, and those of the motor"


def test_the_same_sheet_verifies(record: Path) -> None:
    ran = advisor("verify", record, ORCHARD)
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "SAME" in ran.stdout


def test_another_value_is_a_difference(record: Path, tmp_path: Path) -> None:
    """A fuse of 32 V in a 58 V battery: the check is named, and that the sheet was changed."""
    text = ORCHARD.read_text("utf-8").replace("dc_voltage: 160 V", "dc_voltage: 32 V")
    sheet = tmp_path / ORCHARD.name
    sheet.write_text(text, "utf-8")
    (tmp_path / "mailbox-drive.csv").write_bytes(
        (ORCHARD.parent / "mailbox-drive.csv").read_bytes()
    )
    ran = advisor("verify", record, sheet, "--json")
    data = json.loads(ran.stdout)
    jsonschema.validate(data, SCHEMA)
    assert (ran.returncode, data["same"]) == (1, False)
    assert "The sheet was" in data["inputs"][0]
    changed = {(one["rule"], one["part"]): (one["then"], one["now"]) for one in data["verdicts"]}
    key = ("device-far-below-voltage", "main-fuse")
    assert changed[key] == ("satisfied", "violated")


def test_a_remark_alone_is_the_same_and_said(record: Path, tmp_path: Path) -> None:
    sheet = tmp_path / ORCHARD.name
    sheet.write_text(ORCHARD.read_text("utf-8") + "# looked at again\n", "utf-8")
    (tmp_path / "mailbox-drive.csv").write_bytes(
        (ORCHARD.parent / "mailbox-drive.csv").read_bytes()
    )
    ran = advisor("verify", record, sheet)
    assert ran.returncode == 0
    assert "SAME" in ran.stdout and "its text was changed" in ran.stdout


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"<p>nothing</p>", "no evidence"),
        (b"\xff\xfe", "is not text"),
        (b"", "no evidence"),
    ],
)
def test_what_is_no_record_is_refused(tmp_path: Path, content: bytes, words: str) -> None:
    path = tmp_path / "record.html"
    path.write_bytes(content)
    ran = advisor("verify", path, ORCHARD)
    assert (ran.returncode, ran.stdout) == (2, "")
    assert words in ran.stderr and str(path) in ran.stderr


def test_a_record_that_is_not_there(tmp_path: Path) -> None:
    ran = advisor("verify", tmp_path / "none.html", ORCHARD)
    assert ran.returncode == 2 and "cannot be read" in ran.stderr


def test_nothing_is_written_over_another_file(tmp_path: Path) -> None:
    own = tmp_path / "own.html"
    own.write_text("old")
    ran = advisor("handoff", ORCHARD, "--html", own, "--pdf", tmp_path / "new.pdf")
    assert ran.returncode == 2 and "already such a file" in ran.stderr
    assert own.read_text() == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["own.html"]


def test_a_folder_that_is_not_there_and_one_name_for_two(tmp_path: Path) -> None:
    ran = advisor("handoff", ORCHARD, "--html", tmp_path / "none" / "a.html")
    assert ran.returncode == 2 and "the folder does not exist" in ran.stderr
    both = tmp_path / "a.html"
    ran = advisor("handoff", ORCHARD, "--html", both, "--labels", both)
    assert ran.returncode == 2 and "name two files" in ran.stderr
    assert list(tmp_path.iterdir()) == []


def test_earlier_findings_as_data_and_bad_earlier_sheets(tmp_path: Path) -> None:
    now = ROOT / "scenarios" / "handoff" / "winter-hauler-handed-over.yaml"
    ran = advisor("handoff", now, "--earlier", ROOT / "scenarios" / "winter-hauler.yaml", "--json")
    data = json.loads(ran.stdout)
    jsonschema.validate(data, SCHEMA)
    assert ran.returncode == 0
    (brakes,) = (one for one in data["closed"] if one["rule"] == "rolls-back-on-the-grade")
    assert [(one["then"], one["now"]) for one in brakes["changes"]] == [("no", "yes")]
    bad = tmp_path / "bad.yaml"
    bad.write_text("sheet: 1\nvehicle: {seats: many}\n", encoding="utf-8")
    for other, words in ((tmp_path / "none.yaml", "no such file"), (bad, "bad.yaml:2:")):
        out = tmp_path / "record.html"
        ran = advisor("handoff", now, "--earlier", other, "--html", out)
        assert ran.returncode == 2 and words in ran.stderr and not out.exists()
