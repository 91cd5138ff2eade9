"""The program: its commands, and how it starts and ends.

Exit codes: 0 nothing at or above the chosen risk; 1 findings at or above it; 2 the sheet, a ruleset
or the call is wrong; 3 internal error. A command's modules are imported when it is chosen.
"""

from __future__ import annotations

import gc
import os
import sys
from contextlib import suppress
from io import TextIOWrapper
from pathlib import Path
from typing import Annotated

import typer

from advisor import __version__
from advisor.commands import (
    circuit,
    commissioning,
    comparing,
    explaining,
    fixing,
    handoff,
    recording,
    road,
    ruleset,
    screening,
    sheets,
)
from advisor.commands.shared import app
from advisor.problems import ProblemsFoundError

__all__ = [
    "app",
    "circuit",
    "commissioning",
    "comparing",
    "explaining",
    "fixing",
    "handoff",
    "main",
    "recording",
    "road",
    "ruleset",
    "run",
    "screening",
    "sheets",
]

_ORDER = (
    *("screen", "explain", "fix", "apply", "compare", "wiring", "diagram", "drive"),
    *("commission", "record", "handoff", "verify"),
)
app.registered_commands.sort(key=lambda one: _ORDER.index(getattr(one.callback, "__name__", "")))


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"advisor {__version__}")
        raise typer.Exit


@app.callback()
def _main(
    version: Annotated[
        bool,
        typer.Option(
            "--version", help="Print the version and stop.", callback=_version, is_eager=True
        ),
    ] = False,
) -> None:
    """Options of the program itself."""


def main() -> None:
    """Run the program; turns every expected failure into a message and an exit code.

    The garbage collector is off: a run is short, keeps what it makes, and ends.
    """
    gc.disable()
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")  # looking for them takes 30 ms
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, TextIOWrapper):  # a terminal without ° gets \\xb0, not an error
            stream.reconfigure(errors="backslashreplace")
    try:
        _leave_written()
    except ProblemsFoundError as error:
        for problem in error.problems:
            sys.stderr.write(f"{problem}\n")
        number = len(error.problems)
        sys.stderr.write(f"{number} problem{'s' if number != 1 else ''}\n")
        raise SystemExit(2) from None
    except BrokenPipeError:
        sys.stderr.close()
        raise SystemExit(0) from None
    except OSError as error:
        sys.stderr.write(f"the output cannot be written: {error.strerror or error}\n")
        raise SystemExit(2) from None
    except Exception as error:
        sys.stderr.write(_internal(error))
        raise SystemExit(3) from None


def _leave_written() -> None:
    """Run the command; what it printed has arrived, or an error says that it has not."""
    try:
        app(standalone_mode=True)
    except SystemExit:
        with suppress(BrokenPipeError):
            sys.stdout.flush()
        raise


def _internal(error: Exception) -> str:
    import traceback

    where = traceback.extract_tb(error.__traceback__)[-1]
    return (
        f"internal error: {type(error).__name__}: {error}\n"
        f"at {Path(where.filename).name}:{where.lineno}; nothing was judged. "
        "Please report it with the sheet.\n"
    )


def run() -> None:
    """The program as a process: `main`, then out at once, without freeing what it made."""
    code = 0
    try:
        main()
    except SystemExit as leaving:
        code = leaving.code if isinstance(leaving.code, int) else 1
    with suppress(OSError, ValueError):
        sys.stdout.flush()
    with suppress(OSError, ValueError):
        sys.stderr.flush()
    os._exit(code)


if __name__ == "__main__":
    run()
