"""Write `advisor/units/table.py` from pint: `python tests/make_unit_table.py`.

The list below says which spellings are allowed and what each one means to pint. pint gives the
factors, in decimal arithmetic so that exact definitions (pound, inch) come out exact.
"""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pint

TARGET = Path(__file__).parent.parent / "advisor" / "units" / "table.py"

# printed spelling, dimension, what it is to pint, other allowed spellings separated by " | "
ROWS: tuple[tuple[str, str, str, str], ...] = (
    ("%", "pure", "percent", "percent"),
    ("V", "voltage", "volt", "volt | volts"),
    ("mV", "voltage", "millivolt", ""),
    ("kV", "voltage", "kilovolt", ""),
    ("V/cell", "voltage", "volt", "V per cell"),
    ("mV/cell", "voltage", "millivolt", "mV per cell"),
    ("A", "current", "ampere", "amp | amps | ampere | amperes"),
    ("mA", "current", "milliampere", ""),
    ("µA", "current", "microampere", "uA"),
    ("kA", "current", "kiloampere", ""),
    ("W", "power", "watt", "watt | watts"),
    ("kW", "power", "kilowatt", ""),
    ("mW", "power", "milliwatt", ""),
    ("MW", "power", "megawatt", ""),
    ("hp", "power", "horsepower", ""),
    ("Wh", "energy", "watt*hour", "W·h | W h"),
    ("kWh", "energy", "kilowatt*hour", "kW·h | kW h"),
    ("MWh", "energy", "megawatt*hour", ""),
    ("J", "energy", "joule", "joule | joules"),
    ("kJ", "energy", "kilojoule", ""),
    ("MJ", "energy", "megajoule", ""),
    ("A·h", "charge", "ampere*hour", "Ah | A h | amp hours | amp-hours | ampere hours"),
    ("mA·h", "charge", "milliampere*hour", "mAh | mA h"),
    ("Ω", "resistance", "ohm", "ohm | ohms"),
    ("mΩ", "resistance", "milliohm", "mohm"),
    ("µΩ", "resistance", "microohm", "uohm | µohm"),
    ("kΩ", "resistance", "kiloohm", "kohm"),
    ("MΩ", "resistance", "megaohm", "Mohm"),
    ("F", "capacitance", "farad", "farad"),
    ("mF", "capacitance", "millifarad", ""),
    ("µF", "capacitance", "microfarad", "uF"),
    ("nF", "capacitance", "nanofarad", ""),
    ("H", "inductance", "henry", "henry"),
    ("mH", "inductance", "millihenry", ""),
    ("µH", "inductance", "microhenry", "uH"),
    ("kg", "mass", "kilogram", ""),
    ("g", "mass", "gram", "gram | grams"),
    ("lb", "mass", "pound", "lbs | pound | pounds"),
    ("oz", "mass", "ounce", "ounce | ounces"),
    ("t", "mass", "metric_ton", "tonne | tonnes"),
    ("mm", "length", "millimeter", ""),
    ("cm", "length", "centimeter", ""),
    ("m", "length", "meter", "metre | metres | meter | meters"),
    ("km", "length", "kilometer", ""),
    ("in", "length", "inch", "inch | inches"),
    ("ft", "length", "foot", "foot | feet"),
    ("yd", "length", "yard", "yard | yards"),
    ("mi", "length", "mile", "mile | miles"),
    ("mm²", "area", "millimeter**2", "mm2"),
    ("cm²", "area", "centimeter**2", "cm2"),
    ("m²", "area", "meter**2", "m2"),
    ("in²", "area", "inch**2", "in2"),
    ("ft²", "area", "foot**2", "ft2"),
    ("kcmil", "area", "kilocircular_mil", ""),
    ("L", "volume", "liter", "l | litre | litres | liter | liters"),
    ("mL", "volume", "milliliter", "ml"),
    ("m³", "volume", "meter**3", "m3"),
    ("ft³", "volume", "foot**3", "ft3"),
    ("m³/h", "volume flow", "meter**3/hour", "m3/h"),
    ("L/min", "volume flow", "liter/minute", "l/min"),
    ("ft³/min", "volume flow", "foot**3/minute", "ft3/min | cfm | CFM"),
    ("s", "time", "second", "sec | second | seconds"),
    ("ms", "time", "millisecond", ""),
    ("µs", "time", "microsecond", "us"),
    ("min", "time", "minute", "mins | minute | minutes"),
    ("h", "time", "hour", "hr | hrs | hour | hours"),
    ("days", "time", "day", "day | d"),
    ("weeks", "time", "week", "week"),
    ("months", "time", "month", "month"),
    ("years", "time", "year", "year | yr"),
    ("km/h", "speed", "kilometer/hour", "kph | kmh"),
    ("mph", "speed", "mile/hour", "mi/h"),
    ("m/s", "speed", "meter/second", ""),
    ("m/s²", "acceleration", "meter/second**2", "m/s2"),
    ("°C", "temperature", "degC", "degC | deg C | Celsius"),
    ("°F", "temperature", "degF", "degF | deg F | Fahrenheit"),
    ("K", "temperature difference", "kelvin", "kelvin"),
    ("N", "force", "newton", "newton"),
    ("kN", "force", "kilonewton", ""),
    ("lbf", "force", "force_pound", ""),
    ("N·m", "torque", "newton*meter", "Nm | N m"),
    (
        "lb·ft",
        "torque",
        "force_pound*foot",
        "lb ft | lb-ft | lbf·ft | lbf ft | ft·lb | ft lb | ft-lb",
    ),
    ("in·lb", "torque", "force_pound*inch", "in lb | in-lb | lb·in | lb in | lb-in"),
    ("per hour", "rate", "1/hour", "1/h | per h"),
    ("per minute", "rate", "1/minute", "1/min | per min"),
    ("per second", "rate", "1/second", "1/s | per s"),
    ("per day", "rate", "1/day", "1/day"),
    ("per month", "rate", "1/month", "1/month"),
    ("per year", "rate", "1/year", "1/year"),
    ("%/day", "rate", "percent/day", "% per day"),
    ("%/month", "rate", "percent/month", "% per month"),
    ("%/year", "rate", "percent/year", "% per year"),
    ("Hz", "rate", "1/second", ""),
    ("kHz", "rate", "1000/second", ""),
    ("rpm", "rotation speed", "revolutions_per_minute", "r/min | RPM"),
    ("rpm/V", "speed per voltage", "revolutions_per_minute/volt", "rpm per volt | RPM/V"),
    ("N·m/A", "torque per current", "newton*meter/ampere", "Nm/A | N m/A"),
    ("mV/K", "voltage per temperature", "millivolt/kelvin", "mV/°C | mV/degC"),
    (
        "mV/cell/K",
        "voltage per temperature",
        "millivolt/kelvin",
        "mV/K/cell | mV/cell/°C | mV/cell/degC | mV/°C/cell | mV/degC/cell",
    ),
    ("Pa", "pressure", "pascal", "pascal"),
    ("kPa", "pressure", "kilopascal", ""),
    ("bar", "pressure", "bar", ""),
    ("psi", "pressure", "psi", ""),
    ("mΩ/m", "resistance per length", "milliohm/meter", "mohm/m | Ω/km | ohm/km"),
    ("Wh/km", "energy per length", "watt*hour/kilometer", ""),
    ("Wh/mi", "energy per length", "watt*hour/mile", "Wh/mile"),
    ("A²·s", "let-through", "ampere**2*second", "A²s | A2s"),
    ("K/W", "thermal resistance", "kelvin/watt", "°C/W | degC/W"),
)


