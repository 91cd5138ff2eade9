"""Findings worked by hand from the published source to the verdict: cables, devices, 12 V side.

The numbers of the sheet are read off its text by eye; the others carry their source. Each test
compares every node of the tree (`hand.agree` says with which tolerance and why).
"""

from __future__ import annotations

from math import pi

from tests.explain.hand import Hand, agree, assumed, worked, written
from tests.explain.test_worked_by_hand import CHEMISTRY, FULL, NOMINAL, STRINGS, sheet

B = "bargain-parts"
INCH = 0.0254
CFR_60_DEGREES = {8: 55.0, 6: 80.0, 4: 105.0}
"""33 CFR 183.425 Table 5, 60 °C, by AWG, A."""
CFR_75_DEGREES = {18: 10.0, 14: 20.0, 12: 25.0}
AMPACITY = ("conducting_area", "insulation_temperature", "place", "bundle", "nominal_voltage",
            "ambient_max")  # fmt: skip
HOTTEST = 273.15 + (100 - 32) / 1.8
"""100 °F in kelvin, by definition."""


def area(gauge: int) -> float:
    """ASTM B258: diameter 0.127 mm x 92^((36 - n) / 39); m2."""
    return pi / 4 * (0.127e-3 * 92 ** ((36 - gauge) / 39)) ** 2


def cable(run: str, gauge: int, material: str, worth: float) -> dict[str, Hand]:
    """Gauge, material, size system and the copper area it is worth."""
    return {
        f"{run}.gauge": sheet(area(gauge), "mm²", f"{gauge} AWG", f"id: {run},"),
        f"{run}.material": sheet(material, "", material, f"id: {run},"),
        f"{run}.size_system": sheet("awg", "", "awg", f"id: {run},"),
        f"{run}.conducting_area": worked(worth * area(gauge), "mm²", "size x conductance",
                                         "ASTM B258", "gauge", "material", "size_system"),
    }  # fmt: skip


def carries(run: str, celsius: int, ampacity: float, row: int) -> dict[str, Hand]:
    """Ampacity in free air, alone, with the row and column it is looked up in."""
    listed = (
        f"Table 5, row {row} AWG, column {celsius} °C: {ampacity:g} A; motor space x 1; bundle x 1"
    )
    return {
        **NOMINAL,
        "use.ambient_max": sheet(HOTTEST, "°C", "15 .. 100 degF", "use:", "ambient"),
        f"{run}.insulation_temperature": sheet(273.15 + celsius, "°C", f"{celsius} degC",
                                               f"id: {run},"),
        f"{run}.place": sheet("free-air", "", "free-air", f"id: {run},"),
        f"{run}.bundle": sheet(1.0, "", "1", f"id: {run},"),
        f"{run}.ampacity": worked(ampacity, "A", listed,
                                  "33 CFR 183.425, Table 5", *AMPACITY),
    }  # fmt: skip


def load(name: str, amps: float, text: str) -> dict[str, Hand]:
    return {f"{name}.current": sheet(amps, "A", text, f"id: {name},")}


def test_fuse_against_the_cable() -> None:
    """80 A on 4 AWG copper-clad aluminium of 60 °C, in free air, alone, at 51.2 V.

    1.6 times the resistivity of copper (from memory): worth 21.15 / 1.6 = 13.22 mm2 of copper.
    6 AWG has 13.30 mm2, so the row below counts, 8 AWG: 55 A in the 60 °C column (33 CFR 183.425
    Table 5). No engine space and no bundle: factors 1. From 50 V: the next standard rating
    (50, 60, 70: NEC 240.6(A)) is 60 A, not over 150 % = 82.5 A (33 CFR 183.455). 80 A is
    (60 - 80) / 60 past.
    """
    assert area(8) < area(4) / 1.6 < area(6)
    ampacity = CFR_60_DEGREES[8]
    allowed = min(one for one in (50.0, 60.0, 70.0) if one >= ampacity)
    assert allowed <= 1.5 * ampacity
    run = "drive-to-pack"
    hand = {
        **cable(run, 4, "cca", 1 / 1.6),
        **carries(run, 60, ampacity, 8),
        f"{run}.circuit": sheet("traction", "", "traction", f"id: {run},"),
        "strip-fuse.rating": sheet(80.0, "A", "80 A", "id: strip-fuse"),
        f"{run}.device_rating": worked(80.0, "A", "strip-fuse", "plan of the cables", "rating"),
        f"{run}.device_allowed": worked(allowed, "A", "next standard rating", "33 CFR 183.455",
                                        "ampacity", "circuit", "nominal_voltage",
                                        "conducting_area"),
    }  # fmt: skip
    margin = (allowed - 80) / allowed
    agree(B, "device-too-large-for-conductor", run, hand, margin, guess=False)


