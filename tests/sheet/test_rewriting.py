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
            "    - discharge_peak: 200 A\n      id: pack-a          # the left one",
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
