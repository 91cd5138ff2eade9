"""`advisor drive`, as a user meets it: text, files, bad input."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.test_cli_wiring import advisor

SCENARIOS = Path(__file__).parents[1] / "scenarios"
WINTER = str(SCENARIOS / "winter-hauler.yaml")
HALL = str(SCENARIOS / "two-lots-in-series.yaml")
THREE = str(SCENARIOS / "three-facts.yaml")


def test_the_trip_is_printed_with_the_place_where_it_ends() -> None:
    ran = advisor("drive", WINTER, "--units", "us")
    assert (ran.returncode, ran.stderr) == (0, "")
    out = next(one for one in ran.stdout.splitlines() if one.startswith("out of the gully"))
    assert "22 %" in out and "the drive cannot move it here" in out
    back = next(one for one in ran.stdout.splitlines() if one.startswith("ridge back"))
    assert "not reached" in back
    assert "It does not certify it." in ran.stdout


def test_files_are_written_once_and_never_over_another(tmp_path: Path) -> None:
    table, picture = tmp_path / "t.csv", tmp_path / "t.svg"
    call = ("drive", HALL, "--csv", str(table), "--chart", str(picture))
    assert advisor(*call).returncode == 0
    assert table.read_text(encoding="utf-8").startswith("trip,part,time s")
    before = picture.read_bytes()
    assert before.startswith(b"<?xml")
    again = advisor(*call)
    assert again.returncode == 2 and "there is already such a file" in again.stderr
    assert picture.read_bytes() == before


def test_bad_calls_say_what_to_write(tmp_path: Path) -> None:
    for call, words in (
        (("drive", THREE), f"{THREE}: trips: the sheet lists no trips"),
        (("drive", HALL, "--chart", str(tmp_path / "t.jpg")), "end the name in .svg or .png"),
        (
            ("drive", HALL, "--chart", str(tmp_path / "t.svg"), "--trip", "troley"),
            'write "trolleys"',
        ),
    ):
        ran = advisor(*call)
        assert ran.returncode == 2
        assert words in ran.stderr
    assert not list(tmp_path.iterdir())


def test_without_trips_screening_loads_no_numpy() -> None:
    """A parts list needs neither the simulation nor the arrays it stands on."""
    program = (
        "import sys; from advisor.cli import app\n"
        f"try: app(['screen', {THREE!r}])\n"
        "except SystemExit: pass\n"
        "assert 'numpy' not in sys.modules and 'advisor.driving' not in sys.modules"
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)
    assert ran.returncode == 0, ran.stderr
