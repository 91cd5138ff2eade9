"""What rules conclude, how it meets, and what other rules read of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.engine import Judge, Verdict
from advisor.rules.values import Known, Missing
from tests.rules.making import Cases, book_of, rule_text

V, S, U, N = Verdict.VIOLATED, Verdict.SATISFIED, Verdict.UNDETERMINED, Verdict.NOT_APPLICABLE


def _chain(folder: Path, limit: str = "pack.nominal_voltage > 40 V"):
    return book_of(
        folder,
        rule_text("reader", "battery.may_open and use.children_present", about="use"),
        rule_text("cause", limit, about="pack", more="concludes: battery.may_open"),
    )


def _packs(*volts: float | Known | None):
    rows = {f"pack-{number}": {"pack.nominal_voltage": value} for number, value in enumerate(volts)}
    rows["use"] = {"use.children_present": True}
    return Cases(rows, {"pack": list(rows)[:-1], "use": ["use"]})


@pytest.mark.parametrize(
    ("volts", "verdict", "on_assumption"),
    [
        ((48.0, 36.0), V, False),
        ((36.0, 36.0), S, False),
        ((36.0, None), U, False),
        ((48.0, None), V, False),
        ((36.0, Known(48.0, True)), V, True),
        ((36.0, Known(36.0, True)), S, True),
        ((Known(48.0, True), None), V, True),
        ((), S, False),
    ],
)
def test_conclusions_of_several_parts_meet_by_three_valued_or(
    volts, verdict: Verdict, on_assumption: bool, tmp_path: Path
) -> None:
    book = _chain(tmp_path)
    assert {rule.name: rule.layer for rule in book.rules} == {"reader": 1, "cause": 0}
    (reader,) = [one for one in Judge(book).judge(_packs(*volts)) if one.rule.name == "reader"]
    assert (reader.verdict, reader.on_assumption) == (verdict, on_assumption)


def test_an_unsettled_conclusion_asks_for_the_facts_below_it(tmp_path: Path) -> None:
    judgements = Judge(_chain(tmp_path)).judge(_packs(36.0, None))
    assert judgements[0].rule.name == "reader"
    assert judgements[0].missing == {"pack.nominal_voltage"}


def test_a_conclusion_about_a_part_that_is_not_mentioned_asks_for_the_part(tmp_path: Path) -> None:
    book = book_of(
        tmp_path,
        rule_text(
            "cause",
            "converter.output_current < 10 A",
            about="converter",
            more="concludes: converter.weak",
        ),
        rule_text("reader", "converter.weak", about="load"),
    )
    rows = {
        "horn": {"converter.present": Missing(frozenset({"converter.present"}), "not mentioned")}
    }
    (one,) = Judge(book).judge(Cases(rows, {"load": ["horn"]}))
    assert one.verdict is U
    assert one.missing == {"converter.present"}


def test_not_applicable_concludes_false(tmp_path: Path) -> None:
    book = book_of(
        tmp_path,
        rule_text("reader", "battery.may_open", about="use"),
        rule_text(
            "cause",
            "pack.nominal_voltage > 40 V",
            about="pack",
            applies="pack.chemistry == lfp",
            more="concludes: battery.may_open",
        ),
    )
    rows = {"pack-0": {"pack.nominal_voltage": 48.0, "pack.chemistry": "nmc"}, "use": {}}
    found = Judge(book).judge(Cases(rows, {"pack": ["pack-0"], "use": ["use"]}))
    assert {one.rule.name: one.verdict for one in found} == {"reader": S, "cause": N}
