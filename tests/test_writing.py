"""Files written whole or not at all."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from advisor import writing
from advisor.problems import ProblemsFoundError
from advisor.writing import replace_file, write_new


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
    monkeypatch.setattr(writing.os, "fsync", _full)
    with pytest.raises(ProblemsFoundError, match="No space left"):
        replace_file(own, "new")
    assert own.read_text() == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["own.txt"]


def test_a_missing_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFoundError, match="cannot be written"):
        replace_file(tmp_path / "none.txt", "new")


def _full(_: int) -> None:
    raise OSError(28, "No space left on device")


def test_a_new_file_is_never_written_over_another(tmp_path: Path) -> None:
    own = tmp_path / "own.txt"
    own.write_text("old")
    with pytest.raises(ProblemsFoundError, match="already such a file"):
        write_new(own, "new")
    assert own.read_text() == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["own.txt"]


def test_a_new_file_has_the_rights_of_any_other(tmp_path: Path) -> None:
    (tmp_path / "usual").touch()
    write_new(tmp_path / "own", b"new")
    assert (tmp_path / "own").stat().st_mode == (tmp_path / "usual").stat().st_mode
    assert sorted(one.name for one in tmp_path.iterdir()) == ["own", "usual"]


def test_of_a_new_file_nothing_is_left_when_the_disk_is_full(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(writing.os, "fsync", _full)
    with pytest.raises(ProblemsFoundError, match="No space left"):
        write_new(tmp_path / "own.txt", "new")
    assert list(tmp_path.iterdir()) == []


def test_a_new_file_on_a_disk_without_links(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def no_links(*_: object) -> None:
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(writing.os, "link", no_links)
    write_new(tmp_path / "own.txt", "new")
    assert (tmp_path / "own.txt").read_text() == "new"
    with pytest.raises(ProblemsFoundError, match="already such a file"):
        write_new(tmp_path / "own.txt", "newer")
    assert [one.name for one in tmp_path.iterdir()] == ["own.txt"]


@pytest.mark.parametrize(
    ("call", "left"),
    [("write_new", None), ("replace_file", "old")],
    ids=["a new file", "a replaced one"],
)
def test_killed_in_the_middle_nothing_is_half_written(
    tmp_path: Path, call: str, left: str | None
) -> None:
    """The process is killed when the text is written and not yet in place."""
    own = tmp_path / "own.txt"
    if left is not None:
        own.write_text(left)
    program = (
        "import os, sys, time; from pathlib import Path; from advisor import writing\n"
        "writing.os.fsync = lambda _: (print('now', flush=True), time.sleep(60))\n"
        f"writing.{call}(Path(sys.argv[1]), 'new' * 100000)"
    )
    running = subprocess.Popen([sys.executable, "-c", program, str(own)], stdout=subprocess.PIPE)
    assert running.stdout is not None
    assert running.stdout.readline() == b"now\n"
    os.kill(running.pid, signal.SIGKILL)
    running.wait()
    running.stdout.close()
    assert (own.read_text() if own.exists() else None) == left
