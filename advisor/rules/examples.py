"""The examples of a rule: read on request, never when rules are only judged."""

from __future__ import annotations

from collections.abc import Callable

from advisor.problems import Problem, ProblemsFoundError
from advisor.rules.fields import Fields, Notes
from advisor.rules.logic import verdict
from advisor.rules.rule import Example, Rule
from advisor.rules.values import Known, Row, Value, Verdict
from advisor.rules.written import read_value
from advisor.units import UnitError
from advisor.yaml_text import Mapping, Sequence

_LEAST = ("violated", "satisfied", "undetermined")


def examples_of(rule: Rule) -> tuple[Example, ...]:
    """The examples of a rule. Raises ProblemsFoundError with everything wrong in them."""
    notes = Notes(rule.file, [])
    found: list[Example] = []
    items = rule.examples.items if isinstance(rule.examples, Sequence) else ()
    for number, node in enumerate(items, 1):
        fields = Fields(notes, node, f"{rule.name}.examples[{number}]")
        fields.only(("given", "verdict", "boundary", "note"))
        verdict = fields.word("verdict", tuple(Verdict))
        boundary = fields.truth("boundary")
        note = fields.text("note", required=False)
        given = _given(rule, fields)
        place = fields.entries["verdict"].place if verdict else fields.place
        found.append(Example(given, verdict, boundary, note, place))
    if not notes.problems:
        _enough(rule, found, notes)
    if notes.problems:
        raise ProblemsFoundError(notes.problems)
    return tuple(found)


def example_row(example: Example) -> dict[str, Value]:
    """The row of an example: what is given is known, everything else is missing."""
    return {name: Known(value) for name, value in example.given.items()}


def check_examples(
    rule: Rule, judge: Callable[[Rule, Row], Verdict] | None = None
) -> list[Problem]:
    """What is wrong with the examples of a rule: how they are written, or what they come to.

    `judge` gives the verdict of a rule on a row; without it the Python evaluator does.
    """
    try:
        examples = examples_of(rule)
    except ProblemsFoundError as error:
        return list(error.problems)
    found: list[Problem] = []
    for number, example in enumerate(examples, 1):
        row = example_row(example)
        came = judge(rule, row) if judge else verdict(rule.applies, rule.when, row)
        if came != example.verdict:
            found.append(
                Problem(
                    rule.file,
                    example.place,
                    f"{rule.name}.examples[{number}]",
                    f"is {came}, not {example.verdict}",
                    "mend the example or the rule",
                )
            )
    return found


def _given(rule: Rule, fields: Fields) -> dict[str, float | str | bool]:
    node = fields.entries.get("given")
    if not isinstance(node, Mapping):
        fields.note("given", "names and values are wanted here", "write {name: value}, or {}")
        return {}
    names = {name.written: name for name in rule.names}
    inner = Fields(fields.notes, node, fields.at("given"))
    inner.only(names)
    found: dict[str, float | str | bool] = {}
    for key in inner.entries:
        name = names.get(key)
        text = inner.text(key)
        if name is None or not text:
            continue
        try:
            found[key] = read_value(name.attribute, text)
        except UnitError as error:
            inner.note(key, error.problem, error.advice)
    return found


def _enough(rule: Rule, found: list[Example], notes: Notes) -> None:
    wanted = [*_LEAST, "not-applicable"] if rule.applies is not None else list(_LEAST)
    for word in wanted:
        if not any(example.verdict == word for example in found):
            notes.problems.append(
                Problem(
                    rule.file,
                    rule.place,
                    f"{rule.name}.examples",
                    f"no example is {word}",
                    "add one",
                )
            )
