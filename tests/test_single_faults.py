"""One thing made wrong in a clean build gives just the findings that belong to it.

Each row of `single_faults.yaml` was read and argued when it was written: the fault, and every rule
of medium risk or above that it must bring up, no more and no fewer.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.findings.report_model import Screening
from advisor.findings.risk import Level
from advisor.findings.screening import screen
from advisor.rules import load_rulesets
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet_bytes

WELL_MADE = Path(__file__).with_name("well_made")
FAULTS: list[dict[str, Any]] = yaml.safe_load(
    Path(__file__).with_name("single_faults.yaml").read_text(encoding="utf-8")
)


@cache
def judge() -> Judge:
    return Judge(load_rulesets(examples=False))


@cache
def text_of(name: str) -> str:
    path = example_sheets().get(name, WELL_MADE / f"{name}.yaml")
    return path.read_text(encoding="utf-8")


def screened(text: str) -> Screening:
    build = read_sheet_bytes(text.encode(), "sheet.yaml")
    return screen(build, judge().book, judge(), facts=surveyed(build))


def found(screening: Screening) -> set[tuple[str, str]]:
    return {
        (one.rule.name, one.about) for one in screening.all_findings() if one.level >= Level.MEDIUM
    }


@cache
def found_in(name: str) -> set[tuple[str, str]]:
    return found(screened(text_of(name)))


@pytest.mark.parametrize("row", FAULTS, ids=[f"{row['sheet']}: {row['fault']}" for row in FAULTS])
def test_a_single_fault_gives_its_own_findings(row: dict[str, Any]) -> None:
    text = text_of(row["sheet"])
    for change in row["changes"]:
        assert change["old"] in text
        text = text.replace(change["old"], change["new"], 1)
    came = found(screened(text))
    assert {rule for rule, _ in came - found_in(row["sheet"])} == set(row["finds"])
    assert found_in(row["sheet"]) <= came


def test_there_are_enough_of_them() -> None:
    assert len(FAULTS) >= 100
    assert len({row["sheet"] for row in FAULTS}) >= 8
