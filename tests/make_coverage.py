"""The page that says which rules do which check of the trade, from `coverage.yaml`."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from advisor.rules import RuleBook

SOURCE = Path(__file__).with_name("coverage.yaml")


def read() -> dict[str, Any]:
    """The sections with their rows, and the groups of rules that need no row."""
    return yaml.safe_load(SOURCE.read_text(encoding="utf-8"))


def named(data: dict[str, Any]) -> set[str]:
    """Every rule that a row names, those of other rulesets (`later`) left out."""
    return {
        name for part in data["sections"] for row in part["rows"] for name in row.get("rules", ())
    }


def later(data: dict[str, Any]) -> dict[str, set[str]]:
    """The rules that rows name in a ruleset of their own, by ruleset."""
    found: dict[str, set[str]] = {}
    for part in data["sections"]:
        for row in part["rows"]:
            for ruleset, names in row.get("later", {}).items():
                found.setdefault(ruleset, set()).update(names)
    return found


def page(book: RuleBook) -> str:
    """The page in Markdown. Names of rulesets that are not in the book are left out."""
    data = read()
    known = {rule.name for rule in book.rules}
    lines = [
        "# Coverage",
        "",
        "<!-- made by python -m tests.make_docs; do not edit -->",
        "",
        "What somebody of the trade would check in such a conversion, and which rules do it. Where",
        "there is no rule, the row says why not. `advisor rules show NAME` prints one as a page.",
        "",
        "The same by steps of the job, hazards and kinds of part, as a matrix:",
        "[coverage-matrix.md](coverage-matrix.md). What is found on well-made builds, and why each",
        "finding stands: [well-made-builds.md](well-made-builds.md).",
        "",
    ]
    for part in data["sections"]:
        lines += [f"## {part['title']}", ""]
        if "about" in part:
            lines += [part["about"], ""]
        lines += ["| check | rules, or why none |", "| --- | --- |"]
        lines += [f"| {row['what']} | {_told(row, known)} |" for row in part["rows"]]
        lines.append("")
    lines += ["## Rulesets whose rules need no row", ""]
    there = {one.name for one in book.rulesets}
    lines += [f"- `{name}`: {why}." for name, why in data["groups"].items() if name in there]
    return "\n".join(lines).rstrip() + "\n"


def _told(row: dict[str, Any], known: set[str]) -> str:
    names = list(row.get("rules", ()))
    names += [one for group in row.get("later", {}).values() for one in group if one in known]
    told = ", ".join(f"`{one}`" for one in names)
    why = row.get("why", "")
    return ". ".join(one.rstrip(".") for one in (told, why) if one) + ("." if why else "")
