"""`advisor explain`."""

from __future__ import annotations

from typing import Annotated

import typer

from advisor.commands.shared import (
    Format,
    FormatOption,
    OutputOption,
    SheetArgument,
    Stage,
    Units,
    UnitsOption,
    app,
    facts_with_plan,
    put,
)
from advisor.problems import Place, Problem, ProblemsFoundError


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
    format: FormatOption = Format.TEXT,
    units: UnitsOption = Units.SI,
    stage: Annotated[
        Stage | None,
        typer.Option(help="Number findings for this stage instead of the sheet's own."),
    ] = None,
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 100,
    output: OutputOption = None,
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
    facts = facts_with_plan(build) or facts_of(build)
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
    put(text, output)
