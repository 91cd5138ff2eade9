"""The commands about rules, through the command line: list, show, check, prove, diff, --rules."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from tests.rules.making import HEADER, rule_text
from tests.test_cli import BARGAIN, Advisor, advisor  # noqa: F401  the fixture

ROOT = Path(__file__).parents[1]
RULESETS = str(ROOT / "rulesets")
EXAMPLES = """examples:
      - {given: {controller.absolute_max: 90 V}, verdict: violated}
      - {given: {controller.absolute_max: 80 V}, verdict: satisfied, boundary: true}
      - {given: {}, verdict: undetermined}
"""


def _mine(name: str = "mine", when: str = "controller.absolute_max > 80 V") -> str:
    rule = rule_text(name, when)
    return rule.replace("examples: [{given: {}, verdict: undetermined}]\n", EXAMPLES)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """A folder with one rule of a shop and one acceptance."""
    folder = tmp_path / "shop"
    folder.mkdir()
    accepted = (
        "accepted: [{rule: cable-without-device-in-reach, who: A. Tester, date: 2026-11-20, "
        "reason: Seen on the bench}]\nrules:\n"
    )
    text = HEADER.format(name="shop").replace("rules:\n", accepted) + _mine()
    (folder / "shop.yaml").write_text(text)
    return folder


# -- list, show, check -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("by", "heading"),
    [
        ("family", "Voltage windows on the traction bus (voltage-windows"),
        ("part", "vehicle"),
        ("hazard", "notices, which only inform"),
        ("source", "common practice, no source"),
        ("stage", "handoff"),
    ],
)
def test_lists_in_every_order(by: str, heading: str, advisor: Advisor) -> None:  # noqa: F811
    ran = advisor("rules", "list", "--by", by)
    assert ran.code == 0
    assert any(line.startswith(heading) for line in ran.out.splitlines())
    assert "controller-destroyed-when-full" in ran.out


def test_own_rules_are_listed_shown_and_checked(advisor: Advisor, shop: Path) -> None:  # noqa: F811
    assert "  mine\n" in advisor("rules", "list", "--rules", str(shop)).out
    assert "added by --rules" in advisor("rules", "show", "mine", "--rules", str(shop)).out
    ran = advisor("rules", "check", "--rules", str(shop))
    assert (ran.code, ran.err) == (0, "")
    assert advisor("rules", "show", "mine").code == 2


def test_a_wrong_example_of_an_own_rule(advisor: Advisor, shop: Path) -> None:  # noqa: F811
    file = shop / "shop.yaml"
    file.write_text(
        file.read_text().replace("90 V}, verdict: violated", "70 V}, verdict: violated")
    )
    ran = advisor("rules", "check", "--rules", str(shop))
    assert ran.code == 2
    assert "shop.yaml" in ran.err
    assert "mine.examples[1]: is satisfied, not violated" in ran.err


def test_unused_attributes_are_a_report_and_no_error(advisor: Advisor) -> None:  # noqa: F811
    ran = advisor("rules", "check", "--unused")
    assert ran.code == 0
    assert "no rule and no formula reads " in ran.out


def test_proofs(advisor: Advisor, shop: Path) -> None:  # noqa: F811
    pytest.importorskip("z3")
    ran = advisor("rules", "check", "--proofs", "--rules", str(shop))
    assert ran.code == 2  # its rating stands on the wrong side
    assert "mine: a higher controller.absolute_max can make it worse" in ran.err
    ran = advisor("rules", "check", "--proofs")
    assert (ran.code, ran.err) == (0, "")
    assert "questions to the solver" in ran.out


def test_proofs_without_the_solver(
    advisor: Advisor, monkeypatch: pytest.MonkeyPatch  # noqa: F811
) -> None:  # fmt: skip
    from advisor.proofs import formulas

    monkeypatch.setattr(formulas, "AVAILABLE", False)
    for call in (("rules", "check", "--proofs"), ("rules", "prove", "no-soft-start")):
        ran = advisor(*call)
        assert (ran.code, ran.out) == (2, "")
        assert "the solver z3 is not installed; run: pip install" in ran.err
    assert advisor("rules", "check").code == 0


def test_prove(advisor: Advisor) -> None:  # noqa: F811
    pytest.importorskip("z3")
    ran = advisor("rules", "prove", "charger-equalises-unstopped")
    assert ran.code == 0
    assert "Can it be violated? Yes.\n  Such as: " in ran.out
    assert (
        "Can charger-equalises-unstopped be violated where charger-equalises is not? "
        "No, proven for all values within the declared ranges."
    ) in ran.out
    ran = advisor("rules", "prove", "no-soft-start", "no-soft-stat")
    assert ran.code == 2
    assert 'write "no-soft-start"' in ran.err


# -- diff ------------------------------------------------------------------------------------------


def test_diff_of_the_same(advisor: Advisor) -> None:  # noqa: F811
    ran = advisor("rules", "diff", RULESETS, RULESETS)
    assert ran.code == 0
    assert "Came (0)" in ran.out
    assert "(0)" in ran.out.split("Verdicts that differ")[1]


def test_diff_of_two_folders_as_data(advisor: Advisor, tmp_path: Path) -> None:  # noqa: F811
    for name, when in (("old", "controller.absolute_max > 80 V"), ("new", "battery.lithium")):
        (tmp_path / name).mkdir()
        text = HEADER.format(name="made") + rule_text("same", when)
        (tmp_path / name / "made.yaml").write_text(text)
    ran = advisor("rules", "diff", str(tmp_path / "old"), str(tmp_path / "new"), "--json")
    assert ran.code == 0
    data = json.loads(ran.out)
    assert [one["rule"] for one in data["changed_meaning"]] == ["same"]
    assert data["rulesets"][0]["version_not_raised"] is True
    assert data["verdicts"]


def test_diff_with_a_broken_and_a_missing_one(advisor: Advisor, tmp_path: Path) -> None:  # noqa: F811
    (tmp_path / "made.yaml").write_text(HEADER.format(name="made") + rule_text("a", "battery.x"))
    ran = advisor("rules", "diff", str(tmp_path), RULESETS)
    assert (ran.code, ran.out) == (2, "")
    assert "made.yaml:14:11" in ran.err
    assert advisor("rules", "diff", "no-such-version", RULESETS).code == 2


# -- --rules on the other commands -----------------------------------------------------------------


def test_own_rules_are_judged_and_acceptances_printed(advisor: Advisor, shop: Path) -> None:  # noqa: F811
    ran = advisor("screen", BARGAIN, "--rules", str(shop), "--width", "300")
    assert ran.code == 1
    assert "Reviewed, accepted by A. Tester on 2026-11-20: Seen on the bench." in ran.out
    assert "Own rulesets, added by --rules: shop 1.0.0." in ran.out
    plain = advisor("screen", BARGAIN, "--width", "300")
    assert ran.out.count("Rule: cable-without-device") == plain.out.count(
        "Rule: cable-without-device"
    )
    data = json.loads(advisor("screen", BARGAIN, "--rules", str(shop), "--json").out)
    assert {"mine"} <= {one["rule"] for one in data["rules"]}
    schema = json.loads((ROOT / "docs" / "report.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(data)


def test_explain_says_who_accepted(advisor: Advisor, shop: Path) -> None:  # noqa: F811
    call = ("explain", BARGAIN, "cable-without-device-in-reach", "--about", "charger-plus")
    ran = advisor(*call, "--rules", str(shop), "--width", "200")
    assert ran.code == 0
    assert "Reviewed, accepted by A. Tester" in ran.out
    data = json.loads(advisor(*call, "--rules", str(shop), "--format", "json").out)
    assert data["accepted"][0]["who"] == "A. Tester"
    assert data["basis"]["rulesets"][-1] == {"name": "shop", "version": "1.0.0", "own": True}
    schema = json.loads((ROOT / "docs" / "explanation.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator(schema).validate(data)


@pytest.mark.parametrize(
    "call",
    [
        ("screen", BARGAIN),
        ("explain", BARGAIN, "1"),
        ("fix", BARGAIN),
        ("fix", BARGAIN, "--catalogue", str(ROOT / "scenarios" / "catalogue")),
        ("apply", BARGAIN, "x"),
        ("compare", BARGAIN, BARGAIN),
        ("wiring", BARGAIN, "--size"),
        ("diagram", BARGAIN, "-o", "never.svg"),
        ("rules", "list"),
        ("rules", "check"),
    ],
)
def test_nothing_runs_with_half_a_ruleset(
    call: tuple[str, ...], advisor: Advisor, shop: Path  # noqa: F811
) -> None:  # fmt: skip
    file = shop / "shop.yaml"
    file.write_text(file.read_text() + _mine("other", "controller.absolute_maxx > 80 V"))
    ran = advisor(*call, "--rules", str(shop))
    assert (ran.code, ran.out) == (2, "")
    assert 'other.when: a controller has no "absolute_maxx"; write "absolute_max"' in ran.err
    assert "1 problem" in ran.err