def registry() -> pint.UnitRegistry[Decimal]:
    """A pint registry that computes in decimal."""
    return pint.UnitRegistry(non_int_type=Decimal)


def factor_and_offset(units: pint.UnitRegistry[Decimal], meaning: str) -> tuple[float, float]:
    """What pint says: SI value = number * factor + offset."""
    scale, _, rest = meaning.partition("/")
    number = Decimal(scale) if scale.isdigit() else Decimal(1)
    unit = units.parse_units(f"1/{rest}" if scale.isdigit() else meaning)
    zero = units.Quantity(Decimal(0), unit).to_base_units().magnitude
    one = units.Quantity(number, unit).to_base_units().magnitude
    return float(one - zero), float(zero)


def build() -> dict[str, tuple[str, float, float, str]]:
    """The table as data."""
    units = registry()
    return {
        printed: (dimension, *factor_and_offset(units, meaning), others)
        for printed, dimension, meaning, others in ROWS
    }


def text() -> str:
    """The table as a module."""
    lines = [
        '"""Units a person may write. Made by tests/make_unit_table.py from pint; do not edit.',
        "",
        "printed spelling: (dimension, factor, offset, others); SI = number * factor + offset",
        '"""',
        "",
        "UNITS: dict[str, tuple[str, float, float, str]] = {",
    ]
    for printed, (dimension, factor, offset, others) in build().items():
        row = f'    "{printed}": ("{dimension}", {factor!r}, {offset!r}, "{others}"),'
        if len(row) <= 100:
            lines.append(row)
        else:
            parts = (f'"{dimension}"', repr(factor), repr(offset), f'"{others}"')
            lines += [f'    "{printed}": (', *(f"        {part}," for part in parts), "    ),"]
    return "\n".join([*lines, "}", ""])


if __name__ == "__main__":
    TARGET.write_text(text(), encoding="utf-8")
