"""Checks over the whole book without a solver."""

from __future__ import annotations

from pathlib import Path

from advisor.authoring.whole_book import check_covers, unused_attributes, unused_sources
from advisor.rules import load_rulesets
from tests.rules.making import book_of, rule_text

WIDE = rule_text("wide", "battery.full_voltage > 60 V")


def _said(folder: Path, *rules: str) -> list[str]:
    return [f"{one.path}: {one.problem}" for one in check_covers(book_of(folder, *rules))]


def test_the_shipped_covers_have_an_effect() -> None:
    assert check_covers(load_rulesets(examples=False)) == []


def test_a_milder_rule_cannot_cover_a_graver(tmp_path: Path) -> None:
    """Critical and remote is medium, negligible and remote low (MIL-STD-882E Table III)."""
    mild = rule_text("mild", "battery.full_voltage > 80 V", more="covers: [wide]").replace(
        "severity: critical", "severity: negligible"
    )
    assert _said(tmp_path, WIDE, mild) == [
        "mild.covers: wide outranks this rule (medium against low)"
    ]


def test_a_rule_on_another_part_cannot_be_covered(tmp_path: Path) -> None:
    other = rule_text("other", "charger.voltage_max > 1 V", about="charger", more="covers: [wide]")
    other = other.replace("charger.voltage_max", "battery.full_voltage")
    assert _said(tmp_path, WIDE, other) == ["other.covers: wide is about another part"]


def test_an_unused_attribute_is_listed_and_a_used_one_is_not(tmp_path: Path) -> None:
    book = book_of(tmp_path, rule_text("made", "use.region == us"))
    unused = unused_attributes(book)
    assert "use.region" not in unused
    assert "use.trailer_brakes" in unused or "use.wash" in unused
    assert "battery.full_voltage" not in unused  # a formula needs it
    assert not any(one.endswith(".present") for one in unused)


def test_an_unused_source_is_listed(tmp_path: Path) -> None:
    (tmp_path / "sources.yaml").write_text("a-code: {title: A code}\nb-code: {title: B code}\n")
    rule = rule_text("made", "use.region == us").replace(
        '["common practice, no source"]', "[{source: a-code, read: memory}]"
    )
    assert unused_sources(book_of(tmp_path, rule)) == ["b-code"]
