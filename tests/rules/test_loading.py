"""Loading rulesets: every mistake has a message with its place, and good ones come out whole."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.problems import ProblemsFoundError
from advisor.rules import check_examples, examples_of, find_rulesets, load_rulesets
from advisor.rules.rule import Rule
from advisor.rules.texts import PartOf
from tests.rules.making import HEADER, book_of, rule_text

BAD = sorted((Path(__file__).parent / "bad").glob("*.yaml"))
SOURCES = "a-code: {title: A code, edition: 2020, publisher: A body, note: read in part}\n"


def test_there_are_many_bad_rulesets() -> None:
    assert len(BAD) >= 25


@pytest.mark.parametrize("file", BAD, ids=lambda file: file.stem)
def test_a_bad_ruleset_says_what_is_wrong_and_where(file: Path) -> None:
    """The first lines of each file say which message it must give, and it gives no other."""
    lines = file.read_text(encoding="utf-8").splitlines()
    wanted = [line.removeprefix("# says: ") for line in lines if line.startswith("# says: ")]
    with pytest.raises(ProblemsFoundError) as caught:
        load_rulesets([file])
    said = [str(one).removeprefix(f"{file}:") for one in caught.value.problems]
    assert len(said) == len(wanted), said
    for message, start in zip(said, wanted, strict=True):
        assert message.startswith(start), said
        if len(wanted) == 1:
            assert message == start


def test_problems_of_all_files_come_at_once(tmp_path: Path) -> None:
    for name in ("one", "two"):
        text = HEADER.format(name=name) + rule_text(f"{name}-rule", "battery.lithum")
        (tmp_path / f"{name}.yaml").write_text(text)
    (tmp_path / "three.yaml").write_bytes(b"\xff")
    (tmp_path / "sources.yaml").write_text("A_key: {titel: x}\n")
    with pytest.raises(ProblemsFoundError) as caught:
        load_rulesets(tmp_path)
    files = [Path(one.file).name for one in caught.value.problems]
    assert files == [
        "one.yaml",
        "sources.yaml",
        "sources.yaml",
        "three.yaml",
        "two.yaml",
    ]


def test_a_missing_file_and_an_empty_folder(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFoundError, match="no such file"):
        load_rulesets([tmp_path / "none.yaml"])
    with pytest.raises(ProblemsFoundError, match="no rulesets"):
        load_rulesets(tmp_path)


def _one(folder: Path, *, sources: str = SOURCES, **changes: str) -> Rule:
    text = HEADER.format(name="made") + rule_text(
        "made", "battery.full_voltage > controller.absolute_max"
    )
    for old, new in changes.values():  # type: ignore[misc]
        assert old in text
        text = text.replace(old, new)
    (folder / "made.yaml").write_text(text)
    (folder / "sources.yaml").write_text(sources)
    (rule,) = load_rulesets(folder).rules
    return rule


def test_a_rule_comes_out_whole(tmp_path: Path) -> None:
    rule = _one(
        tmp_path,
        finding=(
            "Something is wrong with {controller}.",
            "The {controller} gets {battery.full_voltage}",
        ),
        sources_=(
            '["common practice, no source"]',
            "[{source: a-code, clause: '4.2', read: memory}]",
        ),
        fix=(
            "no_fix: It is made up.",
            "fixes:\n      - do: Fit one for {battery.full_voltage}.\n"
            "        set: {controller.absolute_max: battery.full_voltage}",
        ),
    )
    assert rule.about == ("controller",)
    assert (rule.hazard.kind, rule.hazard.severity, rule.hazard.probability) == (
        "fire",
        "critical",
        "remote",
    )
    assert [name.written for name in rule.reads] == [
        "battery.full_voltage",
        "controller.absolute_max",
    ]
    assert rule.finding.parts[1] == PartOf("self")
    filled = rule.finding.fill(lambda name: f"<{name.written}>", lambda reach: f"[{reach}]")
    assert filled == "The [self] gets <battery.full_voltage>"
    (source,) = rule.sources
    assert (source.title, source.edition, source.clause, source.read) == (
        "A code",
        "2020",
        "4.2",
        "memory",
    )
    assert not rule.common_practice
    ((change,),) = (fix.changes for fix in rule.fixes)
    assert change.name.written == "controller.absolute_max"
    assert change.value.written == "battery.full_voltage"
    assert rule.layer == 0


def test_a_quote_in_a_text_is_not_a_format(tmp_path: Path) -> None:
    for hole in ("{battery.__class__}", "{0}", "{battery.full_voltage!r}", "{}", "{{battery}}"):
        with pytest.raises(ProblemsFoundError, match=r"made\.finding"):
            _one(tmp_path, finding=("Something is wrong with {controller}.", f'"{hole}"'))


def test_the_meaning_and_the_wording_have_fingerprints_of_their_own(tmp_path: Path) -> None:
    first = _one(tmp_path)
    same = _one(tmp_path, title=("A made rule", "A made rule"))
    worded = _one(tmp_path, title=("A made rule", "Another title"))
    meant = _one(tmp_path, hazard=("critical", "marginal"))
    spaced = _one(tmp_path, when=("battery.full_voltage >", "battery.full_voltage  >"))
    assert (same.meaning, same.wording) == (first.meaning, first.wording)
    assert worded.meaning == first.meaning
    assert worded.wording != first.wording
    assert meant.meaning != first.meaning
    assert meant.wording == first.wording
    assert spaced.meaning == first.meaning
    assert all(len(one) == 12 for one in (first.meaning, first.wording))


def test_layers_follow_what_is_read(tmp_path: Path) -> None:
    book = book_of(
        tmp_path,
        rule_text("third", "controller.worse", more="concludes: controller.worst"),
        rule_text("first", "battery.lithium", more="concludes: controller.bad"),
        rule_text("second", "controller.bad", more="concludes: controller.worse"),
        rule_text("fourth", "controller.worst and controller.bad"),
    )
    assert {rule.name: rule.layer for rule in book.rules} == {
        "first": 0,
        "second": 1,
        "third": 2,
        "fourth": 3,
    }


def test_a_misspelt_conclusion_gets_the_nearest_one(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFoundError, match=r'write "controller\.overvolted"'):
        book_of(
            tmp_path,
            rule_text("first", "battery.lithium", more="concludes: controller.overvolted"),
            rule_text("second", "controller.overvoltet"),
        )


def test_a_rule_without_hazard_only_concludes(tmp_path: Path) -> None:
    rule = _one(
        tmp_path,
        hazard=(
            "hazard: {kind: fire, severity: critical, probability: remote}\n",
            "concludes: battery.big\n",
        ),
        finding=("    finding: Something is wrong with {controller}.\n", ""),
        fix=("    no_fix: It is made up.\n", ""),
    )
    assert rule.hazard is None
    assert (rule.concludes, rule.concludes_on) == ("battery.big", "battery")


def test_a_rule_about_a_trait(tmp_path: Path) -> None:
    book = book_of(
        tmp_path,
        rule_text("weak", "device.rating < device.current_needed", about="device"),
        rule_text(
            "thin", "part.current_carried > part.current_rating", about="[disconnect, bus_bar]"
        ).replace("{[disconnect, bus_bar]}", "{part}"),
    )
    assert [rule.about for rule in book.rules] == [("fuse", "breaker"), ("disconnect", "bus_bar")]
    assert all(name.reach == "self" for rule in book.rules for name in rule.reads)


# -- examples --------------------------------------------------------------------------------------

EXAMPLES = """examples:
      - {given: {battery.full_voltage: 58.8 V, controller.absolute_max: 57 V}, verdict: violated}
      - {given: {battery.full_voltage: 57 V, controller.absolute_max: 57 V}, verdict: satisfied,
         boundary: true, note: exactly at the limit}
      - {given: {battery.full_voltage: 58.8 V}, verdict: undetermined}
