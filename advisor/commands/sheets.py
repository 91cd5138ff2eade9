"""`advisor sheet`: start and check build sheets."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from advisor.commands.shared import (
    OutputOption,
    SheetArgument,
    named,
    put_sheet,
    say,
    sheet_app,
)


@sheet_app.command("check")
def sheet_check(sheet: SheetArgument) -> None:
    """Check that a sheet can be read: every mistake with its line and what to write instead."""
    from advisor.sheet.reading import read_sheet

    build = read_sheet(sheet)
    parts = len(build.instances)
    values = sum(len(one.values) + len(one.settings) for one in build.instances)
    say(f"{named(sheet)}: reads well, {values} values in {parts} sections and parts\n")


@sheet_app.command("new")
def sheet_new(
    sheet: Annotated[Path, typer.Argument(metavar="SHEET", help="File to create.")],
) -> None:
    """Write a commented starter sheet. Never overwrites."""
    from advisor.sheet.starter import write_starter

    write_starter(sheet)
    name = named(sheet)
    say(f"written to {name}; fill it in, then: advisor screen {name}\n")


@sheet_app.command("examples")
def sheet_examples(
    name: Annotated[
        str | None, typer.Argument(metavar="[NAME]", help="Print this example.")
    ] = None,
) -> None:
    """List the example sheets that come with the program, or print one."""
    from advisor.sheet.examples import (
        example_sheet,
        example_sheets,
        handoff_sheets,
        title_of,
    )

    if name is not None:
        say(example_sheet(name).read_text(encoding="utf-8"))
        return
    for known, path in (example_sheets() | handoff_sheets()).items():
        say(f"{known}\n    {title_of(path)}\n")


@sheet_app.command("layout")
def sheet_layout(
    sheet: SheetArgument,
    output: OutputOption = None,
) -> None:
    """Write out the cable runs of the layout a sheet names, with sizes to be filled in.

    Exit code: 0 written, 2 the sheet cannot be read or names no layout.
    """
    from advisor.sheet.layout_text import with_runs
    from advisor.sheet.reading import read_sheet

    build = read_sheet(sheet)
    text = sheet.read_bytes().decode("utf-8")
    put_sheet(with_runs(text, build), output)
