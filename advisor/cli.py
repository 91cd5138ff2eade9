"""The commands: parse arguments, call, print, exit code.

Exit codes: 0 nothing at or above the chosen risk; 1 findings at or above it; 2 the sheet, a ruleset
or the call is wrong; 3 internal error. A command's modules are imported when it is chosen.
"""

from __future__ import annotations

import gc
import os
import sys
from contextlib import suppress
from enum import StrEnum
from io import TextIOWrapper
from pathlib import Path
from typing import Annotated, Any

import typer

from advisor import __version__
from advisor.problems import Place, Problem, ProblemsFoundError, shown

app = typer.Typer(
    help="Screen a lithium conversion of a low-speed electric vehicle for what will not work "
    "together. It screens on paper; it does not certify.",
    no_args_is_help=True,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)
sheet_app = typer.Typer(help="Start and check build sheets.", no_args_is_help=True)
rules_app = typer.Typer(help="Look at the rules.", no_args_is_help=True)
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


SheetArgument = Annotated[Path, typer.Argument(metavar="SHEET", help="Build sheet (YAML).")]


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


@app.command()
def screen(
    sheet: SheetArgument,
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
    units: Annotated[Units, typer.Option(help="Units for printing.")] = Units.SI,
    stage: Annotated[
        Stage | None, typer.Option(help="Judge for this stage instead of the sheet's own.")
    ] = None,
    fail_on: Annotated[
        FailOn, typer.Option(help="Exit with 1 from this risk level on.")
    ] = FailOn.SERIOUS,
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 80,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write to this file, not over one.")
    ] = None,
) -> None:
    """Screen a build: what is wrong, why, what to do, and what is still unknown.

    Exit code: 0 nothing at or above the risk level of --fail-on, 1 something is (an undecided check
    of such a risk counts when it is due), 2 the sheet or the call is wrong, 3 internal error.
    """
    from advisor.engine import Judge
    from advisor.findings.risk import LEVELS
    from advisor.findings.screening import screen as screen_build
    from advisor.rules.loading import load_rulesets
    from advisor.sheet.reading import read_sheet

    build = read_sheet(sheet)
    book = load_rulesets(examples=False)
    chosen = stage.value if stage else None
    facts = _facts_with_plan(build)
    screening = screen_build(build, book, Judge(book), chosen, units.value, facts)
    if json:
        import json as json_text

        from advisor.report.data import as_data

        data = as_data(screening, units.value)
        text = json_text.dumps(data, indent=2) + "\n"
    else:
        from advisor.report.text import render

        text = render(screening, units.value, width)
    _put(text, output)
    if fail_on is not FailOn.NEVER and screening.at_or_above(LEVELS[fail_on.value]):
        raise typer.Exit(1)


def _facts_with_plan(build: Any) -> Any:
    """The facts of a build that has a plan of its cables, or trips; None for a parts list.

    A parts list needs neither the graph library nor numpy, which take a third of a screening.
    """
    trips = any(one.subject == "trip" for one in build.instances)
    if not trips and not _has_plan(build):
        return None
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # threads wait for each other: 200 times
    if trips:
        from advisor.driving.survey import surveyed as driven

        return driven(build)
    from advisor.wiring.survey import surveyed

    return surveyed(build)


def _has_plan(build: Any) -> bool:
    return any(one.subject == "run" and "from" in one.values for one in build.instances)


@app.command()
def explain(
    sheet: SheetArgument,
    name: Annotated[
        str | None,
        typer.Argument(metavar="[NAME]", help="Number of a finding, or name of a rule."),
    ] = None,
    about: Annotated[
        str | None, typer.Option(help="Part, where a rule is judged on several.")
    ] = None,
    value: Annotated[
        str | None, typer.Option(help="A value instead, such as battery.full_voltage.")
    ] = None,
    format: Annotated[Format, typer.Option(help="Form of the answer.")] = Format.TEXT,
    units: Annotated[Units, typer.Option(help="Units for printing.")] = Units.SI,
    stage: Annotated[
        Stage | None,
        typer.Option(help="Number findings for this stage instead of the sheet's own."),
    ] = None,
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 100,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write to this file, not over one.")
    ] = None,
) -> None:
    """Explain a check down to where each number came from, or a value and what depends on it.

    Exit code: 0 explained, 2 the sheet or the call is wrong, 3 internal error.
    """
    from advisor.engine import Judge
    from advisor.explain.tree import tree_of
    from advisor.explain.verdicts import Explainer
    from advisor.facts import facts_of
    from advisor.report import explanation
    from advisor.rules.loading import load_rulesets
    from advisor.sheet.reading import read_sheet

    if (name is None) == (value is None):
        problem = "name a finding or a rule, or give --value; one of them"
        advice = "such as: explain SHEET 1, or explain SHEET --value battery.full_voltage"
        raise ProblemsFoundError([Problem("explain", Place(), "", problem, advice)])
    build = read_sheet(sheet)
    facts = _facts_with_plan(build) or facts_of(build)
    book = load_rulesets(examples=False)
    chosen = stage.value if stage else None
    explainer = Explainer(facts, book, Judge(book), units.value, chosen)
    markdown = format is Format.MARKDOWN
    if value is not None:
        key = explainer.value_key(value)
        node, depending = tree_of(facts, key, units.value), explainer.depending(key)
        data = explanation.value_data(node, depending)
        text = explanation.render_value(node, depending, width, markdown=markdown)
    else:
        one = explainer.explained(explainer.chosen(str(name), about))
        data = explanation.check_data(one)
        text = explanation.render_check(one, width, markdown=markdown)
    if format is Format.JSON:
        import json

        text = json.dumps(data, indent=2) + "\n"
    _put(text, output)


