"""The commands `fix` and `apply` as processes: forms, files, bad calls."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

SCENARIOS = Path(__file__).parents[1] / "scenarios"
SERIES = SCENARIOS / "two-lots-in-series.yaml"
EQUALISE = "charger-equalises@kept-charger.1"


def advisor(*words: str | Path) -> subprocess.CompletedProcess[str]:
    call = [sys.executable, "-m", "advisor", *map(str, words)]
    return subprocess.run(call, capture_output=True, text=True, check=False, timeout=300)


def test_fixes_as_text_say_what_each_does() -> None:
    ran = advisor("fix", SERIES)
    assert (ran.returncode, ran.stderr) == (0, "")
    for words in (EQUALISE, "writes kept-charger.equalise: no", "clears it", "The smallest set",
                  "No smaller set", "No offered fix clears these", "does not certify"):  # fmt: skip
        assert words in ran.stdout


def test_fixes_as_data() -> None:
    data = json.loads(advisor("fix", SERIES, "--json").stdout)
    fixes = {one["name"]: one for one in data["fixes"]}
    assert fixes[EQUALISE]["clears"] is True
    assert data["smallest"]["proved"] is True and data["smallest"]["level"] == "serious"


def test_a_higher_level_needs_less() -> None:
    few = json.loads(advisor("fix", SERIES, "--json", "--level", "high").stdout)
    many = json.loads(advisor("fix", SERIES, "--json", "--level", "low").stdout)
    assert len(few["smallest"]["fixes"]) <= len(many["smallest"]["fixes"])


def test_apply_shows_a_difference_and_writes_only_when_told(tmp_path: Path) -> None:
    shown = advisor("apply", SERIES, EQUALISE)
    assert shown.returncode == 0 and "nothing written" in shown.stdout
    assert "\n-" in shown.stdout and "\n+" in shown.stdout
    new = tmp_path / "new.yaml"
    wrote = advisor("apply", SERIES, EQUALISE, "-o", new)
    assert wrote.returncode == 0 and f"written to {new}" in wrote.stdout
    old_lines, new_lines = SERIES.read_text().splitlines(), new.read_text().splitlines()
    changed = [(a, b) for a, b in zip(old_lines, new_lines, strict=True) if a != b]
    assert len(changed) == 1 and "equalise: no" in changed[0][1]
    again = advisor("apply", SERIES, EQUALISE, "-o", new)
    assert again.returncode == 2 and "already such a file" in again.stderr


def test_apply_over_keeps_everything_else(tmp_path: Path) -> None:
    own = tmp_path / "own.yaml"
    own.write_bytes(SERIES.read_bytes())
    own.chmod(0o640)
    ran = advisor("apply", own, EQUALISE, "--over")
    assert ran.returncode == 0, ran.stderr
    assert own.stat().st_mode & 0o777 == 0o640
    assert "equalise: no" in own.read_text() and "# " in own.read_text()
    assert sorted(one.name for one in tmp_path.iterdir()) == ["own.yaml"]
    screened = json.loads(advisor("screen", own, "--json").stdout)
    assert "charger-equalises" not in {one["rule"] for one in screened["findings"]}


@pytest.mark.parametrize(
    ("words", "advice"),
    [
        (("charger-equalise",), 'write "charger-equalises"'),
        (("no-balancing-between-packs",), "offers several fixes"),
        (("no-balancing-between-packs@battery.1", "no-balancing-between-packs@battery.2"),
         "at once"),
        ((EQUALISE, "--over", "-o", "x.yaml"), "give one of them"),
        ((EQUALISE, "-o", "/no/such/folder/x.yaml"), "the folder does not exist"),
    ],
)  # fmt: skip
def test_bad_calls_change_nothing(words: tuple[str, ...], advice: str, tmp_path: Path) -> None:
    own = tmp_path / "own.yaml"
    own.write_bytes(SERIES.read_bytes())
    ran = advisor("apply", own, *words)
    assert ran.returncode == 2
    assert advice in ran.stderr and "Traceback" not in ran.stderr
    assert own.read_bytes() == SERIES.read_bytes()


def test_a_sheet_that_cannot_be_read_is_refused() -> None:
    for command in (("fix", "missing.yaml"), ("apply", "missing.yaml", "x")):
        ran = advisor(*command)
        assert ran.returncode == 2 and "missing.yaml" in ran.stderr


def test_open_checks_are_not_passed_over() -> None:
    """A sheet of three facts has nothing to fix, because nobody knows anything about it.

    How many checks are open grows with the rules; both commands must count the same ones.
    """
    ran = advisor("fix", SCENARIOS / "three-facts.yaml")
    number = re.search(r"(\d+) checks that are due cannot be decided yet", ran.stdout)
    assert number is not None
    assert int(number[1]) > 100
    both = advisor("compare", SCENARIOS / "three-facts.yaml", SERIES, "--format", "csv")
    assert f"nothing found, but {number[1]} undecided: no all-clear" in both.stdout


def test_apply_says_what_all_fixes_together_clear_and_break() -> None:
    """A management with a switch of its own is of no use where the charge lead goes past it."""
    sheet = SCENARIOS / "bargain-parts.yaml"
    ran = advisor("apply", sheet, "management-cannot-switch", "charger-equalises")
    assert ran.returncode == 0
    told = " ".join(ran.stdout.split())
    assert "clears charger-equalises on old-charger (high)" in told
    assert "BREAKS current-past-the-management on old-charger (high)" in told


def test_a_difference_of_windows_lines_is_readable(tmp_path: Path) -> None:
    own = tmp_path / "own.yaml"
    own.write_bytes(SERIES.read_bytes().replace(b"\n", b"\r\n"))
    ran = advisor("apply", own, EQUALISE, "--over")
    assert ran.returncode == 0 and "equalise: no\n" in ran.stdout
    old = SERIES.read_bytes().replace(b"      equalise: yes\n", b"      equalise: no\n")
    assert own.read_bytes() == old.replace(b"\n", b"\r\n")


SHOP = """ruleset: own-shop
version: 1.0.0
issued: 2026-11-24
title: Chargers in our shop
changes:
  - {version: 1.0.0, note: first issue}
