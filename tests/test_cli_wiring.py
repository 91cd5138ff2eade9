"""The commands about the plan of the cables, as a user meets them."""

from __future__ import annotations

import subprocess
import sys
import xml.etree.ElementTree as ElementTree
from pathlib import Path

SCENARIOS = Path(__file__).parents[1] / "scenarios"
TWIN = str(SCENARIOS / "twin-packs-in-parallel.yaml")
THREE = str(SCENARIOS / "three-facts.yaml")


def advisor(*arguments: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-m", "advisor", *arguments],
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )


def test_the_plan_is_printed_with_currents_protection_and_what_stays_fed() -> None:
    ran = advisor("wiring", TWIN)
    assert (ran.returncode, ran.stderr) == (0, "")
    lead = next(one for one in ran.stdout.splitlines() if one.startswith("pack-a-plus"))
    assert "1/0 AWG" in lead and "5 in" in lead and "fuse-a, at its end" in lead
    assert "With the disconnect open: nothing." in ran.stdout
    assert "It does not certify it." in ran.stdout


def test_a_sheet_without_a_plan_says_what_to_write() -> None:
    for command in (("wiring", THREE), ("diagram", THREE, "-o", "never.svg")):
        ran = advisor(*command)
        assert ran.returncode == 2
        assert ran.stderr.splitlines()[0] == (
            f"{THREE}: wiring: the sheet has no plan of the cables; "
            "list the cable runs there with from and to"
        )
    assert not Path("never.svg").exists()


def test_the_drawing_is_written_once_and_never_over_a_file(tmp_path: Path) -> None:
    target = tmp_path / "plan.svg"
    first = advisor("diagram", TWIN, "-o", str(target))
    assert (first.returncode, first.stderr) == (0, "")
    before = target.read_bytes()
    root = ElementTree.fromstring(before)  # own output, not a stranger's
    assert root.tag.endswith("svg")
    again = advisor("diagram", TWIN, "-o", str(target))
    assert again.returncode == 2
    assert target.read_bytes() == before


def test_screening_says_that_a_current_was_computed_from_the_plan() -> None:
    ran = advisor("screen", TWIN, "--json")
    assert "nodal analysis of the plan of the cables" in ran.stdout


def test_a_parts_list_needs_neither_the_graph_library_nor_numpy() -> None:
    code = (
        "import sys\n"
        "sys.argv = ['advisor', 'screen', sys.argv[1]]\n"
        "from advisor.cli import main\n"
        "try:\n    main()\n"
        "except SystemExit:\n    pass\n"
        "heavy = {'numpy', 'rustworkx', 'schemdraw'} & set(sys.modules)\n"
        "assert not heavy, heavy\n"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code, THREE], capture_output=True, text=True, check=False
    )
    assert (ran.returncode, ran.stderr) == (0, "")


def test_a_layout_is_written_out_with_sizes_to_fill_in(tmp_path: Path) -> None:
    sheet = tmp_path / "mine.yaml"
    sheet.write_text(
        "sheet: 1\nlayout: single-bus\nparts:\n  packs: [{id: p}]\n  controllers: [{id: c}]\n"
        "  bus_bars: [{id: bp, pole: plus}, {id: bm, pole: minus}]\n"
        "  fuses: [{id: f, role: main}]\n",
        encoding="utf-8",
    )
    filled = tmp_path / "filled.yaml"
    ran = advisor("sheet", "layout", str(sheet), "-o", str(filled))
    assert (ran.returncode, ran.stderr) == (0, "")
    text = filled.read_text(encoding="utf-8")
    assert "layout:" not in text and "from: p.plus, to: f.in" in text
    assert "gauge: unknown" in text
    assert advisor("wiring", str(filled)).returncode == 0
    ran = advisor("sheet", "layout", str(filled))
    assert (ran.returncode, ran.stderr.splitlines()[0]) == (
        2,
        f"{filled}: layout: the sheet names no layout; write layout: and its name",
    )
