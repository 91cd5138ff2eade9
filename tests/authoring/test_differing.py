"""Two books compared: each change is made on purpose, one at a time."""

from __future__ import annotations

from pathlib import Path

from advisor.authoring.differing import NO_RULE, compare_books
from advisor.facts import Facts, facts_of
from advisor.report.rule_changes import changes_data, render_changes
from advisor.rules import RuleBook, load_rulesets
from advisor.sheet.reading import read_sheet_bytes
from tests.rules.making import HEADER, rule_text

SAME = rule_text("same", "battery.lithium")
LIMIT = rule_text("limit", "controller.absolute_max > 60 V")


def _book(folder: Path, *rules: str, version: str = "1.0.0") -> RuleBook:
    folder.mkdir(exist_ok=True)
    head = HEADER.format(name="made").replace("1.0.0", version)
    (folder / "made.yaml").write_text(head + "".join(rules))
    return load_rulesets(folder, examples=False)


def _sheet() -> list[tuple[str, Facts]]:
    sheet = b"sheet: 1\nparts: {controllers: [{id: drive, absolute_max: 70 V}]}\n"
    return [("one", facts_of(read_sheet_bytes(sheet, "sheet.yaml")))]


def test_what_came_went_and_changed(tmp_path: Path) -> None:
    old = _book(tmp_path / "old", SAME, LIMIT, rule_text("gone", "use.region == us"))
    new = _book(
        tmp_path / "new",
        SAME.replace("title: A made rule", "title: Said better"),
        LIMIT.replace("60 V", "80 V"),
        rule_text("fresh", "controller.absolute_max > 65 V"),
        version="1.1.0",
    )
    found = compare_books(old, new, _sheet())
    names = [
        [rule.name for rule in rules]
        for rules in (found.came, found.went, found.meaning, found.wording)
    ]
    assert names == [["fresh"], ["gone"], ["limit"], ["same"]]
    assert [(one.before, one.after, one.forgotten) for one in found.rulesets] == [
        ("1.0.0", "1.1.0", False)
    ]
    assert [(one.rule, one.about, one.before, one.after) for one in found.verdicts] == [
        ("fresh", "drive", NO_RULE, "violated"),
        ("limit", "drive", "violated", "satisfied"),
    ]


def test_a_version_that_was_not_raised_is_told(tmp_path: Path) -> None:
    old, new = _book(tmp_path / "old", LIMIT), _book(tmp_path / "new", SAME, LIMIT)
    found = compare_books(old, new)
    assert [one.forgotten for one in found.rulesets] == [True]
    assert "it is still 1.0.0; raise the version" in render_changes(found, "old", "new", 100)


def test_a_fix_that_sets_something_else_changes_the_wording(tmp_path: Path) -> None:
    fix = "fixes: [{{do: Fit another., set: {{controller.absolute_max: {}}}}}]"
    old, new = (
        _book(tmp_path / name, LIMIT.replace("no_fix: It is made up.", fix.format(name)))
        for name in ("50 V", "55 V")
    )
    found = compare_books(old, new)
    assert [rule.name for rule in found.wording] == ["limit"]
    assert found.meaning == ()


def test_nothing_differs(tmp_path: Path) -> None:
    book = _book(tmp_path / "old", SAME, LIMIT)
    found = compare_books(book, _book(tmp_path / "new", SAME, LIMIT), _sheet())
    assert changes_data(found, "a", "b") == {
        "format": "conversion-advisor-rule-changes",
        "version": "1.0",
        "old": "a",
        "new": "b",
        "came": [],
        "went": [],
        "changed_meaning": [],
        "changed_wording": [],
        "rulesets": [],
        "sheets": 1,
        "verdicts": [],
    }


def test_text_and_data_name_the_same(tmp_path: Path) -> None:
    old, new = _book(tmp_path / "old", LIMIT), _book(tmp_path / "new", SAME)
    found = compare_books(old, new, _sheet())
    text, data = render_changes(found, "a", "b", 80), changes_data(found, "a", "b")
    for part in ("came", "went"):
        for one in data[part]:
            assert one["rule"] in text
    assert "retired.yaml" in text
    assert max(map(len, text.splitlines())) <= 80