rules:
  - rule: charger-set-for-our-packs
    about: charger
    stage: order
    title: The charger is not set for our packs
    when: charger.set_voltage > 10 V
    hazard: {kind: damage, severity: marginal, probability: probable}
    finding: "{charger} is set to {charger.set_voltage}."
    because: A mistyped number of a shop stands for one here.
    fixes:
      - do: Set it low.
        set: {charger.set_voltage: -5 V}
    wrong_when: Another pack is charged.
    consult: none
    sources:
      - common practice, no source
    examples:
      - {given: {charger.set_voltage: 58.4 V}, verdict: violated}
      - {given: {charger.set_voltage: 10 V}, verdict: satisfied, boundary: true}
      - {given: {charger.set_voltage: 5 V}, verdict: satisfied}
      - {given: {}, verdict: undetermined}
"""


def test_a_fix_that_makes_the_sheet_invalid_is_refused_with_the_reason(tmp_path: Path) -> None:
    (tmp_path / "own.yaml").write_text(SHOP, encoding="utf-8")
    ran = advisor("fix", SERIES, "--rules", tmp_path, "--json")
    data = json.loads(ran.stdout)
    assert [one["name"] for one in data["refused"]] == ["charger-set-for-our-packs@kept-charger.1"]
    assert "too low for the charge voltage" in data["refused"][0]["reason"]
    assert all(one["rule"] != "charger-set-for-our-packs" for one in data["fixes"])
    text = advisor("fix", SERIES, "--rules", tmp_path).stdout
    assert "Refused, because the sheet would be invalid (1)" in text
    ran = advisor("apply", SERIES, "charger-set-for-our-packs", "--rules", tmp_path)
    assert ran.returncode == 2 and "too low for the charge voltage" in ran.stderr
