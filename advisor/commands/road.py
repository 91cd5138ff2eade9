"""`advisor drive`: the trips."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Any

import typer

from advisor.commands.shared import (
    OutputOption,
    SheetArgument,
    Units,
    UnitsOption,
    app,
    facts_with_plan,
    named,
    put,
    refuse,
    say,
    waiting,
)
from advisor.problems import shown


@app.command()
def drive(
    sheet: SheetArgument,
    units: UnitsOption = Units.SI,
    width: Annotated[int, typer.Option(min=60, max=400, help="Columns of the text.")] = 100,
    output: OutputOption = None,
    csv: Annotated[
        Path | None, typer.Option(help="Write every step to this file, for a spreadsheet.")
    ] = None,
    chart: Annotated[
        Path | None, typer.Option(help="Draw a trip over its distance: a .svg or .png file.")
    ] = None,
    trip: Annotated[
        str | None,
        typer.Option(help="Trip for the chart; else the first that fails, or the first."),
    ] = None,
) -> None:
    """Drive the trips of a sheet: speed, current, charge, heat, and where it ends.

    Exit code: 0 shown, 2 the sheet or the call is wrong or lists no trips, 3 internal error.
    """
    from advisor.sheet.reading import read_sheet

    build = read_sheet(sheet)
    if not any(one.subject == "trip" for one in build.instances):
        advice = "list them there, docs/build-sheet.md says how"
        raise refuse(str(sheet), "the sheet lists no trips", advice, "trips")
    facts = facts_with_plan(build)
    from advisor.driving.road import Road
    from advisor.report.driving import render_road, trace_rows

    road = Road(facts)
    with waiting("driving the trips"):
        text = render_road(facts, road, units.value, width)
    if chart is not None:
        _chart(facts, road, chart, trip, units.value)
    if csv is not None:
        put(trace_rows(road), csv)
    put(text, output)


def _chart(facts: Any, road: Any, path: Path, trip: str | None, system: str) -> None:
    """Draw one trip into a new file; the plotting library is an extra."""
    if path.suffix.lower() not in (".svg", ".png"):
        problem = f"{shown(path.name)} is no picture this program draws"
        advice = "end the name in .svg or .png"
        raise refuse("--chart", problem, advice)
    try:
        from advisor.report.chart import draw_trip
    except ModuleNotFoundError as error:
        problem = f"a chart needs {error.name}, which is not installed"
        advice = 'install it with: pip install "matplotlib>=3.8"'
        raise refuse("--chart", problem, advice) from error
    from advisor.writing import write_new

    write_new(path, draw_trip(facts, road, trip, path.suffix.lower()[1:], system))
    say(f"written to {named(path)}\n")
