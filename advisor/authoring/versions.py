"""Rules as they were: from a folder, or from a version that git keeps.

Git is called with fixed arguments and no shell. A name that could be an option is refused before
it reaches git, and only the plain files of the folder `rulesets` and of the folders in it are taken
from what it gives.
"""

from __future__ import annotations

import re
import subprocess
import tarfile
from dataclasses import replace
from io import BytesIO
from pathlib import Path
from tempfile import TemporaryDirectory

from advisor.problems import Place, Problem, ProblemsFoundError, shown
from advisor.rules.loading import is_folder, load_rulesets
from advisor.rules.rule import RuleBook
from advisor.yaml_text import MAX_BYTES

FOLDER = "rulesets"
_SECONDS = 60
_VERSION = re.compile(r"[A-Za-z0-9][A-Za-z0-9._/@~^{}-]{0,199}")
_MEMBER = re.compile(r"rulesets/((?:[a-z0-9][a-z0-9-]*/)?[a-z0-9][a-z0-9-]*\.yaml)")


def read_version(text: str, where: Path | None = None) -> RuleBook:
    """The rules of a folder, else of a version in the git repository around `where`.

    Raises ProblemsFoundError: no such folder or version, or rules that cannot be read.
    """
    if text and is_folder(Path(text)):
        return load_rulesets(Path(text), examples=False)
    if not _VERSION.fullmatch(text):
        raise _refuse(text, "is no folder and no name of a version", "name a folder, or a git tag")
    at = where or Path.cwd()
    commit = _git(text, at, "rev-parse", "--verify", "--quiet", f"{text}^{{commit}}")
    top = Path(_git(text, at, "rev-parse", "--show-toplevel").decode().strip())
    data = _git(text, top, "archive", "--format=tar", commit.decode().strip(), FOLDER)
    with TemporaryDirectory() as made:
        _unpack(data, Path(made))
        try:
            return load_rulesets(Path(made), examples=False)
        except ProblemsFoundError as error:
            raise ProblemsFoundError(
                replace(one, file=one.file.replace(made, f"{text}:{FOLDER}"))
                for one in error.problems
            ) from error


def _git(text: str, where: Path, *arguments: str) -> bytes:
    """What git answers. Raises ProblemsFoundError when it does not know the version."""
    try:
        ran = subprocess.run(
            ["git", "-C", str(where), *arguments],
            capture_output=True,
            stdin=subprocess.DEVNULL,
            timeout=_SECONDS,
            check=False,
        )
    except FileNotFoundError:
        raise _refuse(text, "is no folder, and git is not installed", "name a folder") from None
    except subprocess.TimeoutExpired:
        raise _refuse(text, "git does not answer", "name a folder") from None
    if ran.returncode != 0:
        advice = "name a folder, or a tag, branch or commit that holds rulesets/"
        raise _refuse(text, "is no folder, and git does not find it here", advice)
    return ran.stdout


def _unpack(data: bytes, folder: Path) -> None:
    """The rulesets of an archive as plain files; links, deeper folders and huge files are left."""
    with tarfile.open(fileobj=BytesIO(data)) as archive:
        for member in archive:
            name = _MEMBER.fullmatch(member.name)
            if not member.isfile() or name is None or member.size > MAX_BYTES:
                continue
            read = archive.extractfile(member)
            if read is not None:
                target = folder / name[1]
                target.parent.mkdir(exist_ok=True)
                target.write_bytes(read.read())


def _refuse(text: str, problem: str, advice: str) -> ProblemsFoundError:
    return ProblemsFoundError([Problem("rules diff", Place(), shown(text), problem, advice)])
