"""Names of rules that are gone: never given to another rule, so that old reports stay readable."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path

from advisor.problems import Problem, ProblemsFoundError
from advisor.rules.fields import Fields, Notes
from advisor.rules.rule import Rule
from advisor.yaml_text import read_bytes, read_text

RETIRED_FILE = "retired.yaml"


@dataclass(frozen=True, slots=True)
class Retired:
    """A name that was in use: in which ruleset, up to which version, and what came instead."""

    name: str
    ruleset: str
    until: str
    instead: str


def read_retired(file: Path, problems: list[Problem]) -> dict[str, Retired]:
    """The retired names of a folder; none without the file."""
    if not file.is_file():
        return {}
    try:
        node = read_text(read_bytes(file), str(file))
    except ProblemsFoundError as error:
        problems += error.problems
        return {}
    notes = Notes(str(file), [])
    found = {}
    whole = Fields(notes, node, "")
    for item in whole.items("retired"):
        one = Fields(notes, item, "retired")
        one.only(("rule", "ruleset", "until", "instead"))
        name = one.name("rule")
        found[name] = Retired(name, one.name("ruleset"), one.text("until"), one.text("instead"))
    whole.only(("retired",))
    problems += notes.problems
    return found


def used_again(rules: Iterable[Rule], retired: Mapping[str, Retired]) -> list[Problem]:
    """Rules with a name that another rule had before."""
    return [
        Problem(
            rule.file,
            rule.place,
            rule.name,
            f"this name was used by a rule of {retired[rule.name].ruleset} up to version "
            f"{retired[rule.name].until}",
            "take a new name, so that old reports stay readable",
        )
        for rule in rules
        if rule.name in retired
    ]
