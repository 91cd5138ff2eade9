"""Findings worked by hand from the published source to the verdict: battery, charging, drive.

The numbers of the sheet are read off its text by eye; the others carry their source. Each test
compares every node of the tree (`hand.agree` says with which tolerance and why).
"""

from __future__ import annotations

import pytest

from tests.explain.hand import Hand, agree, assumed, tabled, unknown, worked, written

B = "bargain-parts"
H = "seventy-two-volt-hauler"
KIRCHHOFF = "Kirchhoff's voltage law"


def sheet(value: float | str | bool, unit: str, text: str, *where: str) -> Hand:
    return written(B, value, unit, text, *where)


STRINGS = {
    "battery.packs_in_series": sheet(1.0, "", "1", "battery:", "packs_in_series"),
    "battery.packs_in_parallel": sheet(1.0, "", "1", "battery:", "packs_in_parallel"),
}
FULL = {
    **STRINGS,
    "box-48.full_voltage": sheet(58.4, "V", "58.4 V", "id: box-48", "full_voltage"),
    "battery.full_voltage": worked(1 * 58.4, "V", "packs of a string, added", KIRCHHOFF,
                                   "full_voltage", "packs_in_series", "packs_in_parallel"),
}  # fmt: skip
NOMINAL = {
    **STRINGS,
    "box-48.nominal_voltage": sheet(51.2, "V", "51.2 V", "id: box-48", "nominal_voltage"),
    "battery.nominal_voltage": worked(1 * 51.2, "V", "packs of a string, added", KIRCHHOFF,
                                      "nominal_voltage", "packs_in_series", "packs_in_parallel"),
}  # fmt: skip
CELLS = {
    **STRINGS,
    "box-48.cells_in_series": sheet(16.0, "", "16", "id: box-48", "cells_in_series"),
    "battery.cells_in_series": worked(1 * 16.0, "", "sum over the packs", "definition",
                                      "cells_in_series", "packs_in_series", "packs_in_parallel"),
}  # fmt: skip
CHEMISTRY = {"box-48.chemistry": sheet("lfp", "", "lfp", "id: box-48", "chemistry")}
COLDEST = 273.15 + (15 - 32) / 1.8
"""15 °F in kelvin, by definition: -9.44 °C."""
USE = {"use.ambient_min": sheet(COLDEST, "°C", "15 .. 100 degF", "use:", "ambient")}


def test_pack_voltage_against_the_controller() -> None:
    """One pack of 58.4 V in the string: 1 x 58.4 V = 58.4 V (Kirchhoff's voltage law).

    The controller works up to 57 V (its line). 58.4 > 57: violated, (57 - 58.4) / 57 past.
    """
    hand = {
        **FULL,
        "ctrl-cheap.input_max": sheet(57.0, "V", "57 V", "id: ctrl-cheap", "input_max"),
    }
    agree(B, "controller-locks-out-when-full", "ctrl-cheap", hand, (57 - 58.4) / 57, guess=False)


def test_charge_voltage_against_the_cells() -> None:
    """An LFP cell is charged to 3.65 V (data sheet of an LFP 26650 cell, 1 C to 3.65 V).

    16 cells x 3.65 V = 58.4 V. The charger is set to 58.8 V: (58.4 - 58.8) / 58.4 past.
    """
    limit = 16 * 3.65
    hand = {
        **CELLS,
        **CHEMISTRY,
        "battery.chemistry": worked("lfp", "", "the chemistry of all packs", "", "chemistry"),
        "box-48.cell_charge_max": tabled(3.65, "V/cell", "lfp", "charge_max", "26650"),
        "battery.charge_voltage_limit": worked(limit, "V", "cells in series x highest cell", "",
                                               "cells_in_series", "cell_charge_max"),
        "old-charger.set_voltage": sheet(58.8, "V", "58.8 V", "id: old-charger", "set_voltage"),
    }  # fmt: skip
    agree(B, "charger-set-above-cells", "old-charger", hand, (limit - 58.8) / limit, guess=False)


