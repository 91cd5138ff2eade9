"""`advisor compare`: sheets, or the choices of one sheet, side by side."""

from __future__ import annotations

import json
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from advisor.commands.shared import (
    OutputOption,
    RulesOption,
    StageOption,
    Units,
    UnitsOption,
    app,
    book_with,
    facts_with_plan,
    put,
    refuse,
    waiting,
)


class Table(StrEnum):
    """Forms of a comparison."""

    TEXT = "text"
    MARKDOWN = "markdown"
    CSV = "csv"
    JSON = "json"


@app.command()
def compare(
    sheets: Annotated[
        list[Path],
        typer.Argument(metavar="SHEET...", help="Two sheets or more, or one with `choices:`."),
    ],
    format: Annotated[Table, typer.Option(help="Form of the answer.")] = Table.TEXT,
    units: UnitsOption = Units.SI,
    stage: StageOption = None,
    width: Annotated[int, typer.Option(min=60, max=400, help="Columns of the text.")] = 110,
    output: OutputOption = None,
    rules: RulesOption = None,
) -> None:
    """Put builds side by side: verdicts, findings that differ, open questions, figures, parts.

    Exit code: 0 compared, 2 a sheet or the call is wrong, 3 internal error.
    """
    from advisor.engine import Judge
    from advisor.findings.comparing import compare as compared
    from advisor.findings.screening import screen
    from advisor.report import comparing
    from advisor.report.provenance import basis_data, with_basis

    builds = _builds(sheets)
    book = book_with(rules)
    judge = Judge(book)
    due = stage.value if stage else None
    screenings = []
    with waiting("screening each") as tell:
        for number, (_, build) in enumerate(builds):
            tell(number, len(builds))
            facts = facts_with_plan(build)
            screenings.append(screen(build, book, judge, due, units.value, facts))
    found = compared([name for name, _ in builds], screenings, units.value)
    match format:
        case Table.TEXT:
            text = with_basis(comparing.render_comparison(found, width), book, width)
        case Table.MARKDOWN:
            text = with_basis(comparing.comparison_markdown(found), book, width)
        case Table.CSV:
            text = comparing.comparison_csv(found)
        case Table.JSON:
            data = {**comparing.comparison_data(found), "basis": basis_data(book)}
            text = json.dumps(data, indent=2) + "\n"
    put(text, output)


def _builds(sheets: list[Path]) -> list[tuple[str, Any]]:
    """The builds with their names; every problem of every sheet at once."""
    from advisor.problems import ProblemsFoundError
    from advisor.sheet.alternatives import with_choice
    from advisor.sheet.reading import read_sheet

    found: list[tuple[str, Any]] = []
    problems: list[Any] = []
    for sheet in sheets:
        try:
            build = read_sheet(sheet)
        except ProblemsFoundError as error:
            problems += error.problems
            continue
        found.append((build.title or sheet.name, build))
        found += [(one.title, with_choice(build, one)) for one in build.alternatives]
    if problems:
        raise ProblemsFoundError(problems)
    if len(found) < 2:
        raise refuse(
            str(sheets[0]), "there is nothing to compare it with",
            "name a second sheet, or write `choices:` into this one",
        )  # fmt: skip
    if len(found) > 12:
        raise refuse("compare", f"{len(found)} builds are too many for a table", "take 12 at most")
    return found
