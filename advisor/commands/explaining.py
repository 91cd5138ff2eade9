"""`advisor explain`: a check, a value, or two parts."""

from __future__ import annotations

import json
from typing import Annotated, Any

import typer

from advisor.commands.shared import (
    Format,
    FormatOption,
    OutputOption,
    RulesOption,
    SheetArgument,
    Stage,
    Units,
    UnitsOption,
    app,
    book_with,
    facts_with_plan,
    put,
    refuse,
    waiting,
)


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
    sensitivity: Annotated[
        bool, typer.Option("--sensitivity", help="Say how far each value may move, too.")
    ] = False,
    clear: Annotated[
        str | None,
        typer.Option(metavar="RULE", help="Why a rule is satisfied, and what would break it."),
    ] = None,
    between: Annotated[
        tuple[str, str] | None,
        typer.Option(metavar="PART PART", help="Can these two be used together?"),
    ] = None,
    value: Annotated[
        str | None, typer.Option(help="A value instead, such as battery.full_voltage.")
    ] = None,
    seconds: Annotated[
        float, typer.Option(min=1, max=3600, help="Time limit for moving values.")
    ] = 60.0,
    format: FormatOption = Format.TEXT,
    units: UnitsOption = Units.SI,
    stage: Annotated[
        Stage | None,
        typer.Option(help="Number findings for this stage instead of the sheet's own."),
    ] = None,
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 100,
    output: OutputOption = None,
    rules: RulesOption = None,
) -> None:
    """Explain a check down to where each number came from; or a value, or two parts together.

    Exit code: 0 explained, 2 the sheet or the call is wrong, 3 internal error.
    """
    from advisor.engine import Judge
    from advisor.explain.verdicts import Explainer
    from advisor.facts import facts_of
    from advisor.report.provenance import basis_data, with_basis
    from advisor.sheet.reading import read_sheet

    _one_question(name, value, clear, between, about, sensitivity=sensitivity)
    build = read_sheet(sheet)
    facts = facts_with_plan(build) or facts_of(build)
    book = book_with(rules)
    due = stage.value if stage else None
    explainer = Explainer(facts, book, Judge(book), units.value, due)
    markdown = format is Format.MARKDOWN
    if between is not None:
        data, text = _between(explainer, between, due or build.stage or "order", width, markdown)
    elif value is not None:
        data, text = _value(explainer, value, width, markdown)
    else:
        limit = seconds if sensitivity or clear is not None else None
        asked = explainer.cleared(clear, about) if clear else explainer.chosen(str(name), about)
        data, text = _check(explainer, asked, limit, width, markdown)
    if format is Format.JSON:
        text = json.dumps({**data, "basis": basis_data(book)}, indent=2) + "\n"
    else:
        text = with_basis(text, book, width)
    put(text, output)


def _one_question(
    name: str | None,
    value: str | None,
    clear: str | None,
    between: tuple[str, str] | None,
    about: str | None,
    *,
    sensitivity: bool,
) -> None:
    """Refuse none or several questions at once, and options that the question has no use for."""
    if sum(one is not None for one in (name, value, clear, between)) != 1:
        problem = "give one of: a finding or a rule, --clear, --between, --value"
        raise refuse("explain", problem, "such as: explain SHEET 1")
    if value is not None or between is not None:
        for option, given in (("--about", about is not None), ("--sensitivity", sensitivity)):
            if given:
                raise refuse(option, "goes with a finding or a rule only", "leave it out")


def _value(explainer: Any, value: str, width: int, markdown: bool) -> tuple[dict[str, Any], str]:
    from advisor.explain.naming import value_named
    from advisor.explain.tree import tree_of
    from advisor.report import explanation, explanation_data

    key = value_named(explainer.facts, value)
    node, depending = tree_of(explainer.facts, key, explainer.system), explainer.depending(key)
    text = explanation.render_value(node, depending, width, markdown=markdown)
    return explanation_data.value_data(node, depending), text


def _check(
    explainer: Any, asked: Any, seconds: float | None, width: int, markdown: bool
) -> tuple[dict[str, Any], str]:
    """A check; with a time limit also what would flip it."""
    from advisor.explain.sensitivity import sensitivity
    from advisor.report import explanation, explanation_data, room

    one = explainer.explained(asked)
    data = explanation_data.check_data(one)
    if seconds is None:
        return data, explanation.render_check(
            one, width, markdown=markdown, system=explainer.system
        )
    with waiting("moving each value") as tell:
        found = sensitivity(
            explainer.facts, explainer.book, asked, explainer.everything, seconds, tell
        )

    def more(page: Any) -> None:
        room.add_room(page, found, explainer.system)

    data["sensitivity"] = room.room_data(found)
    return data, explanation.render_check(
        one, width, markdown=markdown, system=explainer.system, more=more
    )


def _between(
    explainer: Any, parts: tuple[str, str], stage: str, width: int, markdown: bool
) -> tuple[dict[str, Any], str]:
    from advisor.explain.between import between
    from advisor.explain.naming import part_named
    from advisor.report.room import between_data, render_between

    first, second = (part_named(explainer.facts, one) for one in parts)
    if first == second:
        raise refuse("--between", f"{first} twice", "name two parts")
    found = between(explainer.facts, explainer.everything, first, second, stage)
    return between_data(found), render_between(found, width, markdown=markdown)