def test_charge_current_against_cold_cells() -> None:
    """0.2 of the capacity per hour from 0 to 15 °C (data sheet of a small LFP cell, as read).

    0.2 / h x 60 A h = 12 A, times one string; the charger gives 25 A: (12 - 25) / 12 past. It is
    used from 15 °F = -9.44 °C, below 15 °C, so the check applies. The limit is assumed.
    """
    cold = 0.2 * 60
    hand = {
        **CHEMISTRY,
        **USE,
        "battery.packs_in_parallel": STRINGS["battery.packs_in_parallel"],
        "battery.lithium": worked(True, "", "no pack is lead-acid", "", "chemistry"),
        "old-charger.current_max": sheet(25.0, "A", "25 A", "id: old-charger", "current_max"),
        "box-48.capacity": sheet(60 * 3600.0, "A·h", "60 Ah", "id: box-48", "capacity"),
        "box-48.charge_current_max_cold": assumed(cold, "A", "0.2 of the capacity per hour",
                                                  "small LFP cell", "chemistry", "capacity"),
        "battery.charge_current_max_cold": worked(1 * cold, "A", "strings in parallel x smallest",
                                                  "", "charge_current_max_cold",
                                                  "packs_in_parallel"),
    }  # fmt: skip
    agree(B, "charger-current-cold-indication", "old-charger", hand, (cold - 25) / cold, guess=True)


def test_the_charger_lifts_the_battery_above_60_volts() -> None:
    """Shock: above 60 V in DC (FMVSS 305, 82 FR 44945) a touch can hurt.

    The charger is for 58.8 V / 2.40 V = 24.5 lead-acid cells, in whole blocks of three 24. Its
    equalise stage reaches 2.65 V per cell (2.58 to 2.67 V, dealer table for flooded batteries):
    24 x 2.65 V = 63.6 V. In the cold, against 25 °C: 24 x 5 mV/K x (25 + 9.44) K = 4.133 V more.
    1 % tolerance is from memory: (63.6 + 4.133) V x 1.01 = 68.41 V, past 60 V by 14 %.
    """
    equalise = 24 * 2.65
    highest = (equalise + 24 * 0.005 * (298.15 - COLDEST)) * 1.01
    charger = "id: old-charger"
    hand = {
        **FULL,
        **USE,
        "old-charger.set_voltage": sheet(58.8, "V", "58.8 V", charger, "set_voltage"),
        "old-charger.tolerance": assumed(0.01, "%", "within 1 %", "from memory"),
        "old-charger.equalise": sheet(True, "", "yes", charger, "equalise:"),
        "old-charger.equalise_can_be_disabled": sheet(False, "", "no", charger, "can_be_disabled"),
        "old-charger.equalise_unlocked": worked(True, "", "cannot lock it out", "", "equalise",
                                                "equalise_can_be_disabled"),
        "old-charger.profile": sheet("lead-flooded", "", "lead-flooded", charger, "profile"),
        "old-charger.lead_cells": worked(24.0, "", "over 2.40 V", "2.37 to 2.45 V", "profile",
                                         "set_voltage"),
        "old-charger.equalise_voltage": assumed(equalise, "V", "2.65 V is used", "dealer table",
                                                "lead_cells"),
        "old-charger.temperature_compensation": sheet(-0.005, "mV/cell/K", "-5 mV/cell/K", charger,
                                                      "temperature_compensation"),
        "old-charger.voltage_highest": worked(highest, "V", "raised in the cold, plus tolerance",
                                              "", "set_voltage", "tolerance", "equalise_unlocked",
                                              "equalise_voltage", "temperature_compensation",
                                              "lead_cells", "ambient_min"),
        "battery.over_voltage_trip": Hand("", "", "unknown", "box-48.bms.cell_over_voltage_trip"),
    }  # fmt: skip
    rule = "charger-lifts-battery-above-60-volts"
    agree(B, rule, "battery", hand, (60 - highest) / 60, guess=True)


