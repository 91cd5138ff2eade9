"""Choices of a sheet: read like its parts, taken one by one, and every mistake named."""

from __future__ import annotations

import pytest

from advisor.problems import ProblemsFoundError
from advisor.sheet.alternatives import with_choice
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet, read_sheet_bytes

SHEET = """\
sheet: 1
parts:
  packs:
    - {id: pack-a, chemistry: lfp, capacity: 100 Ah}
  chargers:
    - {id: charger-a, set_voltage: 58.4 V, current_max: 15 A}
choices:
%s
"""


def build(choices: str):  # type: ignore[no-untyped-def]
    return read_sheet_bytes((SHEET % choices).encode(), "s.yaml")


def test_a_part_of_the_same_id_is_replaced_and_others_are_added() -> None:
    found = build(
        "  - {id: fast, title: twice as fast, parts: {chargers: "
        "[{id: charger-a, current_max: 30 A}, {id: charger-b, current_max: 5 A}]}}"
    )
    (choice,) = found.alternatives
    other = with_choice(found, choice)
    ids = [one.id for one in other.instances if one.subject == "charger"]
    assert ids == ["charger-a", "charger-b"]
    charger = next(one for one in other.instances if one.id == "charger-a")
    assert charger.values["current_max"].value == 30 and "set_voltage" not in charger.values
    assert other.title == "s.yaml: twice as fast" and other.alternatives == ()
    mine = next(one for one in found.instances if one.id == "charger-a")
    assert mine.values["current_max"].value == 15  # the sheet itself is as it was


def test_a_part_can_be_left_out_with_its_management() -> None:
    found = build("  - {id: bare, without: pack-a}")
    ids = {one.id for one in with_choice(found, found.alternatives[0]).instances}
    assert "pack-a" not in ids and "pack-a.bms" not in ids


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("  - {title: nameless, without: pack-a}", "a choice needs an id"),
        ("  - {id: x, without: pack-b}", 'write "pack-a"'),
        ("  - {id: x}", "the choice changes nothing"),
        ("  - {id: x, part: {}}", 'write "parts"'),
        ("  - {id: x, without: pack-a}\n  - {id: x, without: pack-a}", "another choice"),
        ("  - {id: x, parts: {chargers: [{id: c, current_max: 5 kg}]}}", "5 kg"),
        ("  - 3", "keys and values are expected"),
        ("  none", "a list of choices is expected"),
    ],
)
def test_mistakes_are_named(text: str, words: str) -> None:
    with pytest.raises(ProblemsFoundError) as caught:
        build(text)
    assert any(words in str(one) for one in caught.value.problems), caught.value.problems


def test_a_choice_that_leaves_loose_ends_is_refused_with_its_name() -> None:
    path = example_sheets()["two-lots-in-series"]
    text = path.read_text(encoding="utf-8")
    broken = text.replace("beacon-fuse, beacon-lead, beacon-return]", "beacon-fuse]")
    assert broken != text
    with pytest.raises(ProblemsFoundError, match=r"choices\[no-beacon\], wiring\[beacon-lead\]"):
        read_sheet_bytes(broken.encode(), "s.yaml")


def test_the_example_has_its_choices() -> None:
    found = read_sheet(example_sheets()["two-lots-in-series"])
    assert [one.id for one in found.alternatives] == ["lithium-charger", "no-beacon"]
