"""Units: every spelling against pint, refusals with their advice, gauges, showing values."""

from __future__ import annotations

import importlib.util
import math
from decimal import Decimal
from pathlib import Path
from types import ModuleType

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from advisor.units import (
    DIMENSIONS,
    Dimension,
    UnitError,
    known_spellings,
    parse,
    parse_area,
    parse_number,
    parse_range,
    unit,
)
from advisor.units.kinds import BY_SPELLING
from advisor.units.table import UNITS


def _maker() -> ModuleType:
    path = Path(__file__).with_name("make_unit_table.py")
    spec = importlib.util.spec_from_file_location("make_unit_table", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


MAKER = _maker()
PINT = pint.UnitRegistry(non_int_type=Decimal)
LETTERS = ("[length]", "[mass]", "[time]", "[current]", "[temperature]")


def value(text: str, dimension: str, example: str = "") -> float:
    return parse(text, DIMENSIONS[dimension], example).value


# --- the table against pint ------------------------------------------------------------------


def test_committed_table_is_what_the_script_makes_from_pint() -> None:
    made = MAKER.build()
    assert list(made) == list(UNITS)
    for spelling, (dimension, factor, offset, others) in made.items():
        committed = UNITS[spelling]
        assert (committed[0], committed[3]) == (dimension, others)
        # the last digit may differ between versions of pint
        assert math.isclose(committed[1], factor, rel_tol=1e-14), spelling
        assert math.isclose(committed[2], offset, rel_tol=1e-14), spelling


@pytest.mark.parametrize("row", MAKER.ROWS, ids=lambda row: row[0])
def test_every_spelling_has_the_dimension_and_size_pint_gives(
    row: tuple[str, str, str, str],
) -> None:
    printed, dimension, meaning, others = row
    expected = PINT.parse_units(meaning.replace("1000/", "kilo/").replace("kilo/second", "kHz"))
    powers = [int(expected.dimensionality.get(letter, 0)) for letter in LETTERS]
    factor, offset = MAKER.factor_and_offset(PINT, meaning)
    for spelling in [printed, *filter(None, others.split(" | "))]:
        found = unit(spelling)
        assert found.spelling == printed
        known = found.dimension
        assert known == DIMENSIONS[dimension]
        assert [known.m, known.kg, known.s, known.A, known.K] == powers
        example = printed if "/cell" in printed else ""
        got = parse(f"12.5 {spelling}", known, example).value
        assert math.isclose(got, 12.5 * factor + offset, rel_tol=1e-13)


# words of the table that pint alone does not know, or reads as something else
UNKNOWN_TO_PINT = {"CFM", "Celsius", "Fahrenheit", "Mohm", "RPM", "kmh", "kph"}
MISREAD_BY_PINT = {
    "amps": "attometre per second",
    "cfm": "centifermi",
    "Nm": "number metre",
}
WORDS = [word for word in BY_SPELLING if word.isascii() and word.isalpha()]
PLAIN_PINT = pint.UnitRegistry()


@pytest.mark.parametrize("word", [word for word in WORDS if word not in MISREAD_BY_PINT])
def test_words_pint_knows_mean_the_same_to_pint(word: str) -> None:
    try:
        there = PLAIN_PINT.Quantity(12.0, word)
    except pint.errors.UndefinedUnitError:
        assert word in UNKNOWN_TO_PINT
        return
    found = unit(word)
    ours = 12.0 * found.factor + found.offset
    assert math.isclose(ours, float(there.to_base_units().magnitude), rel_tol=1e-12)


# NIST Special Publication 811 (2008), appendix B, factors marked exact or to seven figures;
# figures from memory
@pytest.mark.parametrize(
    ("spelling", "factor"),
    [
        ("lb", 0.45359237),
        ("oz", 0.02834952),
        ("in", 0.0254),
        ("ft", 0.3048),
        ("mi", 1609.344),
        ("mph", 0.44704),
        ("lbf", 4.448222),
        ("lb·ft", 1.355818),
        ("psi", 6894.757),
        ("hp", 745.6999),
        ("A·h", 3600.0),
        ("kWh", 3.6e6),
        ("rpm", 0.1047198),
        ("in²", 6.4516e-4),
    ],
)
def test_factors_of_nist_sp_811(spelling: str, factor: float) -> None:
    assert math.isclose(unit(spelling).factor, factor, rel_tol=1e-6)


# --- dimensions --------------------------------------------------------------------------------


def test_dimensions_multiply_and_divide() -> None:
    d = DIMENSIONS
    assert d["voltage"] * d["current"] == d["power"]
    assert d["voltage"] / d["current"] == d["resistance"]
    assert d["power"] * d["time"] == d["energy"]
    assert d["torque"] * d["rotation speed"] == d["power"]
    assert (d["speed per voltage"] * d["torque per current"]).name == "pure"
    assert (d["voltage"] / d["current"]).name == "resistance"
    assert (d["mass"] * d["area"]).name == "m^2 kg"
    assert d["rotation speed"] != d["rate"]
    assert d["torque"] != d["energy"]
    assert not (d["temperature"] * d["pure"]).absolute
    assert (d["temperature"] / d["pure"]).name == "temperature difference"


def test_names_are_found_back() -> None:
    for name, dimension in DIMENSIONS.items():
        shared = {"frequency": "rate", "energy per length": "force"}
        assert dimension.name == shared.get(name, name)


def test_known_spellings_fit() -> None:
    assert known_spellings(DIMENSIONS["voltage"])[:3] == ("V", "mV", "kV")
    assert "K" in known_spellings(DIMENSIONS["temperature"])
    assert known_spellings(Dimension(m=9)) == ()


# --- what is accepted --------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "dimension", "si"),
    [
        ("58.4 V", "voltage", 58.4),
        ("58.4V", "voltage", 58.4),
        (" 58.4\u00a0V ", "voltage", 58.4),
        ("58.4\u202fV", "voltage", 58.4),
        ("40 m\u2126", "resistance", 0.040),
        ("470 \u03bcF", "capacitance", 470e-6),
        ("105 A h", "charge", 378000.0),
        ("\u22120.5 V", "voltage", -0.5),
        ("+5 V", "voltage", 5.0),
        ("48 V DC", "voltage", 48.0),
        ("48 VDC", "voltage", 48.0),
        ("120 V AC", "voltage", 120.0),
        ("30 A DC", "current", 30.0),
        ("85 %", "pure", 0.85),
        ("0.85", "pure", 0.85),
        ("0.5 per hour", "rate", 0.5 / 3600),
        ("0.5 1/h", "rate", 0.5 / 3600),
        ("3 %/month", "rate", 0.03 / (365.25 / 12 * 86400)),
        ("80 Nm", "torque", 80.0),
        ("3 days", "time", 259200.0),
        ("10 in", "length", 0.254),
        ("5 kilovolts", "voltage", 5000.0),
        ("10 knots", "speed", 10 * 1852 / 3600),
        ("5 K", "temperature difference", 5.0),
    ],
)
def test_accepted(text: str, dimension: str, si: float) -> None:
    assert math.isclose(value(text, dimension), si, rel_tol=1e-12)


