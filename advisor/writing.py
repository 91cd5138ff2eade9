"""Files written whole or not at all, and never over another file."""

from __future__ import annotations

import os
from pathlib import Path

from advisor.problems import Place, Problem, ProblemsFoundError


def write_new(path: Path, content: str | bytes) -> None:
    """Write a new file, text as UTF-8.

    Raises ProblemsFoundError when it exists or cannot be written.
    """
    data = content.encode("utf-8") if isinstance(content, str) else content

    def refuse(problem: str, advice: str = "") -> ProblemsFoundError:
        return ProblemsFoundError([Problem(str(path), Place(), "", problem, advice)])

    try:
        with path.open("xb") as file:
            try:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            except OSError:
                path.unlink(missing_ok=True)
                raise
    except FileExistsError:
        raise refuse("there is already such a file", "choose another name") from None
    except FileNotFoundError:
        raise refuse("the folder does not exist", "create it first") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise refuse(f"cannot be written: {reason}") from error
