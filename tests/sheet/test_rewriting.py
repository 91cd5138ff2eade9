"""Values put into the text of a sheet: only they change."""

from __future__ import annotations

import pytest

from advisor.problems import ProblemsFoundError
from advisor.sheet.reading import read_sheet_bytes
from advisor.sheet.rewriting import Changes, with_values

SHEET = """\
sheet: 1   # of the shop
title: "A cart: with a colon"
parts:
  packs:
    - id: pack-a          # the left one
      chemistry: lfp
      cells_in_series: 16
      # measured by hand
      capacity: 100 Ah    # new
  fuses:
    - {id: main-fuse, role: main, rating: unknown, kind: class-t}  # bolted
    - id: other-fuse
      rating: "4 A"
  controllers:
    - {
        id: ctrl,
        input_max: 65 V,
      }
"""


def changed(changes: Changes, text: str = SHEET) -> str:
    return with_values(text, read_sheet_bytes(text.encode(), "sheet.yaml"), changes)


@pytest.mark.parametrize(
    ("part", "attribute", "value", "old", "new"),
    [
        ("pack-a", "capacity", "120 Ah", "capacity: 100 Ah    # new", "capacity: 120 Ah    # new"),
        ("main-fuse", "rating", "150 A", "rating: unknown,", "rating: 150 A,"),
        (
            "main-fuse",
            "dc_voltage",
            "125 V",
            "{id: main-fuse,",
            "{id: main-fuse, dc_voltage: 125 V,",
        ),
        ("other-fuse", "rating", "5 A", '      rating: "4 A"\n', "      rating: 5 A\n"),
        ("ctrl", "absolute_max", "70 V", "id: ctrl,", "id: ctrl, absolute_max: 70 V,"),
        (
            "pack-a",
            "discharge_peak",
            "200 A",
            "    - id: pack-a          # the left one",
            "    - id: pack-a          # the left one\n      discharge_peak: 200 A",
        ),
    ],
)
def test_only_the_value_changes(part: str, attribute: str, value: str, old: str, new: str) -> None:
    assert SHEET.count(old) == 1
    assert changed({(part, attribute): value}) == SHEET.replace(old, new)


def test_several_at_once_and_windows_line_ends() -> None:
    text = SHEET.replace("\n", "\r\n")
    found = changed({("pack-a", "capacity"): "120 Ah", ("main-fuse", "rating"): "150 A"}, text)
    assert found == text.replace("100 Ah", "120 Ah").replace("rating: unknown", "rating: 150 A")


def test_a_value_that_cannot_be_read_is_refused() -> None:
    with pytest.raises(ProblemsFoundError, match="rating"):
        changed({("main-fuse", "rating"): "150 V"})


def test_an_unknown_part_is_refused() -> None:
    with pytest.raises(ProblemsFoundError, match="fuse-9: stands on no lines"):
        changed({("fuse-9", "rating"): "150 A"})


def test_a_value_that_would_change_more_is_refused() -> None:
    with pytest.raises(ProblemsFoundError):
        changed({("main-fuse", "rating"): "150 A, kind: blade"})


def test_what_is_programmed_is_changed_where_it_stands() -> None:
    text = SHEET + "settings:\n  ctrl: {battery_current_limit: 200 A}   # by hand\n"
    new = changed({("ctrl", "battery_current_limit"): "150 A"}, text)
    assert new == text.replace("200 A}   # by hand", "150 A}   # by hand")


def test_what_the_part_itself_says_stays_beside_what_is_programmed() -> None:
    said = SHEET.replace("input_max: 65 V,", "input_max: 65 V, battery_current_limit: unknown,")
    text = said + "settings:\n  ctrl: {battery_current_limit: 200 A}\n"
    new = changed({("ctrl", "battery_current_limit"): "150 A"}, text)
    assert new == text.replace("200 A}", "150 A}")


def test_an_added_line_ends_as_the_others_do() -> None:
    text = SHEET.replace("\n", "\r\n")
    new = changed({("pack-a", "discharge_peak"): "200 A"}, text)
    assert new == text.replace("left one\r\n", "left one\r\n      discharge_peak: 200 A\r\n")


def test_a_folded_text_is_replaced_with_its_line_break() -> None:
    text = SHEET.replace("capacity: 100 Ah    # new\n", "capacity: >-\n        100 Ah\n\n")
    new = changed({("pack-a", "capacity"): "120 Ah"}, text)
    assert new == SHEET.replace("capacity: 100 Ah    # new\n", "capacity: 120 Ah\n\n")


@pytest.mark.parametrize("last", ["", "\n", "\n\n"])
def test_a_section_that_the_sheet_leaves_out_is_put_at_its_end(last: str) -> None:
    text = SHEET.rstrip("\n") + last
    new = changed({("use", "stored_state"): "disconnect-open"}, text)
    assert new == (text if last else text + "\n") + "use:\n  stored_state: disconnect-open\n"


def test_a_section_without_values_gets_its_first() -> None:
    text = SHEET + "use: {}  # nothing yet\n"
    new = changed({("use", "stored_state"): "key-off"}, text)
    assert new == SHEET + "use: {stored_state: key-off}  # nothing yet\n"
