"""Page one: plain words, from the facts of the build, and nothing guessed."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from advisor.handoff.model import Outcome
from advisor.report.record import record_of
from advisor.report.record.blocks import Record
from tests.report.record.making import (
    LARGEST,
    PLAIN,
    POOR,
    SCENARIOS,
    ended,
    from_text,
    record,
    review_of,
    said,
    sheet_with,
    words,
)

TRADE = (
    "contactor", "precharge", "controller", "shunt", "soc", "state of charge", "bms", "regen",
    "regeneration", "converter", "lug", "bus bar", "ampacity", "interrupting", "inlet",
    "undervoltage", "management", "topology", "nominal", "isolation", "polarity",
    "fold-back", "tail current",
)  # fmt: skip
"""Words of the trade that an owner need not know."""


def owner(of: Record, leave_out: str = "first") -> str:
    """The owner's part without what quotes the technician."""
    (part,) = [one for one in of.parts if one.mark == "owner"]
    return "\n".join(
        words(block) for one in part.sections if one.mark != leave_out for block in one.blocks
    )


ALL = sorted(path.stem for path in SCENARIOS.glob("*.yaml") if ".expected" not in path.name)


@pytest.mark.parametrize("name", [LARGEST, PLAIN, POOR])
def test_no_words_of_the_trade(name: str) -> None:
    text = owner(record(name)).lower()
    for one in review_of(name).build.instances:  # names of parts are what the builder calls them
        text = text.replace(one.id.lower(), "")
    assert [one for one in TRADE if re.search(rf"\b{re.escape(one)}s?\b", text)] == []


def test_everything_an_owner_needs_is_there() -> None:
    (part,) = [one for one in record(PLAIN).parts if one.mark == "owner"]
    assert [one.title for one in part.sections if one.mark != "first"] == [
        "What was done", "How to charge", "How to switch it off", "How to store it",
        "How to tow it", "What the warnings mean", "What not to do", "Whom to call",
    ]  # fmt: skip
    assert record(PLAIN).parts[0] is part


def test_it_says_what_the_sheet_says() -> None:
    text = owner(record(PLAIN))
    assert "Charge only with: shed-charger." in text
    assert "colder than 32 °F (0 °C). So never in frost." in text  # sheet: 0 degC; 0 °C is 32 °F
    assert "8 lead-acid batteries" in text
    assert "10.2 kWh" in text  # two packs of 51.2 V x 100 Ah
    assert "No pressure washer" in text  # washed with a hose
    assert "slopes steeper than 10 %" in text


def test_what_is_unknown_is_for_the_builder() -> None:
    text = owner(record(POOR))
    assert text.count("Ask the builder.") >= 12
    assert "The papers name no charger for this battery." in text
    assert "So never in frost. That is usual for its kind. Ask the builder." in text
    assert not re.search(r"(?<!\d)\d+ (mi|km|mph|h|days)\b", text)


@pytest.mark.parametrize(
    ("stated", "told"),
    [
        ("low_temperature_charge_block: yes", "The battery itself refuses to charge then."),
        ("low_temperature_charge_block: no", "Nothing on this vehicle stops you"),
        ("low_temperature_charge_block: unknown", "The papers do not say that anything stops it"),
    ],
)
def test_what_stops_a_charge_in_the_cold(tmp_path: Path, stated: str, told: str) -> None:
    sheet = sheet_with({"low_temperature_charge_block: yes": stated})
    assert told in owner(record_of(from_text(tmp_path, sheet), "si"))


def test_a_magnet_motor_and_a_spring_brake_change_how_it_is_towed(tmp_path: Path) -> None:
    sheet = sheet_with({"type: induction, rated": "type: pm-ac, rated",
                        "electromagnetic_brake: no": "electromagnetic_brake: yes"})  # fmt: skip
    text = owner(record_of(from_text(tmp_path, sheet), "si"))
    assert "Its motor makes voltage when the wheels turn." in text
    assert "Its motor holds a brake without power." in text
    assert "makes voltage" not in owner(record(PLAIN))


def test_a_vehicle_that_is_not_ready_is_not_to_be_driven_or_charged() -> None:
    text = said(record(PLAIN), "owner")
    assert "Do not drive it, and do not charge it" in text
    ready = record_of(ended(review_of(PLAIN), Outcome.READY), "us")
    assert "Do not drive it, and do not charge it" not in said(ready, "owner")


def test_accepted_risks_stand_on_page_one_with_their_name(tmp_path: Path) -> None:
    more = ("accepted:\n  - {rule: lamp-drop-too-large, who: T. Ester, date: 2026-11-20, "
            "reason: It is driven by day.}\n")  # fmt: skip
    review = from_text(tmp_path, sheet_with({}, LARGEST, more))
    text = said(record_of(ended(review, Outcome.CONDITIONS), "us"), "owner")
    assert "Accepted by T. Ester on 2026-11-20: It is driven by day." in text


def test_the_top_speed_is_the_stated_one_where_there_is_one() -> None:
    """The orchard cart is limited to 14.5 mph in its drive, which could do more."""
    text = owner(record("orchard-four-seater"))
    assert "Top speed\n14.5 mph" in text
    assert "Top speed, computed" not in text
