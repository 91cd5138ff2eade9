"""Room in the bay, what an ingress mark stands for, and how fast the motor turns."""

from __future__ import annotations

import pytest

from advisor.facts import Facts
from tests.facts.making import facts, known, number, unknown


def marked(ip: str) -> Facts:
    return facts(f"parts:\n  controllers:\n    - {{id: drive, ip: {ip}}}\n")


@pytest.mark.parametrize(
    ("ip", "dust", "jets", "dipped"),
    [
        ("IP54", 5, 4, 0),
        ("IP65", 6, 5, 0),
        ("ip 66", 6, 6, 0),
        ("IP67", 6, 4, 7),  # 7 alone does not stand for the jets of 5 and 6
        ("IP66/IP68", 6, 6, 8),
        ("IP65/IP67", 6, 5, 7),
        ("IP69K", 6, 9, 0),
        ("IP20", 2, 0, 0),
    ],
)
def test_what_an_ingress_mark_stands_for(ip: str, dust: int, jets: int, dipped: int) -> None:
    """IEC 60529 as summarised on a page of a test laboratory: second figures up to 6 imply the
    lower ones; 7 and 8 do not imply 5 and 6 unless both are marked."""
    found = marked(ip)
    assert number(found, "drive.ip_dust") == dust
    assert number(found, "drive.ip_jets") == jets
    assert number(found, "drive.ip_dipped") == dipped


def test_a_figure_left_out_is_unknown() -> None:
    """IEC 60529: X stands for a figure that is not stated."""
    found = marked("IPX5")
    unknown(found, "drive.ip_dust")
    assert number(found, "drive.ip_jets") == 5
    unknown(marked("IP6X"), "drive.ip_jets")
    unknown(marked("waterproof"), "drive.ip_jets")


BAY = "vehicle: {tray_length: 110 cm, tray_width: 50 cm, tray_height: 28 cm}\n"


def packs(*written: str) -> str:
    lines = "".join(f"    - {{id: p{number}, {one}}}\n" for number, one in enumerate(written))
    return f"{BAY}parts:\n  packs:\n{lines}"


@pytest.mark.parametrize(
    ("written", "fits"),
    [
        (["length: 50 cm, width: 38 cm, height: 25 cm, count: 2"], True),  # 2 x 51 cm in 110 cm
        (["length: 50 cm, width: 38 cm, height: 25 cm, count: 3"], False),
        (["length: 48 cm, width: 30 cm, height: 25 cm, count: 3"], True),  # across: 3 x 31 cm
        (["length: 50 cm, width: 38 cm, height: 29 cm"], False),  # higher than the bay
        (
            [
                "length: 50 cm, width: 38 cm, height: 25 cm",
                "length: 100 cm, width: 48 cm, height: 20 cm",
            ],
            False,  # 0.19 and 0.48 m2 of floor, the bay has 0.55
        ),
    ],
)
def test_room_in_the_bay(written: list[str], fits: bool) -> None:
    """Worked by hand, with 10 mm between the packs; common practice, no source."""
    assert known(facts(packs(*written)), "battery.fits_bay").value is fits


def test_unlike_packs_that_might_fit_are_left_open() -> None:
    """0.19 and 0.12 m2 in 0.55: nobody has tried how they lie."""
    unlike = packs(
        "length: 50 cm, width: 38 cm, height: 25 cm", "length: 40 cm, width: 30 cm, height: 20 cm"
    )
    unknown(facts(unlike), "battery.fits_bay")


def test_a_motor_at_25_mph() -> None:
    """25 mph = 11.176 m/s, tyre 0.225 m, 12.44 to 1: n = v G / (2 pi r) = 5901 rpm."""
    sheet = "vehicle: {top_speed: 25 mph, gear_ratio: '12.44', rolling_radius: 22.5 cm}\n"
    sheet += "parts:\n  motors:\n    - {id: turning, type: induction}\n"
    speed = number(facts(sheet), "turning.speed_fastest")
    assert speed * 60 / (2 * 3.141592653589793) == pytest.approx(5901, abs=1)


def test_tyres_of_22_inches_for_18() -> None:
    """22/18 = 1.222: 22 % faster, and 1 - 1/1.222 = 18 % less force at the road."""
    found = facts("vehicle: {rolling_radius: 11 in, original_rolling_radius: 9 in}\n")
    ratio = number(found, "vehicle.tyre_ratio")
    assert ratio == pytest.approx(1.222, abs=1e-3)
    assert 1 - 1 / ratio == pytest.approx(0.18, abs=0.005)


def test_the_heaviest_trailer_of_all() -> None:
    part = "segments: [{distance: 1 km, grade: 0 %, speed: 10 km/h, surface: gravel}]"
    sheet = f"""use: {{trailer_mass: 300 kg}}
trips:
  - {{id: a, trailer_mass: 450 kg, {part}}}
  - {{id: b, {part}}}
"""
    assert number(facts(sheet), "use.trailer_heaviest") == 450
    unknown(facts("use: {place: campus}\n"), "use.trailer_heaviest")
    alone = f"trips:\n  - {{id: a, {part}}}\n"
    assert number(facts(alone), "use.trailer_heaviest") == 0


def test_twice_the_weight_of_60_kg() -> None:
    """2 x 60 kg x 9.80665 m/s2 = 1177 N."""
    sheet = "parts:\n  packs:\n    - {id: p, mass: 60 kg}\n  mounts:\n    - {id: tray}\n"
    assert number(facts(sheet), "tray.force_needed") == pytest.approx(1176.8, abs=0.1)
