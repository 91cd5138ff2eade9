"""A finding that somebody accepted stays a finding; text and JSON say who, when and why."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema

from advisor.engine import Judge
from advisor.findings.report_model import Screening
from advisor.findings.risk import Level
from advisor.findings.screening import screen
from advisor.report.data import as_data
from advisor.report.provenance import basis_data, basis_sentences, with_basis
from advisor.report.text import render
from advisor.rules import load_rulesets
from advisor.sheet.reading import read_sheet_bytes
from tests.findings.making import HEADER, SOURCES, rule

ROOT = Path(__file__).parents[2]
SCHEMA = json.loads((ROOT / "docs" / "report.schema.json").read_text(encoding="utf-8"))
SHEET = (
    b"sheet: 1\nparts: {controllers: [{id: left, absolute_max: 70 V}, "
    b"{id: right, absolute_max: 75 V}]}\n"
)
SHOP = """ruleset: shop
version: 2.1.0
issued: 2026-11-24
title: Of a shop
changes: [{version: 2.1.0, note: first}]
accepted:
  - {rule: a, about: left, who: A. Tester, date: 2026-11-20, reason: Its maker states 80 V}
  - {rule: milder, who: B. Tester, date: 2026-11-21, reason: Seen.}
"""


def _screened(folder: Path, shop: str = SHOP) -> Screening:
    shipped, own = folder / "shipped", folder / "own"
    shipped.mkdir()
    own.mkdir()
    (shipped / "sources.yaml").write_text(SOURCES)
    a = rule(
        "a", "controller.absolute_max > 60 V", risk="critical probable", more="covers: [milder]"
    )
    mild = rule("milder", "controller.absolute_max > 50 V", risk="marginal remote")
    (shipped / "made.yaml").write_text(HEADER + a + mild)
    (own / "shop.yaml").write_text(shop)
    book = load_rulesets(shipped, own=own if shop else None)
    build = read_sheet_bytes(SHEET, "sheet.yaml")
    return screen(build, book, Judge(book, use_engine=False))


def test_the_text_says_it_beside_the_finding(tmp_path: Path) -> None:
    found = _screened(tmp_path)
    assert [one.about for one in found.findings] == ["right", "left"]
    text = render(found, "si", 400)
    sentence = "Reviewed, accepted by A. Tester on 2026-11-20: Its maker states 80 V. The finding"
    assert text.count(sentence) == 1
    assert text.index("a on left") > text.index(sentence) > text.index("a on right")
    assert text.count("milder: Reviewed, accepted by B. Tester on 2026-11-21: Seen. The") == 2
    assert "Own rulesets, added by --rules: shop 2.1.0." in text
    assert "accept 2 findings by name" in text


def test_nothing_else_changes(tmp_path: Path) -> None:
    (tmp_path / "1").mkdir()
    (tmp_path / "2").mkdir()
    accepted, plain = _screened(tmp_path / "1"), _screened(tmp_path / "2", "")
    assert accepted.counts == plain.counts
    assert accepted.at_or_above(Level.HIGH)
    assert [(one.rule.name, one.about, one.level) for one in accepted.findings] == [
        (one.rule.name, one.about, one.level) for one in plain.findings
    ]
    note = "Note:"
    lines = [one for one in render(accepted, "si", 400).splitlines() if note not in one]
    missing = [one for one in render(plain, "si", 400).splitlines() if one not in lines]
    assert all(one.startswith("Fingerprints") for one in missing), missing


def test_the_data_says_it_and_follows_the_schema(tmp_path: Path) -> None:
    data = as_data(_screened(tmp_path), "si")
    jsonschema.Draft202012Validator(SCHEMA).validate(json.loads(json.dumps(data)))
    right, left = data["findings"]
    assert right["accepted"] == []
    assert left["accepted"] == [
        {"who": "A. Tester", "date": "2026-11-20", "reason": "Its maker states 80 V"}
    ]
    assert left["milder"][0]["accepted"][0]["who"] == "B. Tester"
    assert data["rulesets"] == [
        {"name": "made", "version": "1.0.0", "own": False},
        {"name": "shop", "version": "2.1.0", "own": True},
    ]


def test_every_rule_has_its_two_fingerprints_in_the_data(tmp_path: Path) -> None:
    found = _screened(tmp_path)
    data = as_data(found, "si")
    assert [one["rule"] for one in data["rules"]] == [one.name for one in found.book.rules]
    for one, rule_ in zip(data["rules"], found.book.rules, strict=True):
        assert (one["meaning"], one["wording"]) == (rule_.meaning, rule_.wording)


def test_the_foot_of_every_other_report(tmp_path: Path) -> None:
    book = _screened(tmp_path).book
    data = basis_data(book)
    foot = " ".join(basis_sentences(book))
    for key in ("rules", "meaning", "wording", "vocabulary", "tables"):
        assert len(data[key]) == 12
        assert data[key] in foot
    text = with_basis("A report\n", book, 60)
    assert text.startswith("A report\n\nRulesets: made 1.0.0.\n")
    assert max(map(len, text.splitlines())) <= 60
