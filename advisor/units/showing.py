"""SI values as text for people: their units, few digits, no exponents."""

from __future__ import annotations

import math

from advisor.units.kinds import Unit, unit

# spellings of one kind from small to large: where a number would be unreadable, another is taken
_LADDERS: tuple[tuple[str, ...], ...] = (
    ("mV", "V", "kV"),
    ("mV/cell", "V/cell"),
    ("µA", "mA", "A", "kA"),
    ("mW", "W", "kW", "MW"),
    ("Wh", "kWh", "MWh"),
    ("mA·h", "A·h"),
    ("µΩ", "mΩ", "Ω", "kΩ", "MΩ"),
    ("nF", "µF", "mF", "F"),
    ("µH", "mH", "H"),
    ("g", "kg", "t"),
    ("oz", "lb"),
    ("mm", "m", "km"),
    ("in", "ft", "mi"),
    ("mm²", "cm²", "m²"),
    ("mL", "L", "m³"),
    ("µs", "ms", "s", "min", "h", "days", "years"),
    ("N", "kN"),
    ("Pa", "kPa", "bar"),
    ("Hz", "kHz"),
)
_LADDER_OF = {spelling: ladder for ladder in _LADDERS for spelling in ladder}
_LADDER_OF |= {
    "J": ("J", "Wh", "kWh", "MWh"),
    "kJ": ("J", "kJ", "kWh", "MWh"),
    "MJ": ("J", "kJ", "kWh", "MWh"),
    "cm": ("mm", "cm", "m", "km"),
    "weeks": ("s", "min", "h", "days", "weeks", "years"),
    "months": ("s", "min", "h", "days", "months", "years"),
}
_TO_US = {
    "kg": "lb",
    "t": "lb",
    "g": "oz",
    "m": "ft",
    "cm": "in",
    "mm": "in",
    "km": "mi",
    "km/h": "mph",
    "°C": "°F",
    "N·m": "lb·ft",
    "N": "lbf",
    "kPa": "psi",
    "bar": "psi",
    "Wh/km": "Wh/mi",
}
_TO_SI = {
    "lb": "kg",
    "oz": "g",
    "ft": "m",
    "yd": "m",
    "in": "mm",
    "mi": "km",
    "mph": "km/h",
    "°F": "°C",
    "lb·ft": "N·m",
    "in·lb": "N·m",
    "lbf": "N",
    "psi": "kPa",
    "Wh/mi": "Wh/km",
    "in²": "cm²",
    "ft²": "m²",
    "ft³": "m³",
    "ft³/min": "m³/h",
}
_SINGULAR = {"days": "day", "weeks": "week", "months": "month", "years": "year"}


def show(value_si: float, unit_spelling: str, system: str = "si", figures: int = 4) -> str:
    """An SI value as text, such as `58.4 V`, `105 A·h` or `310 lb`.

    `system` is `si` or `us`: mass, length, speed, temperature, force, torque and pressure are
    shown in that system's units, electrical values as they are. At most `figures` significant
    figures, whole numbers above 1000. A value below 0.001 or above 99999 moves to a larger or
    smaller unit of the same kind. Values that are not finite are unknown: `not stated`.
    """
    if not math.isfinite(value_si):
        return "not stated"
    used = unit(shown_unit(unit_spelling, system))
    number = (value_si - used.offset) / used.factor
    size = abs(number)
    if number and (size < 0.001 or round(size) > 99999) and used.spelling in _LADDER_OF:
        used = _fitting(value_si, _LADDER_OF[used.spelling])
        number = value_si / used.factor
    digits = _digits(number, figures)
    if not used.spelling:
        return digits
    word = _SINGULAR.get(used.spelling, used.spelling) if digits == "1" else used.spelling
    return f"{digits} {word}"


def shown_unit(unit_spelling: str, system: str = "si") -> str:
    """The unit in which `show` prints a value of middle size: `degC` gives `°C` or `°F`."""
    used = unit(unit_spelling).spelling
    return (_TO_US if system == "us" else _TO_SI).get(used, used)


def _fitting(value_si: float, ladder: tuple[str, ...]) -> Unit:
    """The largest unit of the ladder that leaves at least 1, else the smallest."""
    units = [unit(spelling) for spelling in ladder]
    fitting = [one for one in units if abs(value_si) / one.factor >= 1.0]
    return fitting[-1] if fitting else units[0]


def _digits(number: float, figures: int) -> str:
    if number == 0.0:
        return "0"
    decimals = figures - 1 - math.floor(math.log10(abs(number)))
    if decimals <= 0:
        return f"{number:.0f}"
    text = f"{number:.{min(decimals, 30)}f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
