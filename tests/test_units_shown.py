"""Wire gauges read as areas, SI values shown to people, and the round trip."""

from __future__ import annotations

import math
import subprocess
import sys

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from advisor.units import UnitError, parse, parse_area, show, unit
from advisor.units.table import UNITS

# ASTM B258-02, solid round wire: nominal diameters in mil, rounded to 0.1 mil; and areas in
# circular mil as tabled in NEC chapter 9, table 8 (four figures)
ASTM_B258 = {
    "18 AWG": (40.3, 1620),
    "16 AWG": (50.8, 2580),
    "14 AWG": (64.1, 4110),
    "12 AWG": (80.8, 6530),
    "10 AWG": (101.9, 10380),
    "8 AWG": (128.5, 16510),
    "6 AWG": (162.0, 26240),
    "4 AWG": (204.3, 41740),
    "3 AWG": (229.4, 52620),
    "2 AWG": (257.6, 66360),
    "1 AWG": (289.3, 83690),
    "1/0 AWG": (324.9, 105600),
    "2/0 AWG": (364.8, 133100),
    "3/0 AWG": (409.6, 167800),
    "4/0 AWG": (460.0, 211600),
}


@pytest.mark.parametrize(("text", "published"), ASTM_B258.items())
def test_gauges_of_astm_b258(text: str, published: tuple[float, int]) -> None:
    area = parse_area(text).value
    mils = math.sqrt(4.0 * area / math.pi) / 25.4e-6
    assert mils == pytest.approx(published[0], abs=0.0501)
    # the table squares the rounded diameter and prints it to 10, or from 100 000 to 100
    step = 100 if published[1] >= 100_000 else 10
    assert abs(round(mils, 1) ** 2 - published[1]) <= step / 2


def test_gauges_fixed_by_definition() -> None:
    # ASTM B258: No. 4/0 is 0.4600 in, and each size is 92^(1/39) times the next
    assert parse_area("4/0 AWG").value == pytest.approx(math.pi / 4 * (0.46 * 0.0254) ** 2)
    ratio = parse_area("5 AWG").value / parse_area("6 AWG").value
    assert math.sqrt(ratio) == pytest.approx(1.1229322, rel=1e-7)


@pytest.mark.parametrize("text", ["AWG 6", "#6 AWG", "AWG #6", "6 awg", "6AWG"])
def test_ways_to_write_a_gauge(text: str) -> None:
    assert parse_area(text).value == parse_area("6 AWG").value
    assert parse_area(text).unit is None


def test_plain_areas() -> None:
    assert parse_area("35 mm2").value == pytest.approx(35e-6)
    assert parse_area("35 mm²").value == pytest.approx(35e-6)
    # 211.6 kcmil is 4/0 AWG (NEC chapter 9, table 8)
    assert parse_area("211.6 kcmil").value == pytest.approx(parse_area("4/0 AWG").value, rel=1e-6)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("5/0 AWG", "is larger than 4/0 AWG; write the conductor's area in mm²"),
        ("26 AWG", "is smaller than 24 AWG; write the conductor's area in mm²"),
        ("6 gauge", "write 6 AWG"),
        ("2/0", "write 2/0 AWG"),
        ("6", "write 6 AWG"),
        ("000 AWG", "write 3/0 AWG"),
        ("1/2 AWG", "write it like 6 AWG or 2/0 AWG"),
        ("16 AWG stranded", "write it like 6 AWG or 2/0 AWG"),
        ("SAE 6", "write the conductor's area in mm²"),
        ("3 kg", "is a mass, not an area; write it in mm², cm² or m²"),
    ],
)
def test_refused_sizes(text: str, expected: str) -> None:
    with pytest.raises(UnitError) as caught:
        parse_area(text)
    assert expected in str(caught.value)


@pytest.mark.parametrize(
    ("si", "spelling", "system", "text"),
    [
        (58.4, "V", "si", "58.4 V"),
        (378000.0, "Ah", "si", "105 A·h"),
        (0.18, "%", "si", "18 %"),
        (12.25, "", "si", "12.25"),
        (0.0, "V", "si", "0 V"),
        (-0.0, "V", "si", "0 V"),
        (0.0004, "V", "si", "0.4 mV"),
        (123456.0, "W", "si", "123.5 kW"),
        (12345.6, "W", "si", "12346 W"),
        (999.96, "V", "si", "1000 V"),
        (1e-7, "ohm", "si", "0.1 µΩ"),
        (86400.0, "day", "si", "1 day"),
        (172800.0, "day", "si", "2 days"),
        (298.15, "degC", "si", "25 °C"),
        (298.15, "degC", "us", "77 °F"),
        (5.0, "K", "us", "5 K"),
        (140.6136347, "kg", "us", "310 lb"),
        (140.6136347, "lb", "si", "140.6 kg"),
        (1.8288, "m", "us", "6 ft"),
        (0.254, "cm", "us", "10 in"),
        (8.9408, "km/h", "us", "20 mph"),
        (8.9408, "mph", "si", "32.19 km/h"),
        (13.558179483, "N m", "us", "10 lb·ft"),
        (48.0, "V", "us", "48 V"),
        (0.5 / 3600, "per hour", "si", "0.5 per hour"),
        (float("nan"), "V", "si", "not stated"),
        (float("inf"), "V", "si", "not stated"),
    ],
)
def test_shown(si: float, spelling: str, system: str, text: str) -> None:
    assert show(si, spelling, system) == text


@given(
    st.sampled_from(sorted(UNITS)),
    st.sampled_from(["si", "us"]),
    st.floats(min_value=1e-6, max_value=1e7),
    st.sampled_from([1.0, -1.0]),
)
def test_what_is_shown_can_be_read_back(
    spelling: str, system: str, number: float, sign: float
) -> None:
    used = unit(spelling)
    si = sign * number * used.factor + used.offset
    assume(abs(si) <= 1e11)
    assume(not used.dimension.absolute or si > 0.0)
    text = show(si, spelling, system)
    assert "e" not in text.split()[0]
    back = parse(text, used.dimension, spelling)
    assert back.unit is not None
    # four figures, counted in the unit shown
    shown_number = (si - back.unit.offset) / back.unit.factor
    again = (back.value - back.unit.offset) / back.unit.factor
    assert again == pytest.approx(shown_number, rel=5.01e-4, abs=1e-9)


def test_importing_units_does_not_import_pint() -> None:
    code = "import sys, advisor.units as u; u.parse('48 V', u.DIMENSIONS['voltage'], 'V')"
    code += "; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
