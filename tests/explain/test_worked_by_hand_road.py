"""A finding of a trip worked by hand: forces on the slope, and what the tree rests on."""

from __future__ import annotations

from math import atan, cos, pi, sin, sqrt

import pytest

from advisor.explain.tree import Node
from tests.explain.hand import line_of
from tests.explain.test_explaining import explainer

W = "winter-hauler"
POUND = 0.45359237
G = 9.80665  # standard gravity


def test_a_trip_on_which_the_drive_stands_still() -> None:
    """Out of the gully: 22 % up in mud, with a trailer of 900 lb.

    Mass: 1150 lb + two packs of 104 lb + a person of 80 kg (common practice) + 900 lb = 1104 kg.
    Balance of forces: m g (sin + c cos) with c = 0.15 for mud (from memory): 3910 N asked.
    Motor: 7 kW / (3000 rpm x 170 A) = 0.131 N m/A, x 450 A x 12.4 x 0.95 / 11 in = 2487 N.
    Tyres: 0.6 (dry, common practice) x 0.75 (mud against dry, from memory) of the 55 % of the
    weight without the trailer = 1689 N.
    1689 N < 3910 N: it stands. On mud it starts where sin = 1689 N / (m g) - 0.15 = 0.006: 0.6 %.
    """
    alone = (1150 + 2 * 104) * POUND + 80
    whole = alone + 900 * POUND
    angle = atan(0.22)
    asked = whole * G * (sin(angle) + 0.15 * cos(angle))
    pull = 7000 / (3000 * 2 * pi / 60) / 170 * 450 * 12.4 * 0.95 / (11 * 0.0254)
    grip = 0.6 * 0.75 * 0.55 * alone * G
    assert grip < pull < asked
    sine = grip / (whole * G) - 0.15

    found = explainer(W)
    one = found.explained(found.chosen("drive-stands-still-on-the-trip", "gully"))
    assert one.judgement.verdict == "violated" and one.judgement.on_assumption
    assert dict(one.values)["trip.stalls"].text == "yes"
    also = dict(one.also)
    assert also["trip.stalls_where"].text.startswith("out of the gully")
    start = also["vehicle.grade_start_predicted"]
    fact = found.facts.fact("vehicle", "grade_start_predicted")
    # cos is taken as 1 for the rolling part: at so small a grade that is exact to six digits
    assert getattr(fact, "value", None) == pytest.approx(sine / sqrt(1 - sine * sine), rel=1e-3)
    assert float(start.text.split()[0]) == pytest.approx(100 * sine, rel=1e-2)
    assert "ASSUMED in it" in start.words and "80 kg for a person" in start.words
    _rests_on(dict(one.values)["trip.stalls"], "gully.4.grade", "22 %", "name: out of the gully")
    _rests_on(dict(one.values)["trip.stalls"], "gully.4.surface", "mud", "name: out of the gully")
    for node in (start, dict(one.values)["trip.stalls"]):
        _rests_on(node, "vehicle.mass_empty", "1150 lb", "mass_empty")
        _rests_on(node, "vehicle.gear_ratio", "12.4", "gear_ratio")
        _rests_on(node, "vehicle.rolling_radius", "11 in", "rolling_radius")
        _rests_on(node, "ac-motor.rated_power", "7 kW", "id: ac-motor")
        _rests_on(node, "ac-motor.rated_speed", "3000 rpm", "id: ac-motor")
        _rests_on(node, "ac-motor.rated_current", "170 A", "id: ac-motor")
        _rests_on(node, "ac-drive.motor_current_peak", "450 A", "id: ac-drive")
        _rests_on(node, "gully.trailer_mass", "900 lb", "id: gully", "trailer_mass")
        _rests_on(node, "gully.passengers", "1", "id: gully", "passengers")
    _rests_on(start, "use.surface", "mud", "use:", "surface")


def _rests_on(top: Node, name: str, text: str, *where: str) -> None:
    node = next(one for one in top.walk() if one.name == name)
    assert node.how == "written"
    assert node.words.startswith(f"{text}, line {line_of(W, *where)} of ")
