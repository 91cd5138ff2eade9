"""What the commands share: the program's groups, common options, files read and written."""

from __future__ import annotations

import os
import sys
from contextlib import nullcontext, suppress
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from advisor.problems import Place, Problem, ProblemsFoundError, shown
from advisor.report.letters import coded

app = typer.Typer(
    help="Screen a lithium conversion of a low-speed electric vehicle for what will not work "
    "together. It screens on paper; it does not certify.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
sheet_app = typer.Typer(help="Start and check build sheets.", no_args_is_help=True)
rules_app = typer.Typer(help="Look at rules, check and compare them.", no_args_is_help=True)
app.add_typer(sheet_app, name="sheet", rich_help_panel=None)
app.add_typer(rules_app, name="rules", rich_help_panel=None)


class Stage(StrEnum):
    """Stages of a build."""

    ORDER = "order"
    WIRING = "wiring"
    HANDOFF = "handoff"


class Units(StrEnum):
    """Unit systems for printing."""

    SI = "si"
    US = "us"


class Format(StrEnum):
    """Forms of an explanation."""

    TEXT = "text"
    MARKDOWN = "markdown"
    JSON = "json"


class FailOn(StrEnum):
    """Risk levels, and never."""

    HIGH = "high"
    SERIOUS = "serious"
    MEDIUM = "medium"
    LOW = "low"
    NOTICE = "notice"
    NEVER = "never"


class RiskLevel(StrEnum):
    """Risk levels."""

    HIGH = "high"
    SERIOUS = "serious"
    MEDIUM = "medium"
    LOW = "low"


SheetArgument = Annotated[Path, typer.Argument(metavar="SHEET", help="Build sheet (YAML).")]
UnitsOption = Annotated[Units, typer.Option(help="Units for printing.")]
StageOption = Annotated[
    Stage | None, typer.Option(help="Judge for this stage instead of the sheet's own.")
]
OutputOption = Annotated[
    Path | None, typer.Option("--output", "-o", help="Write to this file, not over one.")
]
FormatOption = Annotated[Format, typer.Option(help="Form of the answer.")]
RulesOption = Annotated[
    Path | None,
    typer.Option(
        "--rules",
        metavar="DIR",
        help="Add the rulesets of this folder; the shipped rules stay as they are.",
    ),
]


def book_with(own: Path | None, *, examples: bool = False) -> Any:
    """The shipped rules, and those of a shop's folder; every command loads its rules here."""
    from advisor.rules import loading

    return loading.load_rulesets(examples=examples, own=own)


def facts_with_plan(build: Any) -> Any:
    """The facts of a build with its plan of the cables and its trips; None for a parts list.

    A parts list needs neither the graph library nor numpy, which take a third of a screening.
    """
    trips = any(one.subject == "trip" for one in build.instances)
    if not trips and not has_plan(build) and build.stage != "handoff":
        return None
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # threads wait for each other: 200 times
    from advisor.driving.survey import surveyed

    return surveyed(build)


def has_plan(build: Any) -> bool:
    return any(one.subject == "run" and "from" in one.values for one in build.instances)


def planned(build: Any, sheet: Path) -> Any:
    """The facts of a build with its plan; an input error where the sheet has none."""
    facts = facts_with_plan(build) if has_plan(build) else None
    if facts is None:
        advice = "list the cable runs there with from and to"
        raise refuse(str(sheet), "the sheet has no plan of the cables", advice, "wiring")
    return facts


def put(text: str, output: Path | None) -> None:
    """Print, or write to a new file; an existing one is left alone. Controls become codes."""
    if output is None:
        say(text)
    else:
        _written(coded(text), output)


def put_sheet(text: str, output: Path | None) -> None:
    """The same for a sheet: in a file every character stays; a terminal is shown codes."""
    if output is not None:
        _written(text, output)
    elif sys.stdout.isatty():
        say(text)
    else:
        _print(text)


def _written(text: str, output: Path) -> None:
    from advisor.writing import write_new

    write_new(output, text)
    say(f"written to {named(output)}\n")


def say(text: str) -> None:
    """Print; nothing in it can command a terminal or reorder what stands around it."""
    _print(coded(text))


def _print(text: str) -> None:
    """Print; a reader that has seen enough (`| head`) changes nothing of the exit code."""
    with suppress(BrokenPipeError):
        sys.stdout.write(text)
        sys.stdout.flush()


def named(path: Path) -> str:
    """A file name that cannot command a terminal."""
    name = str(path)
    return name if name.isprintable() else shown(name, len(name))


def refuse(path: str, problem: str, advice: str = "", where: str = "") -> ProblemsFoundError:
    """The error of a wrong call or option, to be raised; `where` is a place in a sheet."""
    return ProblemsFoundError([Problem(path, Place(), where, problem, advice)])


def waiting(words: str) -> Any:
    """A bar on the terminal from one second on; nothing where there is no terminal."""
    if not sys.stderr.isatty():
        return nullcontext(lambda done, total: None)
    from advisor.report.waiting import waiting as bar

    return bar(words)
