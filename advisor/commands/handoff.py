"""`advisor handoff` and `advisor verify`: the last review, its record, and the record later."""

from __future__ import annotations

import json as json_text
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from advisor.commands.commissioning import Guides
from advisor.commands.shared import (
    OutputOption,
    RulesOption,
    SheetArgument,
    Units,
    UnitsOption,
    app,
    named,
    put,
    refuse,
    say,
)

RecordOption = Annotated[
    Path | None, typer.Option(metavar="FILE", help="Write the record as HTML.")
]
PdfOption = Annotated[Path | None, typer.Option(metavar="FILE", help="Write the record as PDF.")]
LabelsOption = Annotated[
    Path | None,
    typer.Option(metavar="FILE", help="Write the labels to print and cut, .pdf or .html."),
]


@app.command()
def handoff(
    sheet: SheetArgument,
    html: RecordOption = None,
    pdf: PdfOption = None,
    labels: LabelsOption = None,
    earlier: Annotated[
        list[Path] | None,
        typer.Option(
            metavar="SHEET",
            help="An earlier sheet of the vehicle, to tell how its findings were closed. May stand "
            "several times, the oldest first.",
        ),
    ] = None,
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
    units: UnitsOption = Units.SI,
    rules: RulesOption = None,
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 80,
    output: OutputOption = None,
) -> None:
    """Review a built and measured vehicle before somebody else drives it; write its record.

    Exit code: 0 ready, with conditions or without, 1 not ready, 2 the sheet or the call is wrong,
    3 internal error. The record is written in either case, and says which.
    """
    from advisor.handoff.model import Outcome
    from advisor.report.handoff import render_review, review_data

    wanted = [one for one in (html, pdf, labels, output) if one is not None]
    _can_be_written(wanted)
    review = reviewed(sheet, units.value, rules, earlier or [])
    files = _documents(review, units.value, html, pdf, labels)
    if json:
        text = json_text.dumps(review_data(review), indent=2) + "\n"
    else:
        text = render_review(review, width)
    _write(files)
    put(text, output)
    if not json:
        for path in files:
            say(f"written to {named(path)}\n")
    if review.outcome is Outcome.NOT_READY:
        raise typer.Exit(1)


@app.command()
def verify(
    record: Annotated[Path, typer.Argument(metavar="RECORD", help="Record written as HTML.")],
    sheet: SheetArgument,
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
    rules: RulesOption = None,
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 80,
    output: OutputOption = None,
) -> None:
    """Whether a sheet gives the verdicts of an earlier record again, and what differs.

    Exit code: 0 the same verdicts, 1 some differ, 2 the record, the sheet or the call is wrong,
    3 internal error.
    """
    from advisor.handoff.embedded import read_evidence
    from advisor.handoff.evidence import evidence
    from advisor.handoff.verifying import verify as verified
    from advisor.report.handoff import render_verification, verification_data

    then = read_evidence(_text(record), str(record))
    found = verified(then, evidence(reviewed(sheet, "si", rules)))
    if json:
        text = json_text.dumps(verification_data(found), indent=2) + "\n"
    else:
        text = render_verification(found, named(record), named(sheet), width)
    put(text, output)
    if not found.same:
        raise typer.Exit(1)


MAX_RECORD = 20 * 1024 * 1024


def _text(record: Path) -> str:
    """The text of a record."""
    try:
        if record.stat().st_size > MAX_RECORD:
            raise refuse(str(record), "is longer than any record", "give the record itself")
        return record.read_bytes().decode("utf-8")
    except OSError as error:
        raise refuse(str(record), f"cannot be read: {error.strerror or error}") from error
    except UnicodeDecodeError:
        advice = "give the record written with --html"
        raise refuse(str(record), "is not text", advice) from None


def reviewed(sheet: Path, system: str, rules: Path | None, earlier: Sequence[Path] = ()) -> Any:
    """The review of a sheet, and how findings of earlier sheets were closed."""
    from advisor.handoff.review import review

    guides = Guides(sheet, system, rules)
    guide = guides.read()
    before = [guides.screened(one) for one in earlier]
    return review(guides.screening, guide, guides.book, before, system)


def _documents(
    review: Any, system: str, html: Path | None, pdf: Path | None, labels: Path | None
) -> dict[Path, str | bytes]:
    """What is to be written, all of it made before the first file is."""
    if html is None and pdf is None and labels is None:
        return {}
    try:
        from advisor.report import record
    except ModuleNotFoundError as error:
        raise refuse(*_missing(error)) from None
    files: dict[Path, str | bytes] = {}
    if html is not None or pdf is not None:
        made = record.record_of(review, system)
        if html is not None:
            files[html] = record.record_html(review, system, made)
        if pdf is not None:
            files[pdf] = record.record_pdf(review, system, made)
    if labels is not None:
        as_page = labels.suffix.lower() in (".html", ".htm")
        make = record.labels_html if as_page else record.labels_pdf
        files[labels] = make(review, system)
    return files


def _missing(error: ModuleNotFoundError) -> tuple[str, str, str]:
    if (error.name or "").partition(".")[0] not in ("jinja2", "markupsafe", "typst", "matplotlib"):
        raise error
    return (
        "handoff",
        f"the record needs {error.name}, which is not installed",
        "install it with pip install 'conversion-advisor[report]'",
    )


def _can_be_written(paths: list[Path]) -> None:
    """Refuse what cannot be written before the work is done."""
    for path in paths:
        if path.exists() or path.is_symlink():
            raise refuse(str(path), "there is already such a file", "choose another name")
        if not path.parent.is_dir():
            raise refuse(str(path), "the folder does not exist", "create it first")
    if len(set(paths)) != len(paths):
        raise refuse(str(paths[0]), "two things are to be written to it", "name two files")


def _write(files: dict[Path, str | bytes]) -> None:
    """Write all files, or none of them."""
    from advisor.writing import write_new

    written: list[Path] = []
    try:
        for path, content in files.items():
            write_new(path, content)
            written.append(path)
    except BaseException:
        for path in written:
            path.unlink(missing_ok=True)
        raise
