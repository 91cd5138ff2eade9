"""Files written whole or not at all."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor import writing
from advisor.problems import ProblemsFoundError
from advisor.writing import replace_file


def test_a_replaced_file_keeps_its_rights_and_leaves_no_rest(tmp_path: Path) -> None:
    own = tmp_path / "own.txt"
    own.write_text("old")
    own.chmod(0o600)
    replace_file(own, "new\n")
    assert own.read_text() == "new\n"
    assert own.stat().st_mode & 0o777 == 0o600
    assert [one.name for one in tmp_path.iterdir()] == ["own.txt"]


def test_through_a_link_the_file_itself_is_replaced(tmp_path: Path) -> None:
    own, link = tmp_path / "own.txt", tmp_path / "link.txt"
    own.write_text("old")
    link.symlink_to(own)
    replace_file(link, "new")
    assert link.is_symlink() and own.read_text() == "new"


def test_when_the_disk_is_full_the_old_text_stays(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    own = tmp_path / "own.txt"
    own.write_text("old")

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(writing.os, "fsync", full)
    with pytest.raises(ProblemsFoundError, match="No space left"):
        replace_file(own, "new")
    assert own.read_text() == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["own.txt"]


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFoundError, match="cannot be written"):
        replace_file(tmp_path / "none.txt", "new")
