"""Files written whole or not at all, and over another file only when asked."""

from __future__ import annotations

import os
import tempfile
from contextlib import suppress
from pathlib import Path

from advisor.problems import Place, Problem, ProblemsFoundError


def write_new(path: Path, content: str | bytes) -> None:
    """Write a new file, text as UTF-8: whole or not at all, whatever happens in between.

    Raises ProblemsFoundError when it exists or cannot be written.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content

    def refuse(problem: str, advice: str = "") -> ProblemsFoundError:
        return ProblemsFoundError([Problem(str(path), Place(), "", problem, advice)])

    held = None
    try:
        handle, held = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name[:100]}.")
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(held).chmod(0o666 & ~_umask())
        _into_place(held, path)
    except FileExistsError:
        raise refuse("there is already such a file", "choose another name") from None
    except FileNotFoundError:
        raise refuse("the folder does not exist", "create it first") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise refuse(f"cannot be written: {reason}") from error
    finally:
        _drop(held)


def replace_file(path: Path, content: str) -> None:
    """Write over a file, text as UTF-8: it holds either the old text or the new one, never half.

    Raises ProblemsFoundError when it cannot be written; the old text then stays.
    """
    held = None
    try:
        target = path.resolve(strict=True)
        mode = target.stat().st_mode & 0o7777
        handle, held = tempfile.mkstemp(dir=target.parent, prefix=f".{target.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(content.encode("utf-8"))
            file.flush()
            os.fsync(file.fileno())
        Path(held).chmod(mode)
        Path(held).replace(target)
    except OSError as error:
        _drop(held)
        problem = f"cannot be written: {error.strerror or error}"
        raise ProblemsFoundError([Problem(str(path), Place(), "", problem)]) from error


def _into_place(held: str, path: Path) -> None:
    """Give a finished file its name in one step, and never over another file."""
    try:
        os.link(held, path)
    except FileExistsError:
        raise
    except OSError:  # a stick without links: claim the name, then put the file over the claim
        path.touch(exist_ok=False)
        Path(held).replace(path)


def _drop(held: str | None) -> None:
    if held is not None:
        with suppress(OSError):
            Path(held).unlink()


def _umask() -> int:
    """What the system takes from the rights of new files."""
    mask = os.umask(0)
    os.umask(mask)
    return mask
