"""Controls of direction and joined emoji in every free text of a sheet, over every command.

What reorders text stands in no output as it is: Unicode Standard Annex 9 lists the controls. JSON
has them escaped; a sheet that is written keeps every character.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.report.record.hostile import BIDI, ODD, hostile_sheet

ROOT = Path(__file__).parents[1]
CALLS: dict[str, tuple[str, ...]] = {
    "screen": ("screen", "SHEET"),
    "screen as data": ("screen", "SHEET", "--json"),
    "explain": ("explain", "SHEET", "1"),
    "explain in Markdown": ("explain", "SHEET", "1", "--format", "markdown"),
    "two parts": ("explain", "SHEET", "--between", "pack-a", "shed-charger"),
    "fix": ("fix", "SHEET"),
    "compare": ("compare", "SHEET", "OTHER"),
    "compare as CSV": ("compare", "SHEET", "OTHER", "--format", "csv"),
    "compare in Markdown": ("compare", "SHEET", "OTHER", "--format", "markdown"),
    "wiring": ("wiring", "SHEET"),
    "sizes": ("wiring", "SHEET", "--size"),
    "drive": ("drive", "SHEET"),
    "guide": ("commission", "SHEET"),
    "guide as data": ("commission", "SHEET", "--format", "json"),
    "guide as a page": ("commission", "SHEET", "--format", "html"),
    "guide in Markdown": ("commission", "SHEET", "--format", "markdown"),
    "review": ("handoff", "SHEET"),
    "review as data": ("handoff", "SHEET", "--json"),
}


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    names = {"SHEET": "odd.yaml", "OTHER": "other.yaml"}
    call = [sys.executable, "-m", "advisor", *(names.get(one, one) for one in words)]
    return subprocess.run(
        call, capture_output=True, encoding="utf-8", check=False, timeout=300, cwd=folder
    )


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("odd")
    (made / "odd.yaml").write_text(hostile_sheet(ODD), encoding="utf-8")
    shutil.copy(ROOT / "scenarios" / "twin-packs-in-parallel.yaml", made / "other.yaml")
    return made


@pytest.mark.parametrize("call", CALLS.values(), ids=CALLS)
def test_nothing_that_reorders_is_printed(folder: Path, call: tuple[str, ...]) -> None:
    ran = run(folder, *call)
    assert ran.returncode in (0, 1), ran.stderr
    assert not set(ran.stdout) & set(BIDI)
    coded = ("U+202E" in ran.stdout) or ("\\u202e" in ran.stdout)
    assert coded or "kcap" not in ran.stdout
    if "--json" in call or "json" in call:
        json.loads(ran.stdout)


def test_nothing_that_reorders_is_drawn(folder: Path) -> None:
    ran = run(folder, "diagram", "SHEET", "-o", "odd.svg")
    assert ran.returncode == 0, ran.stderr
    drawn = (folder / "odd.svg").read_text(encoding="utf-8")
    assert "U+202E" in drawn and not set(drawn) & set(BIDI)


def test_what_is_written_into_a_sheet_stays_as_it_was(folder: Path) -> None:
    sheet = folder / "kept.yaml"
    shutil.copy(folder / "odd.yaml", sheet)
    before = sheet.read_text(encoding="utf-8")
    who = "R\u202eL \U0001f469\u200d\U0001f527"
    ran = run(folder, "record", "kept.yaml", "pack-rest@pack-a", "12 h", "--who", who)
    assert ran.returncode == 0, ran.stderr
    assert not set(ran.stdout) & set(BIDI)
    after = sheet.read_text(encoding="utf-8")
    assert all(line in after for line in before.splitlines())
    again = run(folder, "commission", "kept.yaml", "--format", "json")
    assert json.dumps(who)[1:-1] in again.stdout