def test_current_against_the_cable() -> None:
    """Two lamps of 4.5 A and the winch of 20 A come back through 12 AWG: 9 + 20 = 29 A.

    12 AWG of 75 °C carries 25 A (33 CFR 183.425 Table 5): (25 - 29) / 25 past.
    """
    run = "frame-return"
    ampacity = CFR_75_DEGREES[12]
    hand = {
        **cable(run, 12, "copper", 1.0),
        **carries(run, 75, ampacity, 12),
        **load("headlamps", 4.5, "4.5 A"),
        **load("winch", 20.0, "20 A"),
        f"{run}.circuit": sheet("auxiliary", "", "auxiliary", f"id: {run},"),
        f"{run}.current_carried": worked(2 * 4.5 + 20, "A", "lasting modes", "nodal analysis",
                                         "current"),
    }  # fmt: skip
    agree(B, "conductor-too-small", run, hand, (ampacity - 29) / ampacity, guess=False)


def test_distance_to_the_device() -> None:
    """33 CFR 183.455: a device within 7 in of the source along the conductor, unsheathed.

    3 ft = 36 in in free air lie before it: (7 - 36) / 7 past.
    """
    run = "pack-to-fuse"
    hand = {
        f"{run}.length": sheet(36 * INCH, "m", "3 ft", f"id: {run},"),
        f"{run}.unprotected": worked(True, "", "ways from every battery", "plan of the cables"),
        f"{run}.unprotected_length": worked(36 * INCH, "m", "to its far end", "traced", "length"),
        f"{run}.unprotected_allowed": worked(7 * INCH, "m", "7 in bare", "plan"),
        f"{run}.way_unprotected": worked("box-48 > pack-to-fuse", "", "read off", "plan"),
    }
    agree(B, "cable-without-device-in-reach", run, hand, (7 - 36) / 7, guess=False)


def test_drop_of_the_lamp_lead() -> None:
    """Copper: 1/58 ohm mm2/m at 20 °C (IEC 60028), 0.00393 /K (NBS Handbook 100), at 75 °C.

    1/58 x (1 + 0.00393 x 55) x 2.4384 m / 0.8230 mm2 = 62.1 mohm; 2 % more for strands (NEC
    chapter 9 Table 8 against solid wire) 63.4 mohm. The sheet says solid: the 2 % are on the safe
    side. Two lamps of 4.5 A: 9 A x 63.4 mohm = 0.570 V against 3 % of 12 V = 0.36 V (ABYC E-11,
    as reproduced).
    """
    run = "lamp-lead"
    length = 8 * 12 * INCH
    ohm = 1e-6 / 58 * (1 + 0.00393 * 55) * length / area(18) * 1.02
    limit = 0.03 * 12
    hand = {
        **cable(run, 18, "copper", 1.0),
        **load("headlamps", 4.5, "4.5 A"),
        f"{run}.circuit": sheet("auxiliary", "", "auxiliary", f"id: {run},"),
        f"{run}.length": sheet(length, "m", "8 ft", f"id: {run},"),
        f"{run}.current_carried": worked(2 * 4.5, "A", "lasting modes", "nodal", "current"),
        f"{run}.resistance": worked(ohm, "mΩ", "at 75 °C, 2 % more", "IEC 60028", "length",
                                    "conducting_area"),
        f"{run}.drop": worked(9 * ohm, "V", "current x resistance", "Ohm's law",
                              "current_carried", "resistance"),
        "conv-small.output_voltage": sheet(12.0, "V", "12 V", "id: conv-small", "output_voltage"),
    }  # fmt: skip
    agree(B, "lamp-drop-too-large", run, hand, (limit - 9 * ohm) / limit, guess=False)