# fixed points of the scales: water freezes 32 degF = 0 degC = 273.15 K and boils at 212 degF,
# the scales meet at -40 (definitions of the Celsius and Fahrenheit scales)
@pytest.mark.parametrize(
    ("text", "kelvin"),
    [
        ("0 degC", 273.15),
        ("32 °F", 273.15),
        ("212 degF", 373.15),
        ("-40 degC", 233.15),
        ("−40 degF", 233.15),
        ("300 K", 300.0),
    ],
)
def test_absolute_temperatures(text: str, kelvin: float) -> None:
    got = parse(text, DIMENSIONS["temperature"], "degC")
    assert math.isclose(got.value, kelvin, rel_tol=1e-12)
    assert got.unit is not None
    assert got.unit.dimension.absolute


def test_supply_is_kept() -> None:
    volts = DIMENSIONS["voltage"]
    assert [parse(t, volts, "V").supply for t in ("250 V AC", "58 Vdc", "58 V")] == ["AC", "DC", ""]


def test_tolerance() -> None:
    got = parse("58.4 V +/- 1 %", DIMENSIONS["voltage"], "V")
    assert (got.value, got.is_range) == (58.4, False)
    assert got.low == pytest.approx(57.816, rel=1e-12)
    assert got.high == pytest.approx(58.984, rel=1e-12)
    got = parse("58.4 V ± 500 mV", DIMENSIONS["voltage"], "V")
    assert (got.low, got.high) == (pytest.approx(57.9), pytest.approx(58.9))
    got = parse("25 degC ± 3 K", DIMENSIONS["temperature"], "degC")
    assert (got.low, got.high) == (pytest.approx(295.15), pytest.approx(301.15))
    got = parse("-10 V ± 10 %", DIMENSIONS["voltage"], "V")
    assert (got.low, got.high) == (pytest.approx(-11.0), pytest.approx(-9.0))