"""
EMPTY = "examples: [{given: {}, verdict: undetermined}]\n"


def test_examples_are_read_on_request_and_checked(tmp_path: Path) -> None:
    rule = _one(tmp_path, examples=(EMPTY, EXAMPLES))
    first, second, third = examples_of(rule)
    assert first.given == {"battery.full_voltage": 58.8, "controller.absolute_max": 57.0}
    assert (second.boundary, second.note) == (True, "exactly at the limit")
    assert third.verdict == "undetermined"
    assert check_examples(rule) == []


def test_a_wrong_example_is_named(tmp_path: Path) -> None:
    wrong = EXAMPLES.replace("57 V}, verdict: violated", "63 V}, verdict: violated")
    rule = _one(tmp_path, examples=(EMPTY, wrong))
    (problem,) = check_examples(rule)
    assert problem.problem == "is satisfied, not violated"
    assert problem.path == "made.examples[1]"
    assert problem.place.line > 1


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("57 V}, verdict: violated", "57}, verdict: violated", '"57" has no unit'),
        ("battery.full_voltage: 58.8 V, ", "battery.fullvoltage: 58.8 V, ", "is no key here"),
        ("verdict: violated", "verdict: bad", '"bad" is not known'),
        ("verdict: violated", "verdict: satisfied", "no example is violated"),
        ("{given: {battery.full_voltage: 58.8 V}, ", "{", "names and values are wanted here"),
    ],
)
def test_mistakes_in_examples(old: str, new: str, says: str, tmp_path: Path) -> None:
    rule = _one(tmp_path, examples=(EMPTY, EXAMPLES.replace(old, new)))
    assert says in " ".join(str(one) for one in check_examples(rule))


def test_the_rulesets_are_found_beside_the_package() -> None:
    assert find_rulesets().is_dir()
    assert find_rulesets().name == "rulesets"


def test_folders_inside_are_read_with_the_sources_beside_them(tmp_path: Path) -> None:
    (tmp_path / "inner").mkdir()
    (tmp_path / "sources.yaml").write_text(SOURCES)
    for folder, name in ((tmp_path, "outer"), (tmp_path / "inner", "inner")):
        text = HEADER.format(name=name) + rule_text(f"{name}-rule", "battery.lithium")
        (folder / f"{name}.yaml").write_text(text)
    book = load_rulesets(tmp_path)
    assert {one.name for one in book.rulesets} == {"outer", "inner"}
    assert set(book.sources) == {"a-code"}


def test_a_name_is_unique_over_the_folders_too(tmp_path: Path) -> None:
    (tmp_path / "inner").mkdir()
    for folder, name in ((tmp_path, "outer"), (tmp_path / "inner", "inner")):
        text = HEADER.format(name=name) + rule_text("one-rule", "battery.lithium")
        (folder / f"{name}.yaml").write_text(text)
    with pytest.raises(ProblemsFoundError, match="names are unique over all rulesets"):
        load_rulesets(tmp_path)
