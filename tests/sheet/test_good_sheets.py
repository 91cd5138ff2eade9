"""What a valid sheet becomes: SI values, answers, what is not fitted, settings, readings."""

from __future__ import annotations

import hashlib

import pytest

from advisor.sheet.build import Answer, Build, Instance
from advisor.sheet.reading import read_sheet_bytes

SHEET = """\
sheet: 1
title: Orchard cart
stage: wiring
rulesets: {charging: 1.2.3}
complete: [protection, monitoring]
vehicle: {kind: golf-cart, seats: 4, mass_empty: 686 lb, top_speed: 15 mph}
use:
  ambient: 14 .. 104 degF
  grade_max: 18 %
  driven_at_night: no
parts:
  packs:
    - id: pack-a
      name: no
      model: 010
      lot: 1e3
      made: 12:30
      count: 2
      chemistry: lfp
      nominal_voltage: 25.6 V +/- 1 %
      capacity: 105 Ah
      internal_resistance: not published (asked the seller 2026-03-01)
      mass: will be measured
      heater: unknown
      bms: {kind: internal-switch, cell_over_voltage_trip: 3700 mV/cell}
  controllers:
    - id: ctrl-1
      drives: motor-1
      battery_current_limit: 300 A
  motors: [{id: motor-1}]
  contactors: none
  chargers: unknown
  fuses: [{id: main-fuse, role: main}]
battery: {packs_in_series: 2, packs_in_parallel: 1}
wiring: [{id: run-1, from: main-fuse.out, to: ctrl-1.plus, gauge: 2/0 AWG, length: 4 ft}]
settings:
  ctrl-1: {battery_current_limit: 200 A}
readings:
  - {of: pack-a, what: resting_voltage, value: 26.4 V}
  - of: pack-a
    what: resting_voltage
    value: 26.6 V
    instrument: hand meter
    time: 2026-03-02 14:10
  - {of: vehicle, what: mass_empty, value: 690 lb, who: the builder}
"""


@pytest.fixture(scope="module")
def build() -> Build:
    return read_sheet_bytes(SHEET.encode(), "cart.yaml")


def part(build: Build, identity: str) -> Instance:
    return next(one for one in build.instances if one.id == identity)


def test_head(build: Build) -> None:
    assert (build.file, build.title, build.stage) == ("cart.yaml", "Orchard cart", "wiring")
    assert build.pins == {"charging": "1.2.3"}
    assert build.fingerprint == hashlib.sha256(SHEET.encode()).hexdigest()[:12]


@pytest.mark.parametrize(
    ("identity", "name", "expected", "source"),
    [
        ("vehicle", "mass_empty", 686 * 0.45359237, "1 lb: international agreement of 1959"),
        ("vehicle", "top_speed", 15 * 1609.344 / 3600, "1 mile: international agreement of 1959"),
        ("vehicle", "seats", 4.0, "a count"),
        ("use", "ambient_min", 263.15, "14 degF is -10 degC: (14 - 32) / 1.8"),
        ("use", "ambient_max", 313.15, "104 degF is 40 degC: (104 - 32) / 1.8"),
        ("use", "grade_max", 0.18, "percent"),
        ("pack-a", "nominal_voltage", 25.6, "volt"),
        ("pack-a", "capacity", 105 * 3600.0, "1 A h is 3600 C, SI brochure"),
        ("pack-a.bms", "cell_over_voltage_trip", 3.7, "millivolt"),
        ("run-1", "length", 4 * 0.3048, "1 foot: international agreement of 1959"),
    ],
)
def test_quantities_are_si(
    build: Build, identity: str, name: str, expected: float, source: str
) -> None:
    assert part(build, identity).values[name].value == pytest.approx(expected, rel=1e-12), source


def test_gauge_is_the_area_of_the_standard_size(build: Build) -> None:
    """ASTM B258: 2/0 AWG is 133,100 circular mils, which is 67.4 mm2 (rounded there)."""
    area = part(build, "run-1").values["gauge"].value
    assert area == pytest.approx(67.4e-6, abs=0.05e-6)


def test_a_tolerance_keeps_its_corners(build: Build) -> None:
    written = part(build, "pack-a").values["nominal_voltage"]
    assert (written.low, written.high) == (pytest.approx(25.344), pytest.approx(25.856))