def test_ranges() -> None:
    got = parse_range("-5 .. 38 degC", DIMENSIONS["temperature"], "degC")
    assert (got.low, got.high) == (pytest.approx(268.15), pytest.approx(311.15))
    assert got.is_range
    got = parse_range("36V..72V", DIMENSIONS["voltage"], "V")
    assert (got.low, got.value, got.high) == (36.0, 54.0, 72.0)
    got = parse_range("900 mV .. 1.2 V", DIMENSIONS["voltage"], "V")
    assert (got.low, got.high) == (pytest.approx(0.9), 1.2)
    got = parse_range("48 V", DIMENSIONS["voltage"], "V")
    assert (got.low, got.high, got.is_range) == (48.0, 48.0, False)
    got = parse_range("48 V ± 10 %", DIMENSIONS["voltage"], "V")
    assert (got.low, got.high, got.is_range) == (pytest.approx(43.2), pytest.approx(52.8), True)


# --- what is refused ---------------------------------------------------------------------------

REFUSED = [
    ("48", "voltage", "V", '"48" has no unit; write 48 V'),
    ("60", "charge", "A·h", '"60" has no unit; write 60 A·h'),
    ("47 kg", "voltage", "V", '"47 kg" is a mass, not a voltage; write it in V, mV or kV'),
    ("85 %", "voltage", "V", "is a percentage, not a voltage"),
    ("5 kg", "rate", "per hour", "not a rate; write it per hour, per minute or per second"),
    ("80 J", "torque", "N·m", '"80 J" is an energy, not a torque'),
    ("60 Ahs", "charge", "A·h", '"Ahs" is not a unit; write 60 A·h'),
    ("48 vlots", "voltage", "V", '"vlots" is not a unit; write 48 V'),
    ("40 mohms", "resistance", "mΩ", '"mohms" is not a unit; write 40 mΩ'),
    ("40 MOHM", "resistance", "mΩ", "write 40 mΩ or 40 MΩ"),
    ("50 MA", "current", "A", "write 50 mA"),
    ("10 C", "temperature", "degC", "write 10 degC"),
    ("0.5 C", "rate", "per hour", "write 0.5 per hour"),
    ("105 C", "charge", "A·h", "write 105 A·h"),
    ("75 F", "temperature", "degC", "write 75 degF"),
    ("5 °C", "temperature difference", "K", "write K for a difference: 5 K"),
    ("9 degF", "temperature difference", "K", "write K for a difference: 5 K"),
    ("36..72 V", "voltage", "V", "is a range, and one value is wanted"),
    ("36-72 V", "voltage", "V", "36 .. 72 V"),
    ("10 mil", "length", "mm", '"mil" is not a clear unit'),
    ("2/0 AWG", "voltage", "V", "is a wire gauge, not a voltage"),
    ("~48 V", "voltage", "V", '"~48 V" is only approximate; write 48 V'),
    ("about 48 V", "voltage", "V", "is only approximate; write 48 V"),
    ("<40 mΩ", "resistance", "mΩ", '"<40 mΩ" is a limit, not a value; write 40 mΩ'),
    ("max. 40 A", "current", "A", "is a limit, not a value; write 40 A"),
    ("1,200 W", "power", "W", "has a comma in its number; write 1200 W or 1.2 W"),
    ("0,5 V", "voltage", "V", "has a comma in its number; write 0.5 V"),
    ("1 200 W", "power", "W", "has a number in groups; write 1200 W"),
    ("1e3 W", "power", "W", '"1e3 W" has an exponent; write 1000 W'),
    ("1e999999999 W", "power", "W", "write the number out in full"),
    ("010 V", "voltage", "V", '"010 V" starts with a zero; write 10 V'),
    ("01/h", "rate", "per hour", "starts with a zero"),
    (".5 V", "voltage", "V", "write 0.5 V"),
    ("5. V", "voltage", "V", "write 5 V"),
    ("1.2.3 V", "voltage", "V", "more than one decimal point"),
    ("nan V", "voltage", "V", "is not a number"),
    ("inf", "voltage", "V", '"inf" is not a number'),
    ("1/2 in", "length", "in", "is a fraction; write 0.5 in"),
    ("5 1/2 in", "length", "in", "is a fraction; write 5.5 in"),
    ("5 ft 3 in", "length", "in", "has more than one number"),
    ("12.5:1", "pure", "", "is written as a ratio; write 12.5"),
    ("48 V nominal", "voltage", "V", '"nominal" stands after the unit; write 48 V'),
    ("105 amp fortnights", "charge", "A·h", "write it in A·h or mA·h"),
    ("48 V/A", "voltage", "V", '"V/A" is not a known unit'),
    ("3.65 V/cell", "voltage", "V", "is per cell"),
    ("5 horsepower", "voltage", "V", "is a power, not a voltage"),
    ("-300 degC", "temperature", "degC", "is below absolute zero"),
    ("9000000000000 V", "voltage", "V", "is too large"),
    ("9" * 70 + " V", "voltage", "V", "is too large"),
    ("9" * 400, "voltage", "V", "is too long"),
    ("5 " + " " * 100_000 + "V ± 1", "voltage", "V", "is too long"),
    ("", "voltage", "V", "the value is empty; write a number and a unit, such as 12 V"),
    ("none", "mass", "kg", "is not a number with a unit"),
    ("١٢ V", "voltage", "V", "is not a number with a unit"),
    ("20 % ± 5 %", "pure", "%", "percent of the value or points"),
    ("25 degC ± 5 %", "temperature", "degC", "write it in K"),
    ("58.4 V ± 0.5", "voltage", "V", '"0.5" has no unit; write 0.5 V'),
    ("58.4 V ± -1 V", "voltage", "V", "negative tolerance"),
    ("58.4 V ± 200 %", "voltage", "V", "outside 0 to 100 %"),
]


