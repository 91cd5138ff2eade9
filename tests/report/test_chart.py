"""The chart of a trip: a picture of the right kind, with its limits, its end, and texts as text."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from advisor.driving.road import Road
from advisor.driving.survey import surveyed
from advisor.problems import ProblemsFoundError
from advisor.report.chart import draw_trip
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet, read_sheet_bytes


def road(name: str) -> Road:
    return Road(surveyed(read_sheet(example_sheets()[name])))


def comments(svg: bytes) -> str:
    """Texts of the picture; the library writes each as a comment beside its outlines."""
    return svg.decode()


def test_the_place_where_a_trip_ends_is_marked() -> None:
    found = road("winter-hauler")
    svg = comments(draw_trip(found.facts, found, None, "svg", "us"))
    ET.fromstring(svg)
    for words in ("stands still: out of the gully", "along the creek", "distance, mi",
                  "battery, peak 400", "reserve 25", "speed, mph"):  # fmt: skip
        assert words in svg


def test_a_picture_is_the_same_twice() -> None:
    """A regression test of the settings that keep dates and random names out of the file."""
    found = road("two-lots-in-series")
    one, two = (draw_trip(found.facts, found, "trolleys", "svg", "si") for _ in range(2))
    assert one == two


def test_a_png_is_a_png() -> None:
    found = road("two-lots-in-series")
    assert draw_trip(found.facts, found, None, "png", "si").startswith(b"\x89PNG\r\n\x1a\n")


def test_an_unknown_trip_gets_the_nearest() -> None:
    found = road("two-lots-in-series")
    with pytest.raises(ProblemsFoundError, match='write "trolleys"'):
        draw_trip(found.facts, found, "troleys", "svg", "si")


def test_hostile_names_are_shown_as_text() -> None:
    path = example_sheets()["two-lots-in-series"]
    text = path.read_text(encoding="utf-8").replace(
        "name: a train of trolleys through the hall", 'name: "<script>$x^2$ & end"'
    )
    facts = surveyed(read_sheet_bytes(text.encode(), "sheet.yaml"))
    svg = comments(draw_trip(facts, Road(facts), None, "svg", "si"))
    ET.fromstring(svg)
    assert "<script>" not in svg.replace("<!-- trolleys: <script>", "")
