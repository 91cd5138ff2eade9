"""`advisor wiring` and `advisor diagram`: the plan of the cables."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from advisor.commands.shared import (
    OutputOption,
    RulesOption,
    SheetArgument,
    StageOption,
    Units,
    UnitsOption,
    app,
    book_with,
    planned,
    put,
    put_sheet,
    refuse,
)


@app.command()
def wiring(
    sheet: SheetArgument,
    units: UnitsOption = Units.SI,
    width: Annotated[int, typer.Option(min=60, max=400, help="Columns of the text.")] = 100,
    output: OutputOption = None,
    size: Annotated[
        bool, typer.Option("--size", help="Propose the smallest cables and devices instead.")
    ] = False,
    write: Annotated[
        Path | None, typer.Option(help="With --size: put what is missing into a new sheet.")
    ] = None,
    rules: RulesOption = None,
) -> None:
    """Show the plan of the cables: current by mode, drop, protection, and what stays alive.

    Exit code: 0 the plan was shown, 2 the sheet or the call is wrong or has no plan, 3 internal.
    """
    from advisor.sheet.reading import read_sheet

    if write is not None and not size:
        raise refuse("--write", "goes with --size only", "add --size")
    build = read_sheet(sheet)
    facts = planned(build, sheet)
    if size:
        _size(facts, sheet, width, output, write, rules)
        return
    from advisor.report.wiring import render_plan

    put(render_plan(facts, units.value, width), output)


def _size(
    facts: Any,
    sheet: Path,
    width: int,
    output: Path | None,
    write: Path | None,
    rules: Path | None,
) -> None:
    """Propose sizes; write them into a new sheet when asked."""
    from advisor.findings.sizing import size
    from advisor.report.provenance import with_basis
    from advisor.report.sizing import render_sizing
    from advisor.sheet.layout_text import written_out
    from advisor.sheet.rewriting import with_values

    build = facts.build
    book = book_with(rules)
    sizing = size(facts, book)
    if write is not None:
        text, build = written_out(sheet.read_bytes().decode("utf-8"), build)
        changes = {(one.part, one.attribute): one.fitting for one in sizing.sizes if one.changes}
        put_sheet(with_values(text, build, changes), write)
    text = render_sizing(sizing, build.title or build.file, width)
    put(with_basis(text, book, width), output)


@app.command()
def diagram(
    sheet: SheetArgument,
    output: Annotated[
        Path, typer.Option("--output", "-o", help="SVG file to write, not over one.")
    ],
    units: UnitsOption = Units.SI,
    stage: StageOption = None,
    rules: RulesOption = None,
) -> None:
    """Draw the circuit of a sheet as it is wired; findings are marked with their numbers.

    Exit code: 0 drawn, 2 the sheet or the call is wrong or has no plan, 3 internal error.
    """
    from advisor.engine import Judge
    from advisor.findings.screening import screen as screen_build
    from advisor.sheet.reading import read_sheet

    build = read_sheet(sheet)
    facts = planned(build, sheet)
    from advisor.report.diagram import draw

    book = book_with(rules)
    chosen = stage.value if stage else None
    screening = screen_build(build, book, Judge(book), chosen, units.value, facts)
    marks: dict[str, list[int]] = {}
    for one in screening.all_findings():
        marks.setdefault(one.about, []).append(one.number)
    put(draw(facts, marks, units.value), output)