@pytest.mark.parametrize(("text", "dimension", "example", "expected"), REFUSED)
def test_refused(text: str, dimension: str, example: str, expected: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse(text, DIMENSIONS[dimension], example)
    assert expected in str(caught.value)
    assert caught.value.problem
    assert caught.value.advice


def test_a_dimension_without_units_is_refused_in_words_too() -> None:
    with pytest.raises(UnitError, match=r"is a mass, not a m\^9; write it in m\^9"):
        parse("5 kg", Dimension(m=9), "")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("36-72 V", "is not how a range is written; write 36 .. 72 V"),
        ("36 – 72 V", "write 36 .. 72 V"),
        ("36 to 72 V", "write 36 .. 72 V"),
        ("36 V to 72 V", "write 36 .. 72 V"),
        ("36...72 V", "write 36 .. 72 V"),
        ("72 .. 36 V", "starts with the larger value; write 36 V .. 72 V"),
        ("36 V .. 72", '"72" has no unit; write 72 V'),
        ("36 V .. 5 kg", '"5 kg" is a mass, not a voltage'),
        ("36 .. 72 V ± 1 %", "is a range with a tolerance"),
        ("36 V ..", "is empty"),
    ],
)
def test_refused_ranges(text: str, expected: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_range(text, DIMENSIONS["voltage"], "V")
    assert expected in str(caught.value)


@given(st.text(max_size=30))
def test_any_text_gives_a_number_or_a_unit_error(text: str) -> None:
    for read in (
        lambda: parse(text, DIMENSIONS["voltage"], "V").value,
        lambda: parse_range(text, DIMENSIONS["temperature"], "degC").value,
        lambda: parse_area(text).value,
        lambda: parse_number(text),
    ):
        try:
            assert math.isfinite(read())
        except UnitError as refused:
            assert refused.problem
            assert refused.advice


@given(st.text(alphabet="0123456789 .,-+±/%eVAhmkC°~<to", max_size=14))
def test_texts_close_to_values_give_a_number_or_a_unit_error(text: str) -> None:
    for dimension in ("voltage", "charge", "pure", "temperature", "rate"):
        try:
            assert math.isfinite(parse(text, DIMENSIONS[dimension], "V").value)
        except UnitError as refused:
            assert refused.advice


@pytest.mark.parametrize(("text", "number"), [("18", 18.0), ("0.5", 0.5), ("-3", -3.0)])
def test_bare_numbers(text: str, number: float) -> None:
    assert parse_number(text) == number


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1,200", "write 1200 or 1.2"),
        ("1e3", "write 1000"),
        ("010", "write 10"),
        ("nan", "is not a number"),
        ("18 %", "write 0.18"),
        ("18 V", "write 18"),
        ("0x10", "has a unit that is not known"),
        ("1_000", "write 1000"),
    ],
)
def test_refused_bare_numbers(text: str, expected: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_number(text)
    assert expected in str(caught.value)
