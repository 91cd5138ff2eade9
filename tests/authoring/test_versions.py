"""Rules of a folder and of a version in git; names that are neither never reach a shell."""

from __future__ import annotations

import io
import subprocess
import tarfile
from pathlib import Path

import pytest

from advisor.authoring import versions
from advisor.authoring.versions import read_version
from advisor.problems import ProblemsFoundError
from tests.rules.making import HEADER, rule_text


def _git(folder: Path, *arguments: str) -> None:
    who = ["-c", "user.name=A. Tester", "-c", "user.email=tester@invalid.example"]
    subprocess.run(["git", "-C", str(folder), *who, *arguments], check=True, capture_output=True)


@pytest.fixture
def repository(tmp_path: Path) -> Path:
    """A repository with two versions; the second is a tag."""
    (tmp_path / "rulesets").mkdir()
    file = tmp_path / "rulesets" / "made.yaml"
    _git(tmp_path, "init", "-q", "-b", "main")
    for number, when in ((1, "battery.lithium"), (2, "battery.full_voltage > 60 V")):
        file.write_text(HEADER.format(name="made") + rule_text("made", when))
        _git(tmp_path, "add", "-A")
        _git(tmp_path, "commit", "-q", "-m", f"number {number}")
    _git(tmp_path, "tag", "v2")
    return tmp_path


def test_folders_and_versions(repository: Path) -> None:
    assert read_version(str(repository / "rulesets")).rules[0].when_text == (
        "battery.full_voltage > 60 V"
    )
    for name, text in (("v2", "battery.full_voltage > 60 V"), ("HEAD~1", "battery.lithium")):
        assert read_version(name, repository).rules[0].when_text == text


def test_a_version_in_which_the_rules_are_broken(repository: Path) -> None:
    file = repository / "rulesets" / "made.yaml"
    file.write_text(HEADER.format(name="made") + rule_text("made", "battery.lithum"))
    _git(repository, "commit", "-q", "-a", "-m", "broken")
    with pytest.raises(ProblemsFoundError, match=r"HEAD:rulesets/made\.yaml:14:11"):
        read_version("HEAD", repository)


@pytest.mark.parametrize(
    "name",
    [
        "-x", "--output=/tmp/x", "--exec=true", "-", "", " ", "a b", "a;true", "$(true)", "`true`",
        "a\nb", "a|b", "HEAD:rulesets", "@", "..", "x" * 300,
    ],
)  # fmt: skip
def test_what_is_no_name_never_reaches_git(
    name: str, repository: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def never(*_: object, **__: object) -> None:
        raise AssertionError("git was called")

    monkeypatch.setattr(versions.subprocess, "run", never)
    monkeypatch.chdir(repository / "rulesets")
    if name == "..":
        (repository / "made.yaml").write_text("")  # a folder, but no rulesets
    with pytest.raises(ProblemsFoundError):
        read_version(name, repository)


def test_an_unknown_version_and_no_repository(repository: Path, tmp_path_factory) -> None:
    for name, where in (("v3", repository), ("v2", tmp_path_factory.mktemp("bare"))):
        with pytest.raises(ProblemsFoundError, match="git does not find it"):
            read_version(name, where)


def test_without_git(repository: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PATH", "")
    with pytest.raises(ProblemsFoundError, match="git is not installed"):
        read_version("v2", repository)


def test_an_archive_leaves_nothing_outside_its_folder(tmp_path: Path) -> None:
    """Links, paths that climb, other and deeper folders are left in the archive."""
    data = io.BytesIO()
    with tarfile.open(fileobj=data, mode="w") as archive:
        for name in (
            "rulesets/good.yaml", "rulesets/../../evil.yaml", "/rulesets/evil.yaml",
            "rulesets/regional/good.yaml", "rulesets/too/deep/evil.yaml", "other/evil.yaml",
            "rulesets/evil.sh", "rulesets/../evil.yaml", "rulesets/.hidden/evil.yaml",
        ):  # fmt: skip
            member = tarfile.TarInfo(name)
            member.size = 2
            archive.addfile(member, io.BytesIO(b"x\n"))
        link = tarfile.TarInfo("rulesets/link.yaml")
        link.type, link.linkname = tarfile.SYMTYPE, "/etc/passwd"
        archive.addfile(link)
    inside = tmp_path / "inside"
    inside.mkdir()
    versions._unpack(data.getvalue(), inside)
    assert sorted(one.relative_to(tmp_path) for one in tmp_path.rglob("*") if one.is_file()) == [
        Path("inside/good.yaml"),
        Path("inside/regional/good.yaml"),
    ]
