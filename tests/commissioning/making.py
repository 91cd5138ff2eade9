"""Guides of made-up and shipped sheets for tests."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from advisor.commands.shared import facts_with_plan, has_plan
from advisor.commissioning.building import build_guide
from advisor.commissioning.guide import Guide
from advisor.commissioning.loading import load_steps
from advisor.commissioning.ways import Ways
from advisor.commissioning.written import StepBook
from advisor.engine import Judge
from advisor.findings.screening import screen
from advisor.rules.loading import load_rulesets
from advisor.sheet.reading import read_sheet, read_sheet_bytes

SCENARIOS = Path(__file__).parents[2] / "scenarios"
NAMES = sorted(one.stem for one in SCENARIOS.glob("*.yaml") if ".expected" not in one.name)


@cache
def _judge() -> Judge:
    return Judge(load_rulesets(examples=False))


@cache
def steps() -> StepBook:
    return load_steps()


def guide_of(text: str | Path, system: str = "si") -> Guide:
    """The guide of a sheet, given as text or as a file."""
    if isinstance(text, Path):
        build = read_sheet(text)
    else:
        build = read_sheet_bytes(text.encode(), "sheet.yaml")
    judge = _judge()
    screening = screen(build, judge.book, judge, "handoff", system, facts_with_plan(build))
    points = Ways(screening.facts) if has_plan(build) else None
    return build_guide(screening, steps(), system, points)


@cache
def scenario(name: str) -> Guide:
    """The guide of a shipped sheet."""
    return guide_of(SCENARIOS / f"{name}.yaml")