@app.command()
def wiring(
    sheet: SheetArgument,
    units: Annotated[Units, typer.Option(help="Units for printing.")] = Units.SI,
    width: Annotated[int, typer.Option(min=60, max=400, help="Columns of the text.")] = 100,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write to this file, not over one.")
    ] = None,
    size: Annotated[
        bool, typer.Option("--size", help="Propose the smallest cables and devices instead.")
    ] = False,
    write: Annotated[
        Path | None, typer.Option(help="With --size: put what is missing into a new sheet.")
    ] = None,
) -> None:
    """Show the plan of the cables: current by mode, drop, protection, and what stays alive.

    Exit code: 0 the plan was shown, 2 the sheet or the call is wrong or has no plan, 3 internal.
    """
    from advisor.sheet.reading import read_sheet

    if write is not None and not size:
        problem = Problem("--write", Place(), "", "goes with --size only", "add --size")
        raise ProblemsFoundError([problem])
    build = read_sheet(sheet)
    facts = _planned(build, sheet)
    if size:
        _size(facts, sheet, width, output, write)
        return
    from advisor.report.wiring import render_plan

    _put(render_plan(facts, units.value, width), output)


def _size(facts: Any, sheet: Path, width: int, output: Path | None, write: Path | None) -> None:
    """Propose sizes; write them into a new sheet when asked."""
    from advisor.findings.sizing import size
    from advisor.report.sizing import render_sizing
    from advisor.rules.loading import load_rulesets
    from advisor.sheet.layout_text import written_out
    from advisor.sheet.rewriting import with_values

    build = facts.build
    sizing = size(facts, load_rulesets(examples=False))
    if write is not None:
        text, build = written_out(sheet.read_bytes().decode("utf-8"), build)
        changes = {(one.part, one.attribute): one.fitting for one in sizing.sizes if one.changes}
        _put(with_values(text, build, changes), write)
    _put(render_sizing(sizing, build.title or build.file, width), output)


@app.command()
def drive(
    sheet: SheetArgument,
    units: Annotated[Units, typer.Option(help="Units for printing.")] = Units.SI,
    width: Annotated[int, typer.Option(min=60, max=400, help="Columns of the text.")] = 100,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write to this file, not over one.")
    ] = None,
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
        raise ProblemsFoundError(
            [Problem(str(sheet), Place(), "trips", "the sheet lists no trips", advice)]
        )
    facts = _facts_with_plan(build)
    from advisor.driving.road import Road
    from advisor.report.driving import render_road, trace_rows

    road = Road(facts)
    if chart is not None:
        _chart(facts, road, chart, trip, units.value)
    if csv is not None:
        _put(trace_rows(road), csv)
    _put(render_road(facts, road, units.value, width), output)


def _chart(facts: Any, road: Any, path: Path, trip: str | None, system: str) -> None:
    """Draw one trip into a new file; the plotting library is an extra."""
    if path.suffix.lower() not in (".svg", ".png"):
        problem = f"{shown(path.name)} is no picture this program draws"
        advice = "end the name in .svg or .png"
        raise ProblemsFoundError([Problem("--chart", Place(), "", problem, advice)])
    try:
        from advisor.report.chart import draw_trip
    except ModuleNotFoundError as error:
        problem = f"a chart needs {error.name}, which is not installed"
        advice = 'install it with: pip install "matplotlib>=3.8"'
        raise ProblemsFoundError([Problem("--chart", Place(), "", problem, advice)]) from error
    from advisor.writing import write_new

    write_new(path, draw_trip(facts, road, trip, path.suffix.lower()[1:], system))
    _print(f"written to {_named(path)}\n")


