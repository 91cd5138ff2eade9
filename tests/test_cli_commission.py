"""The commands `commission` and `record` as processes: forms, files, bad calls."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from shutil import copyfile

import pytest

ROOT = Path(__file__).parents[1]
SMALL = (
    "sheet: 1\nparts:\n  packs:\n    - {id: pack-a, chemistry: lfp, cells_in_series: 16}  # one\n"
)


def advisor(*words: str | Path, given: str = "") -> subprocess.CompletedProcess[str]:
    call = [sys.executable, "-m", "advisor", *map(str, words)]
    return subprocess.run(
        call, capture_output=True, text=True, check=False, timeout=120, input=given
    )


@pytest.fixture
def sheet(tmp_path: Path) -> Path:
    path = tmp_path / "sheet.yaml"
    path.write_text(SMALL)
    return path


def test_the_guide_in_every_form(sheet: Path) -> None:
    starts = ("COMMISSIONING:", "# Commissioning:", "<!DOCTYPE html>", "{")
    for form, start in zip(("text", "markdown", "html", "json"), starts, strict=True):
        ran = advisor("commission", sheet, "--format", form)
        assert (ran.returncode, ran.stderr) == (0, "")
        assert ran.stdout.startswith(start) and "pack-voltage" in ran.stdout


def test_one_phase_and_only_open_steps(sheet: Path) -> None:
    ran = advisor("commission", sheet, "--phase", "battery", "--format", "json")
    assert [one["phase"] for one in json.loads(ran.stdout)["phases"]] == ["battery in"]
    assert advisor("record", sheet, "pack-look", "no").returncode == 0
    data = json.loads(advisor("commission", sheet, "--open", "--format", "json").stdout)
    names = [one["name"] for phase in data["phases"] for one in phase["steps"]]
    assert "pack-polarity" in names and "pack-look" not in names and "work-place" not in names


def test_a_file_is_written_once(sheet: Path, tmp_path: Path) -> None:
    page = tmp_path / "guide.html"
    assert advisor("commission", sheet, "--format", "html", "-o", page).returncode == 0
    before = page.read_bytes()
    again = advisor("commission", sheet, "--format", "html", "-o", page)
    assert again.returncode == 2 and "already such a file" in again.stderr
    assert page.read_bytes() == before
    lost = advisor("commission", sheet, "-o", tmp_path / "no" / "guide.txt")
    assert lost.returncode == 2 and "does not exist" in lost.stderr


def test_without_the_template_engine_only_the_page_is_missing(sheet: Path, tmp_path: Path) -> None:
    (tmp_path / "jinja2.py").write_text("raise ModuleNotFoundError('no', name='jinja2')")
    call = [sys.executable, "-m", "advisor", "commission", str(sheet), "--format"]
    path = os.pathsep.join([str(tmp_path), str(ROOT)])
    for form, code in (("html", 2), ("markdown", 0)):
        ran = subprocess.run(
            [*call, form], capture_output=True, text=True, check=False,
            env={**os.environ, "PYTHONPATH": path},
        )  # fmt: skip
        assert ran.returncode == code, ran.stderr
        assert ("conversion-advisor[report]" in ran.stderr) == (code == 2)


def test_a_reading_is_kept_and_judged(sheet: Path) -> None:
    ran = advisor(
        "record", sheet, "pack-voltage", "53.1 V", "--who", "A. Builder",
        "--instrument", "meter: 3 # blue", "--time", "2026-03-02 14:10",
    )  # fmt: skip
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "read 53.1 V; expected" in ran.stdout and "PLAUSIBLE" in ran.stdout
    text = sheet.read_text()
    assert text.startswith(SMALL) and '"meter: 3 # blue"' in text and "2026-03-02 14:10" in text
    again = advisor("record", sheet, "pack-voltage@pack-a", "30 V")
    assert again.returncode in (0, 1) and "1 earlier of this step" in again.stdout
    assert sheet.read_text().startswith(text)


def test_a_dangerous_reading_is_kept_and_ends_with_1(sheet: Path) -> None:
    ran = advisor("record", sheet, "pack-look", "yes")
    assert ran.returncode == 1 and "DANGEROUS" in ran.stdout and "Stop" in ran.stdout
    assert "value: yes" in sheet.read_text()


def test_a_reading_that_makes_another_one_dangerous_ends_with_1(tmp_path: Path) -> None:
    """Ohm: 0.3 V at 1000 A are 0.3 milliohm, at 200 A 1.5; 3 ft of 2/0 AWG have 0.25.

    At 200 A that is 60 W, of which the cable explains 10 W and two good lugs 8 W; above 15 W more
    a joint burns (common practice, no source).
    """
    for name in ("orchard-four-seater.yaml", "mailbox-drive.csv"):
        copyfile(ROOT / "scenarios" / name, tmp_path / name)
    sheet = tmp_path / "orchard-four-seater.yaml"
    assert advisor("record", sheet, "run-current@fuse-to-switch", "1000 A").returncode == 0
    assert advisor("record", sheet, "run-drop@fuse-to-switch", "0.3 V").returncode == 0
    ran = advisor("record", sheet, "run-current@fuse-to-switch", "200 A")
    assert ran.returncode == 1
    assert "Also: run-drop@fuse-to-switch: 0.3 V is DANGEROUS" in ran.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("pack-volage", "53 V"), "did you mean pack-voltage"),
        (("work-place", "yes"), "has nothing to read"),
        (("pack-voltage",), "VALUE: is missing"),
        (("pack-voltage", "53"), 'has no unit; write 53 V'),
        (("pack-voltage", "53 A"), "is a current, not a voltage"),
        (("pack-voltage", "530 V"), "cannot be: the full battery has"),
        (("pack-voltage", "unknown"), "is no reading"),
        (("pack-voltage", "53.1 V", "--time", "noon"), "is no time"),
        (("pack-voltage", "53.1 V", "--who", "x" * 501), "501 characters"),
        (("pack-voltage", "53.1 V", "--who", "\x07evil"), "U+0007"),
        (("pack-look", "maybe"), "is not yes or no"),
        (("pack-charge", "120 %"), "too high"),
        (("pack-rest", "-2 h"), "too low"),
        (("pack-rest", "2 h", "--whoo", "A"), "nexpected extra argument"),
        (("pack-look", "no", "--phase", "battery"), "goes without STEP"),
    ],
)  # fmt: skip
def test_nonsense_is_refused_and_nothing_written(
    sheet: Path, words: tuple[str, ...], said: str
) -> None:
    ran = advisor("record", sheet, *words)
    assert ran.returncode == 2 and said in ran.stderr, ran.stderr
    assert all(c.isprintable() or c == "\n" for c in ran.stderr)
    assert sheet.read_text() == SMALL


def test_a_step_that_is_there_for_several_parts_asks_which(tmp_path: Path) -> None:
    own = tmp_path / "sheet.yaml"
    own.write_text(SMALL + "    - {id: pack-b, chemistry: lfp, cells_in_series: 16}\n")
    ran = advisor("record", own, "pack-look", "no")
    assert ran.returncode == 2 and "write one of: pack-look@pack-a, pack-look@pack-b" in ran.stderr
    assert advisor("record", own, "pack-look@pack-b", "no").returncode == 0


def test_asking_reads_from_a_pipe_and_stops_at_its_end(sheet: Path) -> None:
    ran = advisor("record", sheet, given="\nno\n\nyes\n")
    assert (ran.returncode, ran.stderr) == (0, "")
    assert "2 entries saved" in ran.stdout
    ran = advisor("record", sheet, "--phase", "after", given="q\n")
    assert "After the drive" in ran.stdout and "Before any connection" not in ran.stdout


def test_a_sheet_that_cannot_be_written_says_so(sheet: Path) -> None:
    lost = advisor("record", sheet.with_name("none.yaml"), "pack-look", "no")
    assert lost.returncode == 2 and "none.yaml" in lost.stderr


def test_a_bad_sheet_stays_as_it_is(sheet: Path) -> None:
    half = SMALL[:-20]
    sheet.write_text(half)
    ran = advisor("record", sheet, "pack-look", "no")
    assert ran.returncode == 2 and sheet.read_text() == half
