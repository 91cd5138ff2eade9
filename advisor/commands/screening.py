"""`advisor screen`."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.commands.shared import (
    FailOn,
    OutputOption,
    RulesOption,
    SheetArgument,
    StageOption,
    Units,
    UnitsOption,
    app,
    book_with,
    facts_with_plan,
    put,
)


@app.command()
def screen(
    sheet: SheetArgument,
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
    units: UnitsOption = Units.SI,
    stage: StageOption = None,
    fail_on: Annotated[
        FailOn, typer.Option(help="Exit with 1 from this risk level on.")
    ] = FailOn.SERIOUS,
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 80,
    output: OutputOption = None,
    rules: RulesOption = None,
) -> None:
    """Screen a build: what is wrong, why, what to do, and what is still unknown.

    Exit code: 0 nothing at or above the risk level of --fail-on, 1 something is (an undecided check
    of such a risk counts when it is due), 2 the sheet or the call is wrong, 3 internal error.
    """
    from advisor.engine import Judge
    from advisor.findings.risk import LEVELS
    from advisor.findings.screening import screen as screen_build
    from advisor.sheet.reading import read_sheet

    build = read_sheet(sheet)
    book = book_with(rules)
    chosen = stage.value if stage else None
    facts = facts_with_plan(build)
    screening = screen_build(build, book, Judge(book), chosen, units.value, facts)
    if json:
        import json as json_text

        from advisor.report.data import as_data

        data = as_data(screening, units.value)
        text = json_text.dumps(data, indent=2) + "\n"
    else:
        from advisor.report.text import render

        text = render(screening, units.value, width)
    put(text, output)
    if fail_on is not FailOn.NEVER and screening.at_or_above(LEVELS[fail_on.value]):
        raise typer.Exit(1)