@app.command()
def diagram(
    sheet: SheetArgument,
    output: Annotated[
        Path, typer.Option("--output", "-o", help="SVG file to write, not over one.")
    ],
    units: Annotated[Units, typer.Option(help="Units for printing.")] = Units.SI,
    stage: Annotated[
        Stage | None, typer.Option(help="Judge for this stage instead of the sheet's own.")
    ] = None,
) -> None:
    """Draw the circuit of a sheet as it is wired; findings are marked with their numbers.

    Exit code: 0 drawn, 2 the sheet or the call is wrong or has no plan, 3 internal error.
    """
    from advisor.engine import Judge
    from advisor.findings.screening import screen as screen_build
    from advisor.rules.loading import load_rulesets
    from advisor.sheet.reading import read_sheet

    build = read_sheet(sheet)
    facts = _planned(build, sheet)
    from advisor.report.diagram import draw

    book = load_rulesets(examples=False)
    chosen = stage.value if stage else None
    screening = screen_build(build, book, Judge(book), chosen, units.value, facts)
    marks: dict[str, list[int]] = {}
    for one in screening.all_findings():
        marks.setdefault(one.about, []).append(one.number)
    _put(draw(facts, marks, units.value), output)


def _planned(build: Any, sheet: Path) -> Any:
    """The facts of a build with its plan; an input error where the sheet has none."""
    facts = _facts_with_plan(build) if _has_plan(build) else None
    if facts is None:
        advice = "list the cable runs there with from and to"
        problem = Problem(
            str(sheet), Place(), "wiring", "the sheet has no plan of the cables", advice
        )
        raise ProblemsFoundError([problem])
    return facts


def _put(text: str, output: Path | None) -> None:
    """Print, or write to a new file; an existing file is left alone."""
    if output is None:
        _print(text)
        return
    from advisor.writing import write_new

    write_new(output, text)
    _print(f"written to {_named(output)}\n")


def _print(text: str) -> None:
    """Print; a reader that has seen enough (`| head`) changes nothing of the exit code."""
    with suppress(BrokenPipeError):
        sys.stdout.write(text)
        sys.stdout.flush()


def _named(path: Path) -> str:
    """A file name that cannot command a terminal."""
    name = str(path)
    return name if name.isprintable() else shown(name, len(name))


@sheet_app.command("check")
def sheet_check(sheet: SheetArgument) -> None:
    """Check that a sheet can be read: every mistake with its line and what to write instead."""
    from advisor.sheet.reading import read_sheet

    build = read_sheet(sheet)
    parts = len(build.instances)
    values = sum(len(one.values) + len(one.settings) for one in build.instances)
    _print(f"{_named(sheet)}: reads well, {values} values in {parts} sections and parts\n")


@sheet_app.command("new")
def sheet_new(
    sheet: Annotated[Path, typer.Argument(metavar="SHEET", help="File to create.")],
) -> None:
    """Write a commented starter sheet. Never overwrites."""
    from advisor.sheet.starter import write_starter

    write_starter(sheet)
    name = _named(sheet)
    _print(f"written to {name}; fill it in, then: advisor screen {name}\n")


@sheet_app.command("examples")
def sheet_examples(
    name: Annotated[
        str | None, typer.Argument(metavar="[NAME]", help="Print this example.")
    ] = None,
) -> None:
    """List the example sheets that come with the program, or print one."""
    from advisor.sheet.examples import example_sheet, example_sheets, title_of

    if name is not None:
        _print(example_sheet(name).read_text(encoding="utf-8"))
        return
    for known, path in example_sheets().items():
        _print(f"{known}\n    {title_of(path)}\n")


@sheet_app.command("layout")
def sheet_layout(
    sheet: SheetArgument,
    output: Annotated[
        Path | None, typer.Option("--output", "-o", help="Write to this file, not over one.")
    ] = None,
) -> None:
    """Write out the cable runs of the layout a sheet names, with sizes to be filled in.

    Exit code: 0 written, 2 the sheet cannot be read or names no layout.
    """
    from advisor.sheet.layout_text import with_runs
    from advisor.sheet.reading import read_sheet

    build = read_sheet(sheet)
    text = sheet.read_bytes().decode("utf-8")
    _put(with_runs(text, build), output)


@rules_app.command("list")
def rules_list() -> None:
    """List all rules by family, with their risk level and stage."""
    from advisor.report.rules import list_rules

    _print(list_rules(_book()))


@rules_app.command("show")
def rules_show(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of a rule.")],
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 80,
) -> None:
    """Show one rule as a page: what it checks, why, limits, examples, sources."""
    from advisor.report.rules import show_rule

    _print(show_rule(_book(), name, width))


@rules_app.command("check")
def rules_check() -> None:
    """Check all rulesets: types, sources, and every example with both evaluators."""
    from advisor.engine import Judge
    from advisor.rules.examples import check_examples

    book = _book()
    judge = Judge(book)
    problems = [one for rule in book.rules for one in check_examples(rule, judge.verdict)]
    if problems:
        raise ProblemsFoundError(problems)
    _print(
        f"{len(book.rules)} rules in {len(book.rulesets)} rulesets read well; all examples hold "
        f"({judge.engine_name})\n"
    )


def _book() -> Any:
    from advisor.rules.loading import load_rulesets

    return load_rulesets()


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