def test_a_battery_above_60_volts() -> None:
    """Shock: a source above 60 V DC is high voltage (FMVSS 305, 82 FR 44945, as read).

    One box of 87.6 V, 24 x 3.65 V: above 60 V. Nothing but that conclusion is read.
    """
    hand = {
        "box-24.full_voltage": written(H, 87.6, "V", "87.6 V", "id: box-24", "full_voltage"),
        "battery.packs_in_series": written(H, 1.0, "", "1", "battery:", "packs_in_series"),
        "battery.packs_in_parallel": written(H, 1.0, "", "1", "battery:", "packs_in_parallel"),
        "battery.full_voltage": worked(24 * 3.65, "V", "added", KIRCHHOFF, "full_voltage",
                                       "packs_in_series", "packs_in_parallel"),
    }  # fmt: skip
    one = agree(H, "build-crosses-60-volts", "battery", hand, None, guess=False)
    (below,) = one.because_of
    assert below.judgement.margin == pytest.approx((60 - 87.6) / 60)


def test_drive_current_against_the_management() -> None:
    """80 % of the battery power reaches the shaft (0.75 to 0.88 from memory, so assumed).

    2600 W / 0.80 / 51.2 V = 63.48 A for long; one pack gives 60 A: (60 - 63.48) / 60 past. The
    controller states no battery current limit that would let less through.
    """
    demand = 2600 / 0.80 / 51.2
    pack = "id: box-48"
    hand = {
        **NOMINAL,
        "old-motor-36.rated_power": sheet(2600.0, "kW", "2.6 kW", "id: old-motor-36", "rated_pow"),
        "battery.demand_continuous": assumed(demand, "A", "80 % of the battery power",
                                             "from memory", "rated_power", "nominal_voltage"),
        "battery.demand_limited": worked(demand, "A", "at most the battery current limits",
                                         "no more than its limit", "demand_continuous"),
        "box-48.discharge_continuous": sheet(60.0, "A", "60 A", pack, "discharge_continuous"),
        "battery.discharge_continuous": worked(60.0, "A", "strings in parallel x smallest", "",
                                               "discharge_continuous", "packs_in_parallel"),
    }  # fmt: skip
    margin = (60 - demand) / 60
    agree(B, "drive-above-battery-continuous", "battery", hand, margin, guess=True)


def test_a_coil_on_too_much_voltage() -> None:
    """Contactor: 3.40 V for a rested full LFP cell (from memory) x 16 = 54.4 V on a 36 V coil.

    54.4 / 36 = 1.511 of its rating, against 1.2: (1.2 - 1.511) / 1.2 past. Nobody states the
    coil's own limit, nor whether it is energised while charging.
    """
    ratio = 16 * 3.40 / 36
    coil = "id: old-solenoid"
    feeds = ("coil_fed_from", "output_voltage")
    hand = {
        **CELLS,
        **FULL,
        "box-48.cell_rested_full": tabled(3.40, "V/cell", "lfp", "rest_full_voltage", "memory"),
        "battery.rested_full_voltage": worked(16 * 3.40, "V", "rested full cell", "",
                                              "cells_in_series", "cell_rested_full"),
        "old-solenoid.coil_fed_from": sheet("battery", "", "battery", coil, "coil_fed_from"),
        "conv-small.output_voltage": sheet(12.0, "V", "12 V", "id: conv-small", "output_voltage"),
        "old-solenoid.coil_voltage": sheet(36.0, "V", "36 V", coil, "coil_voltage"),
        "old-solenoid.coil_supply_driving": worked(16 * 3.40, "V", "rested full battery", "",
                                                   *feeds, "rested_full_voltage"),
        "old-solenoid.coil_supply_full": worked(58.4, "V", "right after a charge", "", *feeds,
                                                "full_voltage"),
        "old-solenoid.coil_voltage_ratio": worked(ratio, "%", "over rated coil voltage", "",
                                                  "coil_supply_driving", "coil_voltage"),
        "old-solenoid.coil_voltage_max": unknown(),
        "old-solenoid.energised_while_charging": unknown(),
    }  # fmt: skip
    agree(B, "coil-hot", "old-solenoid", hand, (1.2 - ratio) / 1.2, guess=False)
