"""`advisor rules`: look at the rules, check them, prove things about them, compare two sets."""

from __future__ import annotations

import json as json_text
from collections.abc import Callable
from enum import StrEnum
from typing import Annotated, Any

import typer

from advisor.commands.shared import OutputOption, RulesOption, book_with, put, rules_app, say
from advisor.problems import Problem, ProblemsFoundError


class Order(StrEnum):
    """Ways to order the list of rules."""

    FAMILY = "family"
    PART = "part"
    HAZARD = "hazard"
    SOURCE = "source"
    STAGE = "stage"


@rules_app.command("list")
def rules_list(
    by: Annotated[Order, typer.Option(help="How to order them.")] = Order.FAMILY,
    rules: RulesOption = None,
) -> None:
    """List all rules by family, part, hazard, source or stage, with their risk level."""
    from advisor.report.rules import list_rules

    say(list_rules(book_with(rules, examples=True), by.value))


@rules_app.command("show")
def rules_show(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of a rule.")],
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 80,
    rules: RulesOption = None,
) -> None:
    """Show one rule as a page: what it checks, why, limits, examples, sources."""
    from advisor.report.rules import show_rule

    say(show_rule(book_with(rules, examples=True), name, width))


@rules_app.command("check")
def rules_check(
    proofs: Annotated[
        bool,
        typer.Option(
            "--proofs",
            help="Prove, too: no condition that never or always holds, no two the same, none "
            "that another makes useless. Needs the solver z3.",
        ),
    ] = False,
    unused: Annotated[
        bool, typer.Option("--unused", help="List the attributes and sources nothing uses.")
    ] = False,
    rules: RulesOption = None,
) -> None:
    """Check all rulesets and steps: types, sources, names, covers, and every example by both.

    Exit code: 0 nothing is wrong, 2 something is, or the solver is missing; 3 internal error.
    """
    from advisor.authoring.whole_book import check_covers, unused_attributes, unused_sources
    from advisor.commissioning.loading import load_steps
    from advisor.engine import Judge
    from advisor.rules.examples import check_examples

    if proofs:
        _need_solver()
    problems: list[Problem] = []
    book = _read(lambda: book_with(rules, examples=True), problems)
    steps = _read(load_steps, problems)
    proven = None
    if book is not None:
        judge = Judge(book)
        problems += [one for rule in book.rules for one in check_examples(rule, judge.verdict)]
        problems += check_covers(book)
        proven = _proven(book) if proofs else None
    if proven is not None:
        problems += proven.problems
    if problems or book is None or steps is None:
        raise ProblemsFoundError(problems)
    say(
        f"{len(book.rules)} rules in {len(book.rulesets)} rulesets read well; all examples hold "
        f"({judge.engine_name})\n"
        f"{len(steps.steps)} steps of the commissioning guide read well\n"
    )
    if proven is not None:
        say(
            f"{proven.questions} questions to the solver: no condition never or always holds, no "
            "two are the same, and none is useless beside another\n"
            f"{proven.implied} of {proven.declared} covers follow from the conditions alone\n"
        )
        for one in proven.open:
            say(f"the solver does not decide: {one}\n")
    attributes, sources = unused_attributes(book), unused_sources(book)
    if unused:
        say("".join(f"no rule and no formula reads {one}\n" for one in attributes))
        say("".join(f"no rule cites the source {one}\n" for one in sources))
    elif attributes or sources:
        say(
            f"{len(attributes)} attributes are read by no rule and no formula, {len(sources)} "
            "sources are cited by no rule; --unused lists them\n"
        )


def _read(load: Callable[[], Any], problems: list[Problem]) -> Any:
    """What a loader reads, or None and its problems noted."""
    try:
        return load()
    except ProblemsFoundError as error:
        problems += error.problems
        return None


@rules_app.command("prove")
def rules_prove(
    name: Annotated[str, typer.Argument(metavar="NAME", help="Name of a rule.")],
    others: Annotated[
        list[str] | None,
        typer.Argument(metavar="[OTHER...]", help="Rules to compare it with; else what it covers."),
    ] = None,
    rules: RulesOption = None,
) -> None:
    """Ask the solver what can happen to a rule, and to it beside others, with examples in words.

    Exit code: 0 answered, 2 a name is wrong or the solver is missing, 3 internal error.
    """
    _need_solver()
    from advisor.proofs.proving import prove_rule
    from advisor.report.rules import find_rule

    book = book_with(rules)
    rule = find_rule(book, name)
    beside = [find_rule(book, one) for one in (others or rule.covers)]
    for one in prove_rule(book, rule, beside):
        say(f"{one.question} {one.answer[:1].upper()}{one.answer[1:]}.\n")
        if one.example:
            say(f"  Such as: {one.example}.\n")


@rules_app.command("diff")
def rules_diff(
    old: Annotated[str, typer.Argument(metavar="OLD", help="A folder, or a version in git.")],
    new: Annotated[str, typer.Argument(metavar="NEW", help="A folder, or a version in git.")],
    json: Annotated[bool, typer.Option("--json", help="Print JSON instead of text.")] = False,
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 100,
    output: OutputOption = None,
) -> None:
    """Compare two sets of rules: which came, went, changed, and which verdicts differ.

    The verdicts are those of the example sheets of this program, by this program.

    Exit code: 0 compared, 2 a set of rules or the call is wrong, 3 internal error.
    """
    from advisor.authoring.differing import compare_books
    from advisor.authoring.versions import read_version
    from advisor.commands.shared import facts_with_plan, waiting
    from advisor.facts import facts_of
    from advisor.report.rule_changes import changes_data, render_changes
    from advisor.sheet.examples import example_sheets
    from advisor.sheet.reading import read_sheet

    first, second = read_version(old), read_version(new)
    builds = [(name, read_sheet(path)) for name, path in example_sheets().items()]
    facts = [(name, facts_with_plan(build) or facts_of(build)) for name, build in builds]
    with waiting("judging the example sheets") as tell:
        found = compare_books(first, second, facts, tell)
    if json:
        put(json_text.dumps(changes_data(found, old, new), indent=2) + "\n", output)
    else:
        put(render_changes(found, old, new, width), output)


def _need_solver() -> None:
    from advisor.commands.shared import refuse
    from advisor.proofs.formulas import AVAILABLE, INSTALL

    if not AVAILABLE:
        raise refuse("proofs", "the solver z3 is not installed", f"run: {INSTALL}")


def _proven(book: Any) -> Any:
    from advisor.proofs.proving import prove

    return prove(book)
