"""Two sets of rules side by side, as text and as data."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from advisor.authoring.differing import Changes, VersionChange
from advisor.report.page import Page
from advisor.rules.rule import Rule

FORMAT = "conversion-advisor-rule-changes"
VERSION = "1.0"


def render_changes(found: Changes, old: str, new: str, width: int) -> str:
    """The comparison as text, `width` columns wide."""
    page = Page(width)
    page.para(f"Rules of {old} against rules of {new}")
    for heading, rules in (
        ("Came", found.came),
        ("Went", found.went),
        ("Changed meaning: what is judged, its risk, its stage or what it covers", found.meaning),
        ("Changed wording only: texts, fixes, sources", found.wording),
    ):
        page.heading(f"{heading} ({len(rules)})")
        for rule in rules:
            page.para(f"{rule.name} ({rule.ruleset}): {rule.title}", 2, "*")
    page.heading(f"Versions of rulesets ({len(found.rulesets)})")
    for one in found.rulesets:
        page.para(_version(one), 2, "*")
    page.heading(f"Verdicts that differ on {found.sheets} example sheets ({len(found.verdicts)})")
    for verdict in found.verdicts:
        page.para(
            f"{verdict.sheet}: {verdict.rule} on {verdict.about}: {verdict.before} before, "
            f"{verdict.after} after",
            2,
            "*",
        )
    if found.went:
        page.line()
        page.para(
            "A name that went is never used again: add it to rulesets/retired.yaml, with what came "
            "instead."
        )
    return page.text()


def _version(one: VersionChange) -> str:
    if not one.before:
        return f"{one.name} {one.after} is new"
    if not one.after:
        return f"{one.name} {one.before} is gone"
    if one.forgotten:
        return f"{one.name}: its rules differ, but it is still {one.before}; raise the version"
    return f"{one.name}: {one.before} before, {one.after} after"


def changes_data(found: Changes, old: str, new: str) -> dict[str, Any]:
    """The same as data."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "old": old,
        "new": new,
        "came": _rules(found.came),
        "went": _rules(found.went),
        "changed_meaning": _rules(found.meaning),
        "changed_wording": _rules(found.wording),
        "rulesets": [
            {
                "name": one.name,
                "before": one.before or None,
                "after": one.after or None,
                "version_not_raised": one.forgotten,
            }
            for one in found.rulesets
        ],
        "sheets": found.sheets,
        "verdicts": [
            {
                "sheet": one.sheet,
                "rule": one.rule,
                "about": one.about,
                "before": one.before,
                "after": one.after,
            }
            for one in found.verdicts
        ],
    }


def _rules(rules: Iterable[Rule]) -> list[dict[str, str]]:
    return [
        {
            "rule": one.name,
            "ruleset": one.ruleset,
            "title": one.title,
            "meaning": one.meaning,
            "wording": one.wording,
        }
        for one in rules
    ]