def test_converter_against_its_loads() -> None:
    """NEC 215.2: 125 % of the continuous load. Two lamps of 4.5 A: 9 A x 1.25 = 11.25 A.

    The winch does not run together with the others; the hour meter hangs on the traction side.
    The converter gives 5 A: (5 - 11.25) / 5 past.
    """
    loads = ("headlamps", "winch", "hour-meter")
    hand = {
        **load("headlamps", 4.5, "4.5 A"),
        **load("winch", 20.0, "20 A"),
        **load("hour-meter", 0.02, "0.02 A"),
        **{f"{one}.bus": sheet("12v", "", "12v", f"id: {one},") for one in loads[:2]},
        "hour-meter.bus": sheet("traction", "", "traction", "id: hour-meter,"),
        "headlamps.count": sheet(2.0, "", "2", "id: headlamps,"),
        "winch.used_together": sheet(False, "", "no", "id: winch,"),
        "conv-small.load_continuous": worked(2 * 4.5, "A", "run together, added", "", "bus",
                                             "current", "count", "used_together"),
        "conv-small.load_needed": worked(1.25 * 9, "A", "1.25 x", "NEC 215.2", "load_continuous"),
        "conv-small.output_current": sheet(5.0, "A", "5 A", "id: conv-small", "output_current"),
    }  # fmt: skip
    agree(B, "converter-too-small", "conv-small", hand, (5 - 1.25 * 9) / 5, guess=False)


def test_no_precharge() -> None:
    """9 mF without a precharge, against 1 mF: (1 - 9) / 1 past.

    The finding names the first current: 58.4 V over the pack and 5 mohm of leads (common
    practice). Nobody states the pack's resistance, so it is ASSUMED: five times that of its bare
    cells, which show 0.3 mohm at 100 A h (0.2 to 0.5 from memory): 16 x 5 x 0.3 mohm x 100 / 60 =
    40 mohm. 58.4 V / 45 mohm = 1298 A (Ohm's law).
    """
    pack = 16 * 5 * 0.3e-3 * 100 / 60
    drive = "id: ctrl-cheap"
    hand = {
        **FULL,
        **CHEMISTRY,
        "precharge.present": worked(False, "", "stated as not fitted", "sheet"),
        "ctrl-cheap.precharge_internal": sheet(False, "", "no", drive, "precharge_internal"),
        "box-48.bms.precharge_built_in": sheet(False, "", "no", "bms:", "precharge_built_in"),
        "battery.precharge_built_in": worked(False, "", "every pack", "", "precharge_built_in"),
        "ctrl-cheap.soft_start": worked(False, "", "a resistor, the controller", "", "present",
                                        "precharge_internal", "precharge_built_in"),
        "ctrl-cheap.capacitance": sheet(9e-3, "mF", "9 mF", drive, "capacitance"),
        "ctrl-cheap.capacitance_likely": worked(9e-3, "mF", "as stated", "", "capacitance"),
        "box-48.cells_in_series": sheet(16.0, "", "16", "id: box-48", "cells_in_series"),
        "box-48.capacity": sheet(60 * 3600.0, "A·h", "60 Ah", "id: box-48", "capacity"),
        "box-48.internal_resistance": assumed(pack, "mΩ", "management switch", "from memory",
                                              "chemistry", "cells_in_series", "capacity"),
        "battery.internal_resistance": worked(pack, "mΩ", "series adds", "Kirchhoff's laws",
                                              "internal_resistance", *[
                                                  one.partition(".")[2] for one in STRINGS]),
        "battery.inrush_current": worked(58.4 / (pack + 5e-3), "A", "plus 5 mΩ of leads",
                                         "Ohm's law", "full_voltage", "internal_resistance"),
    }  # fmt: skip
    agree(B, "no-soft-start", "ctrl-cheap", hand, (1 - 9) / 1, guess=False)


def test_top_speed_against_twenty_miles_an_hour() -> None:
    """63 FR 33194: a golf car changed so that it exceeds 20 mph. 24 mph: (20 - 24) / 20 past."""
    name = "seventy-two-volt-hauler"
    mile = 1609.344 / 3600
    hand = {
        "use.region": written(name, "us", "", "us", "use:", "region"),
        "vehicle.top_speed": written(name, 24 * mile, "km/h", "24 mph", "vehicle:", " top_speed"),
    }
    agree(name, "faster-than-twenty-miles-an-hour", "vehicle", hand, (20 - 24) / 20, guess=False)
