"""`advisor rules`: look at the rules."""

from __future__ import annotations

from collections.abc import Callable
from typing import Annotated, Any

import typer

from advisor.commands.shared import rules_app, say
from advisor.problems import Problem, ProblemsFoundError


@rules_app.command("list")
def rules_list() -> None:
    """List all rules by family, with their risk level and stage."""
    from advisor.report.rules import list_rules

    say(list_rules(_book()))


@rules_app.command("show")
def rules_show(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of a rule.")],
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 80,
) -> None:
    """Show one rule as a page: what it checks, why, limits, examples, sources."""
    from advisor.report.rules import show_rule

    say(show_rule(_book(), name, width))


@rules_app.command("check")
def rules_check() -> None:
    """Check all rulesets and steps: types, sources, and every example with both evaluators."""
    from advisor.commissioning.loading import load_steps
    from advisor.engine import Judge
    from advisor.rules.examples import check_examples

    problems: list[Problem] = []
    book, steps = (_read(load, problems) for load in (_book, load_steps))
    if book is not None:
        judge = Judge(book)
        problems += [one for rule in book.rules for one in check_examples(rule, judge.verdict)]
    if problems or book is None or steps is None:
        raise ProblemsFoundError(problems)
    say(
        f"{len(book.rules)} rules in {len(book.rulesets)} rulesets read well; all examples hold "
        f"({judge.engine_name})\n"
        f"{len(steps.steps)} steps of the commissioning guide read well\n"
    )


def _read(load: Callable[[], Any], problems: list[Problem]) -> Any:
    """What a loader reads, or None and its problems noted."""
    try:
        return load()
    except ProblemsFoundError as error:
        problems += error.problems
        return None


def _book() -> Any:
    from advisor.rules.loading import load_rulesets

    return load_rulesets()
