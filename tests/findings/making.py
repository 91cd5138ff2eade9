"""Small rulesets and sheets for tests of findings."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from advisor.engine import Judge
from advisor.findings.report_model import Finding, Screening
from advisor.findings.screening import screen
from advisor.rules import RuleBook, load_rulesets
from advisor.sheet.reading import read_sheet_bytes

SOURCES = """
made-source:
  title: A made source
  note: Made for a test; says nothing.
"""

RULE = """
  - rule: {name}
    about: {about}
    stage: {stage}
    title: Title of {name}
    {applies}
    when: {when}
    {hazard}
    {finding}
    because: Reason of {name}.
    {fix}
    {wrong}
    {consult}
    {more}
    sources: [{{source: made-source, clause: "clause 1", read: computed}}]
    examples: [{{given: {{}}, verdict: undetermined}}]
"""
HEADER = """
ruleset: made
version: 1.0.0
issued: 2026-11-24
title: Made for a test
changes: [{version: 1.0.0, note: first issue}]
rules:
"""


def rule(
    name: str,
    when: str,
    *,
    about: str = "controller",
    risk: str = "critical remote",
    kind: str = "fire",
    stage: str = "order",
    applies: str = "",
    finding: str = "",
    more: str = "",
) -> str:
    """One check in YAML; `risk` is severity and probability, empty for a mere conclusion."""
    severity, _, probability = risk.partition(" ")
    hazard = f"hazard: {{kind: {kind}, severity: {severity}, probability: {probability}}}"
    return RULE.format(
        name=name,
        about=about,
        stage=stage,
        when=when,
        applies=f"applies: {applies}" if applies else "",
        hazard=hazard if risk else "",
        finding=f"finding: {finding or f'Found by {name}.'}" if risk else "",
        fix="no_fix: Nothing helps in a test." if risk else "",
        wrong="wrong_when: Never." if risk else "",
        consult="consult: none" if risk else "",
        more=more,
    )


def book(folder: Path, *rules: str) -> RuleBook:
    """The book of some rules, with a table of sources beside them."""
    (folder / "sources.yaml").write_text(SOURCES, encoding="utf-8")
    (folder / "made.yaml").write_text(HEADER + "".join(rules), encoding="utf-8")
    return load_rulesets(folder)


@cache
def real_book() -> RuleBook:
    """The rulesets of the program."""
    return load_rulesets(examples=False)


@cache
def real_judge() -> Judge:
    """The Python evaluator alone on the rulesets of the program; quick, and it must agree."""
    return Judge(real_book(), use_engine=False)


def screened(text: str, rules: RuleBook | None = None, stage: str | None = None) -> Screening:
    """A screening of a sheet; `sheet: 1` is put in front."""
    build = read_sheet_bytes(f"sheet: 1\n{text}".encode(), "sheet.yaml")
    if rules is None:
        return screen(build, real_book(), real_judge(), stage)
    return screen(build, rules, Judge(rules, use_engine=False), stage)


def shape(findings: tuple[Finding, ...]) -> list[object]:
    """Names of findings in printed order; (name, names below it) where something hangs on one."""
    return [
        (one.rule.name, [below.rule.name for below in one.follows])
        if one.follows
        else one.rule.name
        for one in findings
    ]
