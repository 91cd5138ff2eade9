"""Trips in the sheet: parts with units, and every mistake with its line."""

from __future__ import annotations

import pytest

from advisor.problems import ProblemsFoundError
from advisor.sheet.reading import read_sheet_bytes

TRIP = """\
sheet: 1
trips:
  - id: mail
    repeats: 2
    segments:
      - {distance: 400 m, grade: 6 %, speed: 12 mph, surface: gravel, stops: 1}
      - {name: down, distance: 0.25 mi, grade: -6 %, speed: 20 km/h}
"""


def problems(text: str) -> list[str]:
    with pytest.raises(ProblemsFoundError) as found:
        read_sheet_bytes(text.encode(), "cart.yaml")
    return [str(one) for one in found.value.problems]


def test_a_trip_and_its_parts_are_read_in_si() -> None:
    build = read_sheet_bytes(TRIP.encode(), "cart.yaml")
    found = {one.id: one for one in build.instances}
    assert found["mail"].values["repeats"].value == 2
    assert found["mail.1"].values["speed"].value == pytest.approx(12 * 0.44704)
    assert found["mail.2"].values["grade"].value == pytest.approx(-0.06)
    assert found["mail.2"].values["distance"].value == pytest.approx(0.25 * 1609.344)
    assert found["mail.2"].place.line == 7


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("distance: 400 m", "distance: 400", "cart.yaml:6:20"),
        ("distance: 400 m, ", "", "the part has no distance; add distance: 400 m"),
        ("speed: 12 mph", "speed: 0 mph", "speed is zero"),
        ("grade: 6 %", "grade: 6 deg", "cart.yaml:6:34"),
        ("grade: 6 %", "grade: 400 %", "cart.yaml:6:34"),
        ("surface: gravel", "surface: gravle", 'write "gravel"'),
        ("stops: 1", "stop: 1", 'write "stops"'),
        ("repeats: 2", "repeats: none", "cart.yaml:4:14"),
        ("  - id: mail", "  - id: mail\n    trace: a.csv", "segments and a trace"),
    ],
)
def test_mistakes_are_named_with_their_place(old: str, new: str, said: str) -> None:
    assert TRIP.count(old) == 1
    assert any(said in one for one in problems(TRIP.replace(old, new))), problems(
        TRIP.replace(old, new)
    )


def test_all_mistakes_at_once() -> None:
    text = TRIP.replace("400 m", "400").replace("20 km/h", "20 apples")
    found = problems(text)
    assert len(found) == 2
    assert "cart.yaml:6" in found[0] and "cart.yaml:7" in found[1]


@pytest.mark.parametrize(
    ("segments", "said"),
    [
        ("", "the trip has no parts"),
        ("    segments: []\n", "a list of parts is expected"),
        ("    segments: long\n", "a list of parts is expected"),
        ("    segments: [far]\n", "keys and values are expected"),
    ],
)
def test_a_trip_needs_its_parts(segments: str, said: str) -> None:
    text = "sheet: 1\ntrips:\n  - id: mail\n    repeats: 2\n" + segments
    assert any(said in one for one in problems(text))


def test_segments_belong_to_a_trip() -> None:
    text = "sheet: 1\nparts:\n  fuses:\n    - {id: f, segments: []}\n"
    assert any("belong to a trip" in one for one in problems(text))
