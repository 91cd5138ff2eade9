"""Rulesets of a shop, added to those of the program: they may add and accept, never change.

A rule of a shop cannot have the name of a shipped one, cannot cover it, and cannot conclude what
shipped rules conclude: several conclusions meet by `or`, so one more would change their verdicts.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from pathlib import Path

from advisor.acceptance import Acceptance, is_date
from advisor.problems import Place, Problem, nearest, shown
from advisor.rules.fields import Fields, Notes
from advisor.rules.rule import Rule, Ruleset

MAX_FILES = 40
MAX_RULES = 1000
_ACCEPTED = ("rule", "about", "who", "date", "reason")


def read_accepted(notes: Notes, fields: Fields) -> list[tuple[Acceptance, Place]]:
    """The list `accepted:` of a ruleset; every problem is noted at its place."""
    found = []
    for number, node in enumerate(fields.items("accepted", required=False), 1):
        one = Fields(notes, node, f"accepted[{number}]")
        one.only(_ACCEPTED)
        day = one.text("date")
        if day and not is_date(day):
            one.note("date", f"{shown(day)} is no date", "write it like 2026-11-24")
        acceptance = Acceptance(
            one.name("rule"),
            one.text("about", required=False, limit=60),
            one.text("who", limit=80),
            day,
            one.text("reason", limit=500),
        )
        found.append((acceptance, one.place))
    return found


def unknown_rules(
    file: str, accepted: Iterable[tuple[Acceptance, Place]], names: Mapping[str, Rule]
) -> list[Problem]:
    """Acceptances of rules that there are not."""
    return [
        Problem(
            file,
            place,
            "accepted",
            f"there is no rule {shown(one.rule)}",
            nearest(one.rule, names) or "see: advisor rules list",
        )
        for one, place in accepted
        if one.rule and one.rule not in names
    ]


def too_many(folder: Path, files: int, rules: int) -> list[Problem]:
    """Refuse more than a shop can have written."""
    name = str(folder)
    found = []
    if files > MAX_FILES:
        found.append(Problem(name, Place(), "", f"more than {MAX_FILES} files", "join them"))
    if rules > MAX_RULES:
        found.append(Problem(name, Place(), "", f"more than {MAX_RULES} rules", "keep fewer"))
    return found


def changes_to_shipped(shipped: Iterable[Ruleset], own: Iterable[Ruleset]) -> list[Problem]:
    """Where the rulesets of a shop would change or silence what is shipped."""
    theirs = [rule for one in shipped for rule in one.rules]
    names = {rule.name: rule.ruleset for rule in theirs}
    concluded = {path: rule for rule in theirs for path in rule.concludes_paths}
    found: list[Problem] = []
    for rule in (rule for one in own for rule in one.rules):
        found += [
            Problem(
                rule.file,
                rule.place,
                f"{rule.name}.covers",
                f"{name} is a shipped rule of {names[name]}; an own rule cannot fold it away",
                "leave it out; to say that you looked at a finding, use accepted",
            )
            for name in rule.covers
            if name in names
        ]
        found += [
            Problem(
                rule.file,
                rule.place,
                f"{rule.name}.concludes",
                f"{path} is concluded by the shipped rule {concluded[path].name}; one more "
                "conclusion would change shipped verdicts",
                "conclude something of another name",
            )
            for path in rule.concludes_paths
            if path in concluded
        ]
    return found
