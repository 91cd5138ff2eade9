"""Well-made builds of different kinds get no finding that a practitioner would reject.

`well_made/expected.yaml` lists everything that is found on them, with the reason why it stands;
the reasons were written from the sheets, not from the output.
"""

from __future__ import annotations

import jsonschema
import pytest
import yaml

from advisor.findings.risk import Level
from tests.make_well_made import ROOT, builds, features, screened
from tests.test_scenarios import SHEET_SCHEMA

NAMES = [one["sheet"] for one in builds()]
STAGES = ["order", "wiring"]
# What a practitioner would also mend before it is driven; it stands in the list with its reason.
STANDS = {("scenarios/seventy-two-volt-hauler", "live-parts-bare-above-60-volts")}


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("row", builds(), ids=NAMES)
def test_what_is_found_stands_in_the_list_with_a_reason(row: dict[str, object], stage: str) -> None:
    listed = row["findings"]
    assert isinstance(listed, list)
    assert all(one["why"] for one in listed)
    everything = screened(str(row["sheet"]), stage).all_findings()
    found = {(part.rule.name, part.about) for one in everything for part in (one, *one.milder)}
    assert found == {(one["rule"], one["about"]) for one in listed}


@pytest.mark.parametrize("stage", STAGES)
@pytest.mark.parametrize("name", NAMES)
def test_nothing_serious_is_found(name: str, stage: str) -> None:
    found = screened(name, stage).all_findings()
    assert {(name, one.rule.name) for one in found if one.level >= Level.SERIOUS} <= STANDS


@pytest.mark.parametrize("name", NAMES)
def test_nothing_is_left_open(name: str) -> None:
    """The sheets are complete: a figure or two that nobody answered is the most that is asked.

    What is undecided waits for one of these; a check that nobody could ever decide is a fault.
    """
    screening = screened(name)
    assert len(screening.questions) <= 2
    if not screening.questions:
        assert screening.counts.undetermined == 0


@pytest.mark.parametrize("name", NAMES)
def test_the_sheets_follow_the_schema(name: str) -> None:
    sheet = yaml.safe_load((ROOT / f"{name}.yaml").read_text(encoding="utf-8"))
    jsonschema.validate(sheet, SHEET_SCHEMA)


def test_the_builds_are_of_different_kinds() -> None:
    kinds = [features(name) for name in NAMES]
    assert len(kinds) >= 8
    assert {one["drive"] for one in kinds} == {
        *("series-dc", "separately-excited", "pm-dc", "pm-ac", "induction"),
    }
    assert {one["packs"] for one in kinds} >= {
        "1 in series, 1 in parallel",
        "2 in series, 1 in parallel",
        "1 in series, 2 in parallel",
        "1 in series, 3 in parallel",
    }
    assert {one["region"] for one in kinds} == {"United States", "European Union"}
    assert {one["chemistry"] for one in kinds} == {"lfp", "nmc", "lto"}
    volts = [float(one["battery"].split()[0]) for one in kinds]
    assert min(volts) < 40
    assert max(volts) > 75
    assert {"workplace", "private-wet", "private-dry"} <= {one["place"] for one in kinds}
