"""What would decide an open check, in words: facts to find out, and what to draw in the plan."""

from __future__ import annotations

from pathlib import Path

from advisor.engine import Judge
from advisor.findings.screening import screen
from advisor.handoff.model import Review, gathered
from advisor.handoff.review import review
from advisor.rules import RuleBook
from advisor.sheet.reading import read_sheet_bytes
from advisor.wiring.survey import surveyed
from tests.findings.making import book, rule
from tests.handoff.test_review import EMPTY, SHEET

RISK = "critical occasional"
PLAN = """  key_switches: [{{id: key-a}}]
  contactors: [{{id: main, role: main}}]
wiring:
  - {{id: plus, from: pack-1.plus, to: {plus}}}
  - {{id: minus, from: drive.minus, to: pack-1.minus}}
"""


def reviewed(rules: RuleBook, more: str) -> Review:
    text = SHEET.format(full="50 V", more=more)
    build = read_sheet_bytes(text.encode(), "sheet.yaml")
    judge = Judge(rules, use_engine=False)
    return review(screen(build, rules, judge, "handoff", facts=surveyed(build)), EMPTY, rules)


def asked(folder: Path, more: str, *names: tuple[str, str]) -> dict[str, str]:
    """What is asked for a condition about a subject, by the name of its rule."""
    rules = [
        rule(f"made-{number}", when, about=about, risk=RISK)
        for number, (about, when) in enumerate(names)
    ]
    found = reviewed(book(folder, *rules), more)
    return {one.rule: one.ask for one in found.obstacles}


def test_a_terminal_without_a_cable_is_named(tmp_path: Path) -> None:
    found = asked(
        tmp_path,
        PLAN.format(plus="drive.plus"),
        ("controller", "controller.key_line_fed_key_off"),
        ("contactor", "contactor.coil_fed_key_off"),
        ("contactor", "contactor.contact_bridged"),
    )
    assert found == {
        "made-0": "In the plan no cable ends at drive.key. Draw what does.",
        "made-1": "In the plan no cable ends at main.coil-plus and main.coil-minus. "
        "Draw what does.",
        "made-2": "In the plan no cable ends at main.in and main.out. Draw what does.",
    }


def test_a_part_that_gets_no_voltage_says_where_to_look(tmp_path: Path) -> None:
    more = PLAN.format(plus="main.in") + "  - {id: on, from: drive.plus, to: key-a.in}\n"
    found = asked(tmp_path, more, ("controller", "controller.fed_key_off"))
    assert found == {
        "made-0": "By the plan it gets no voltage; look at drive.plus. Draw what is missing."
    }


def test_a_run_without_ends_is_asked_for_them(tmp_path: Path) -> None:
    more = PLAN.format(plus="drive.plus") + "  - {id: loose, circuit: traction}\n"
    found = asked(tmp_path, more, ("run", "run.dead_end_live"))
    assert set(found.values()) == {"Say under `wiring:` from which terminal to which it goes."}


def test_a_short_comes_before_what_it_hides(tmp_path: Path) -> None:
    more = PLAN.format(plus="drive.plus") + "  - {id: short, from: pack-1.plus, to: pack-1.minus}\n"
    found = asked(tmp_path, more, ("run", "run.current_peak > 5 A"))
    assert found["made-0"].startswith("The cables of the plan short a source")


def test_only_what_a_plan_gives_asks_for_the_plan(tmp_path: Path) -> None:
    found = asked(
        tmp_path,
        "",
        ("controller", "controller.fed_key_off"),
        ("controller", "controller.nominal_voltage_max > 60 V"),
        ("controller", "controller.fed_key_off and controller.nominal_voltage_max > 60 V"),
    )
    assert found["made-0"] == found["made-2"]
    assert found["made-0"].startswith("There is no plan of the cables. Draw it:")
    assert found["made-1"].startswith("Find out:")


def test_many_checks_that_wait_for_the_plan_are_one_thing_with_their_number(tmp_path: Path) -> None:
    names = ("fed_key_off", "shorted_out", "fed_from_part", "fed_past_bms", "reversed_polarity")
    names += ("returns_by_frame", "fed_past_device")
    rules = [
        rule(f"made-{one.replace('_', '-')}", f"controller.{one}", about="controller", risk=RISK)
        for one in names
    ]
    found = reviewed(book(tmp_path, *rules), "")
    assert len(found.obstacles) == 7
    ((one, parts),) = gathered(found.obstacles)
    assert parts == ("drive",)
    assert one.text.startswith("Not decided: 7 checks that wait for the same answer, among them: ")
    assert one.rule.endswith("and 4 more")
