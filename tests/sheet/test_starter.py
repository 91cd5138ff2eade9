"""The starter sheet reads well as it is and with every example line taken into use."""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest

from advisor.problems import ProblemsFoundError
from advisor.sheet.reading import read_sheet, read_sheet_bytes
from advisor.sheet.starter import STARTER, write_starter

_EXAMPLE = re.compile(r"^( *)# ( *)(?=(?:- )?[\[{]?[a-z_]+:(?: |$)|- \{)")


def test_it_reads_well_as_it_is(tmp_path: Path) -> None:
    path = tmp_path / "cart.yaml"
    write_starter(path)
    build = read_sheet(path)
    assert [one.id for one in build.instances if one.subject == "pack"] == ["pack-1"]
    assert path.read_text(encoding="utf-8") == STARTER


def test_every_example_line_reads_well_when_taken_into_use() -> None:
    lines = [_EXAMPLE.sub(r"\1\2", line) for line in STARTER.splitlines()]
    text = "\n".join(lines)
    build = read_sheet_bytes(text.encode(), "used.yaml")
    subjects = {one.subject for one in build.instances}
    assert {"motor", "controller", "contactor", "fuse", "charger", "converter"} <= subjects
    pack = next(one for one in build.instances if one.id == "pack-1")
    assert "capacity" in pack.values and "resting_voltage" in pack.readings
    assert not [line for line in lines if re.match(r" *# *[a-z_]+: [0-9]", line)]


def test_it_never_overwrites(tmp_path: Path) -> None:
    path = tmp_path / "cart.yaml"
    path.write_text("mine", encoding="utf-8")
    with pytest.raises(ProblemsFoundError, match="already such a file; choose another name"):
        write_starter(path)
    assert path.read_text(encoding="utf-8") == "mine"


def test_it_does_not_follow_a_link_that_leads_nowhere(tmp_path: Path) -> None:
    (tmp_path / "link.yaml").symlink_to(tmp_path / "elsewhere.yaml")
    with pytest.raises(ProblemsFoundError):
        write_starter(tmp_path / "link.yaml")
    assert not (tmp_path / "elsewhere.yaml").exists()


def test_a_missing_folder_a_folder_and_a_closed_folder(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFoundError, match="folder does not exist; create it first"):
        write_starter(tmp_path / "nowhere" / "cart.yaml")
    with pytest.raises(ProblemsFoundError):
        write_starter(tmp_path)
    if os.geteuid() != 0:
        closed = tmp_path / "closed"
        closed.mkdir(mode=0o500)
        with pytest.raises(ProblemsFoundError, match="cannot be written"):
            write_starter(closed / "cart.yaml")
