"""Rulesets of a shop: they add and accept, and never change or silence what is shipped."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.acceptance import Acceptance, accepted_for, is_date
from advisor.problems import ProblemsFoundError
from advisor.rules import RuleBook, check_examples, load_rulesets
from tests.rules.making import HEADER, rule_text

SHIPPED = rule_text("shipped", "battery.full_voltage > 60 V", more="concludes: battery.too_high")
ACCEPTED = """accepted:
  - {rule: shipped, about: drive, who: A. Tester, date: 2026-11-20, reason: Measured at 59 V}
"""


def _book(folder: Path, *own: str, text: str = "", name: str = "shop") -> RuleBook:
    shipped = folder / "shipped"
    shipped.mkdir(exist_ok=True)
    (shipped / "made.yaml").write_text(HEADER.format(name="made") + SHIPPED)
    (shipped / "sources.yaml").write_text("a-code: {title: A code}\n")
    mine = folder / "own"
    mine.mkdir(exist_ok=True)
    (mine / "shop.yaml").write_text(text or HEADER.format(name=name) + "".join(own))
    return load_rulesets(shipped, own=mine)


def _refused(folder: Path, *own: str, **more: str) -> list[str]:
    with pytest.raises(ProblemsFoundError) as caught:
        _book(folder, *own, **more)
    for one in caught.value.problems:
        assert one.place.line > 0, one
        assert one.file.endswith("own/shop.yaml"), one
    return [f"{one.path}: {one.problem}" for one in caught.value.problems]


def test_a_rule_of_a_shop_is_added(tmp_path: Path) -> None:
    alone = _book(tmp_path, rule_text("mine", "battery.lithium"))
    assert [rule.name for rule in alone.rules] == ["shipped", "mine"]
    assert [one.own for one in alone.rulesets] == [False, True]
    without = load_rulesets(tmp_path / "shipped")
    assert alone.fingerprint != without.fingerprint
    assert alone.rules[0] == without.rules[0]


def test_it_may_read_what_a_shipped_rule_concludes_and_cite_its_sources(tmp_path: Path) -> None:
    mine = rule_text("mine", "battery.too_high and battery.lithium").replace(
        '["common practice, no source"]', "[{source: a-code, read: memory}]"
    )
    book = _book(tmp_path, mine)
    assert book.rules[1].layer == 1
    assert book.rules[1].sources[0].title == "A code"


def test_its_examples_are_judged_the_same_way(tmp_path: Path) -> None:
    rule = _book(tmp_path, rule_text("mine", "battery.lithium")).rules[1]
    assert "no example is violated" in " ".join(str(one) for one in check_examples(rule))


def test_the_name_of_a_shipped_rule_is_refused(tmp_path: Path) -> None:
    assert _refused(tmp_path, rule_text("shipped", "battery.lithium")) == [
        "shipped: this name is used in made.yaml:9"
    ]


def test_the_name_of_a_shipped_ruleset_is_refused(tmp_path: Path) -> None:
    assert _refused(tmp_path, rule_text("mine", "battery.lithium"), name="made") == [
        "ruleset: made is also the name of made.yaml"
    ]


def test_covering_a_shipped_rule_is_refused(tmp_path: Path) -> None:
    (said,) = _refused(tmp_path, rule_text("mine", "battery.lithium", more="covers: [shipped]"))
    assert said.startswith("mine.covers: shipped is a shipped rule of made; an own rule cannot")


def test_concluding_what_a_shipped_rule_concludes_is_refused(tmp_path: Path) -> None:
    more = "concludes: battery.too_high"
    (said,) = _refused(tmp_path, rule_text("mine", "battery.lithium", more=more))
    assert said.startswith("mine.concludes: battery.too_high is concluded by the shipped rule")


def test_an_attribute_cannot_be_concluded_over(tmp_path: Path) -> None:
    more = "concludes: battery.lithium"
    (said,) = _refused(tmp_path, rule_text("mine", "use.region == us", more=more))
    assert said == "mine.concludes: battery.lithium is an attribute"


def test_a_key_of_a_shipped_source_is_refused(tmp_path: Path) -> None:
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / "sources.yaml").write_text("a-code: {title: Another}\n")
    with pytest.raises(ProblemsFoundError, match="a-code: is also the key of a shipped source"):
        _book(tmp_path, rule_text("mine", "battery.lithium"))


def test_a_missing_and_an_empty_folder(tmp_path: Path) -> None:
    for name in ("none", "x" * 5000, "a\0b"):
        with pytest.raises(ProblemsFoundError, match="no such folder"):
            load_rulesets(own=tmp_path / name)
    with pytest.raises(ProblemsFoundError, match="no rulesets in it"):
        load_rulesets(own=tmp_path)


def test_nothing_runs_with_half_of_a_ruleset(tmp_path: Path) -> None:
    said = _refused(
        tmp_path, rule_text("good", "battery.lithium"), rule_text("bad", "battery.lithum")
    )
    assert said == ['bad.when: a battery has no "lithum"']


# -- accepted --------------------------------------------------------------------------------------


def _accepting(text: str, rules: str = "") -> str:
    head = HEADER.format(name="shop")
    return head.replace("rules:\n", text + (f"rules:\n{rules}" if rules else ""))


def test_a_finding_can_be_accepted_without_a_rule(tmp_path: Path) -> None:
    book = _book(tmp_path, text=_accepting(ACCEPTED))
    assert book.accepted == (
        Acceptance("shipped", "drive", "A. Tester", "2026-11-20", "Measured at 59 V"),
    )
    assert [rule.name for rule in book.rules] == ["shipped"]
    assert book.fingerprint != load_rulesets(tmp_path / "shipped").fingerprint


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("rule: shipped", "rule: shiped", 'accepted: there is no rule "shiped"'),
        ("who: A. Tester, ", "", "accepted[1].who: is missing"),
        ("reason: Measured at 59 V", "reason: ' '", "accepted[1].reason: is empty"),
        ("2026-11-20", "2026-11-31", 'accepted[1].date: "2026-11-31" is no date'),
        ("2026-11-20", "20.11.2026", 'accepted[1].date: "20.11.2026" is no date'),
        ("about: drive", "part: drive", "accepted[1].part: is no key here"),
    ],
)
def test_mistakes_in_acceptances(old: str, new: str, says: str, tmp_path: Path) -> None:
    assert says in _refused(tmp_path, text=_accepting(ACCEPTED.replace(old, new)))


def test_shipped_rulesets_accept_nothing(tmp_path: Path) -> None:
    (tmp_path / "made.yaml").write_text(_accepting(ACCEPTED, SHIPPED))
    with pytest.raises(ProblemsFoundError, match="accepted: is no key here"):
        load_rulesets(tmp_path)


def test_which_acceptances_speak_of_a_finding() -> None:
    one = Acceptance("a", "", "X", "2026-11-20", "because")
    other = Acceptance("a", "left", "Y", "2026-11-20", "because")
    assert accepted_for((one, other), "a", "left") == (one, other)
    assert accepted_for((one, other), "a", "right") == (one,)
    assert accepted_for((one, other), "b", "left") == ()
    assert one.sentence().endswith("because. The finding stands.")


@pytest.mark.parametrize("text", ["2026-02-29", "2026-1-1", "20260101", "today", ""])
def test_what_is_no_date(text: str) -> None:
    assert not is_date(text)