def test_words_that_yaml_would_change_stay_text(build: Build) -> None:
    values = part(build, "pack-a").values
    assert [values[key].value for key in ("name", "model", "lot", "made")] == [
        "no",
        "010",
        "1e3",
        "12:30",
    ]
    assert part(build, "use").values["driven_at_night"].value is False


def test_every_value_knows_its_line_and_column(build: Build) -> None:
    lines = SHEET.splitlines()
    for one in build.instances:
        for written in (*one.values.values(), *one.settings.values()):
            line, column = written.place
            assert lines[line - 1][column - 1 :].startswith(written.text)


def test_answers_are_no_values(build: Build) -> None:
    pack = part(build, "pack-a")
    assert set(pack.answers) == {"internal_resistance", "mass", "heater"}
    assert not set(pack.answers) & set(pack.values)
    answer = pack.answers["internal_resistance"]
    assert (answer.said, answer.detail) == ("not published", "asked the seller 2026-03-01")
    assert pack.answers["mass"].said == "will be measured"


def test_none_and_complete_groups_are_absent_and_unknown_is_not(build: Build) -> None:
    assert build.absent == {"contactor", "breaker", "disconnect", "monitor"}


def test_sections_that_exist_once_are_always_there() -> None:
    build = read_sheet_bytes(b"sheet: 1\n", "least.yaml")
    expected = ["battery", "provisions", "supply", "use", "vehicle"]
    assert sorted(one.id for one in build.instances) == expected
    assert build.absent == frozenset()
    assert (build.title, build.stage) == ("", None)


def test_settings_stand_beside_the_value_of_the_part(build: Build) -> None:
    controller = part(build, "ctrl-1")
    assert controller.settings["battery_current_limit"].value == 200.0
    assert controller.values["battery_current_limit"].value == 300.0
    assert controller.values["drives"].value == "motor-1"


def test_readings_keep_their_order_and_circumstances(build: Build) -> None:
    first, second = part(build, "pack-a").readings["resting_voltage"]
    assert (first.value, second.value) == (26.4, 26.6)
    assert (second.instrument, second.time) == ("hand meter", "2026-03-02 14:10")
    assert part(build, "vehicle").readings["mass_empty"][0].who == "the builder"


def read(text: str) -> Build:
    return read_sheet_bytes(f"sheet: 1\n{text}".encode(), "some.yaml")


@pytest.mark.parametrize("complete", ["all", "[charging]", "charging", "[chargers]"])
def test_a_kind_said_to_be_unknown_is_never_counted_as_absent(complete: str) -> None:
    """Else the checks of a charger nobody described would be skipped without a word."""
    build = read(f"complete: {complete}\nparts: {{chargers: unknown}}\n")
    assert "charger" not in build.absent


def test_a_setting_that_nobody_knows_hides_the_value_of_the_part() -> None:
    """What is programmed counts; when that is unknown, the figure of the datasheet is not it."""
    build = read(
        "parts: {controllers: [{id: c, battery_current_limit: 300 A}]}\n"
        "settings: {c: {battery_current_limit: unknown}}\n"
    )
    controller = part(build, "c")
    assert "battery_current_limit" not in controller.values
    assert controller.answers["battery_current_limit"] == Answer(
        "unknown", "", controller.answers["battery_current_limit"].place
    )


def test_packs_whose_number_is_unknown_fit_any_arrangement() -> None:
    build = read(
        "battery: {packs_in_series: 2, packs_in_parallel: 2}\n"
        "parts: {packs: [{id: a, count: unknown}]}\n"
    )
    assert part(build, "battery").values["packs_in_series"].value == 2.0


def test_identical_packs_are_counted() -> None:
    build = read(
        "battery: {packs_in_series: 2, packs_in_parallel: 2}\n"
        "parts: {packs: [{id: a, count: 3}, {id: b}]}\n"
    )
    assert part(build, "a").values["count"].value == 3.0


@pytest.mark.parametrize("word", ["none", "unknown"])
def test_a_pack_without_or_with_an_unknown_management_system(word: str) -> None:
    build = read(f"parts: {{packs: [{{id: a, bms: {word}}}]}}\n")
    values = part(build, "a.bms").values
    assert {key: one.value for key, one in values.items()} == (
        {"kind": "none"} if word == "none" else {}
    )
