"""`advisor fix` and `advisor apply`: fixes tried out, and put into a sheet."""

from __future__ import annotations

import difflib
import json as json_text
from pathlib import Path
from typing import Annotated, Any

import typer

from advisor.commands.shared import (
    OutputOption,
    RiskLevel,
    RulesOption,
    SheetArgument,
    Units,
    UnitsOption,
    app,
    book_with,
    facts_with_plan,
    named,
    put,
    refuse,
    say,
    waiting,
)


@app.command()
def fix(
    sheet: SheetArgument,
    level: Annotated[
        RiskLevel, typer.Option(help="Look for the smallest set that clears this risk and above.")
    ] = RiskLevel.SERIOUS,
    seconds: Annotated[
        float, typer.Option(min=1, max=3600, help="Time limit for the search.")
    ] = 30.0,
    catalogue: Annotated[
        Path | None,
        typer.Option(help="Try the parts of this folder or CSV file in place of the build's own."),
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
    units: UnitsOption = Units.SI,
    width: Annotated[int, typer.Option(min=60, max=400, help="Columns of the text.")] = 100,
    output: OutputOption = None,
    rules: RulesOption = None,
) -> None:
    """Try every offered fix on the build: what it clears, what it breaks, and the smallest set.

    With --catalogue real parts are tried instead, singly and in pairs.

    Exit code: 0 tried, 2 the sheet or the call is wrong, 3 internal error.
    """
    from advisor.engine import Judge
    from advisor.findings.risk import LEVELS
    from advisor.fixing.trials import plan
    from advisor.report.fixing import fixes_data, render_fixes
    from advisor.report.provenance import basis_data, with_basis

    if catalogue is not None:
        put(_replaced(sheet, catalogue, seconds, units.value, width, rules, as_json=json), output)
        return
    workshop, found = _tried_all(sheet, units.value, rules)
    wanted = LEVELS[level.value]
    with waiting("looking for the smallest set") as tell:
        best = plan(workshop, Judge(workshop.book), found, wanted, seconds, tell)
    build = workshop.facts.build
    if json:
        data = {**fixes_data(found, best, wanted), "basis": basis_data(workshop.book)}
        text = json_text.dumps(data, indent=2) + "\n"
    else:
        title = build.title or build.file
        undecided = workshop.undecided(build.stage or "order")
        text = render_fixes(title, found, best, wanted, units.value, width, undecided)
        text = with_basis(text, workshop.book, width)
    put(text, output)


def _replaced(
    sheet: Path,
    catalogue: Path,
    seconds: float,
    system: str,
    width: int,
    rules: Path | None,
    *,
    as_json: bool,
) -> str:
    """The replacements from a catalogue, as text or as JSON."""
    from advisor.catalogue import read_catalogue
    from advisor.facts import facts_of
    from advisor.fixing.replacing import replacements
    from advisor.report.provenance import basis_data, with_basis
    from advisor.report.replacing import render_replacements, replacements_data
    from advisor.sheet.reading import read_sheet

    build = read_sheet(sheet)
    parts = read_catalogue(catalogue)
    book = book_with(rules)

    def surveyed(changed: Any) -> Any:
        return facts_with_plan(changed) or facts_of(changed)

    with waiting("trying the parts") as tell:
        found = replacements(build, book, parts, surveyed, seconds, tell)
    if as_json:
        data = {**replacements_data(found, parts), "basis": basis_data(book)}
        return json_text.dumps(data, indent=2) + "\n"
    text = render_replacements(build.title or build.file, found, parts, system, width)
    return with_basis(text, book, width)


def _tried_all(sheet: Path, system: str, rules: Path | None) -> tuple[Any, Any]:
    """A build with its offered fixes tried."""
    from advisor.facts import facts_of
    from advisor.fixing.offers import offers
    from advisor.fixing.trials import tried
    from advisor.fixing.workshop import Workshop
    from advisor.sheet.reading import read_sheet

    build = read_sheet(sheet)
    facts = facts_with_plan(build) or facts_of(build)
    workshop = Workshop(facts, book_with(rules))
    with waiting("trying the fixes") as tell:
        return workshop, tried(workshop, offers(facts, workshop.before.values(), system), tell)


@app.command()
def apply(
    sheet: SheetArgument,
    fixes: Annotated[
        list[str], typer.Argument(metavar="FIX...", help="Names of fixes, as `advisor fix` says.")
    ],
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="New sheet to write, not over one.")
    ] = None,
    over: Annotated[
        bool, typer.Option("--over", help="Write over the sheet itself instead.")
    ] = False,
    rules: RulesOption = None,
) -> None:
    """Write a sheet with some fixes in; comments and order stay. Without a file only show it.

    Exit code: 0 written or shown, 2 the sheet, a fix or the call is wrong, 3 internal error.
    """
    from advisor.fixing.applying import chosen_fixes
    from advisor.sheet.rewriting import with_values
    from advisor.writing import replace_file, write_new

    if over and output is not None:
        raise refuse("--over", "goes without --output", "give one of them")
    workshop, found = _tried_all(sheet, "si", rules)
    build = workshop.facts.build
    changes = chosen_fixes(build.file, found, fixes)
    old = sheet.read_bytes().decode("utf-8")
    new = with_values(old, build, changes)
    lines = difflib.unified_diff(
        old.splitlines(keepends=True), new.splitlines(keepends=True), str(sheet), "with the fixes"
    )
    say("".join(lines).replace("\r\n", "\n"))
    if over:
        replace_file(sheet, new)
        say(f"written over {named(sheet)}; screen it again\n")
    elif output is not None:
        write_new(output, new)
        say(f"written to {named(output)}; screen it again\n")
    else:
        say("nothing written; add -o NEW.yaml or --over\n")
