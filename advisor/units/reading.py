"""Written values to SI and back: the only place, with the rule text, where units exist.

A value is a plain decimal number and one unit from a committed table. Everything else is refused
with what to write instead, because a misread unit is a hazard: `36..72 V`, `10 C`, `2/0 AWG`.
Inside the program every number is an SI float (rad/s for a rotation speed, 1/s for a C-rate).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from advisor.problems import shown
from advisor.units.kinds import (
    BY_SPELLING,
    DIMENSIONS,
    KELVIN_ON_SCALE,
    PURE_UNIT,
    Dimension,
    Unit,
    UnitError,
    plain,
)
from advisor.units.refusals import (
    AMBIGUOUS,
    explain,
    wrong_dimension,
)

LARGEST = 1e12
LONGEST = 80  # characters; longer texts would make the patterns slow
_PURE = DIMENSIONS["pure"]
_TEMPERATURE = DIMENSIONS["temperature"]
_DIFFERENCE = DIMENSIONS["temperature difference"]
_WITH_SUPPLY = (DIMENSIONS["voltage"], DIMENSIONS["current"])

_DECIMAL = r"[+-]?(?:0|[1-9][0-9]*)(?:\.[0-9]+)?"
# a unit that starts with a digit (`1/h`) needs a space before it
_VALUE = re.compile(rf"({_DECIMAL})(?:\s+|(?![0-9.,]))(.*)", re.S)
_SUPPLY = r"(.+?)\s?(AC|DC|ac|dc)"
_TOLERANCE = r"(?s)(.*?)\s*(?:\+\s?/\s?-|\+-|±)\s*(.*)"
_GAUGE = r"(?i)(?:#\s?)?([1-9][0-9]?|0|[1-9]/0)\s?AWG|AWG\s?#?\s?([1-9][0-9]?|0|[1-9]/0)"
_PINT_WORD = r"[A-Za-z_]{3,40}"


@dataclass(frozen=True, slots=True)
class Quantity:
    """A written value: SI `value`, the `text` as written, the unit it was written in.

    `low` and `high` (SI) are the corners of a stated tolerance or the ends of a range; the `value`
    of a range is its middle. `unit` is None for a bare number and for a wire gauge. `supply` is
    `AC` or `DC` where the text says so: an AC rating says nothing about breaking direct current.
    """

    value: float
    text: str
    unit: Unit | None
    low: float | None = None
    high: float | None = None
    is_range: bool = False
    supply: str = ""


def parse(text: str, dimension: Dimension, example_unit: str) -> Quantity:
    """A number with a unit of `dimension`, perhaps with a tolerance: `58.4 V +/- 1 %`.

    `example_unit` is the unit shown in advice. Raises UnitError.
    """
    return _parse(_clean(text), dimension, example_unit)


def _clean(text: str) -> str:
    clean = plain(text)
    if len(clean) > LONGEST:
        raise UnitError(f"{shown(clean)} is too long for a value", "write a number and its unit")
    return clean


def _parse(
    clean: str, dimension: Dimension, example_unit: str, range_allowed: bool = False
) -> Quantity:
    match = _VALUE.fullmatch(clean)
    if match is None:
        raise explain(clean, dimension, example_unit, range_allowed)
    number, word = match.groups()
    found = BY_SPELLING.get(word)
    if found is not None and found.dimension == dimension and "/cell" not in found.spelling:
        return Quantity(_si(clean, number, found), clean, found)
    tolerance = re.fullmatch(_TOLERANCE, word)
    if tolerance is not None:
        return _with_tolerance(
            clean, f"{number} {tolerance[1]}", tolerance[2], dimension, example_unit
        )
    used, supply = _unit_of(clean, word, dimension, example_unit)
    if used is None:
        raise explain(clean, dimension, example_unit, range_allowed)
    kept = used if used is not PURE_UNIT else None
    return Quantity(_si(clean, number, used), clean, kept, supply=supply)


def _unit_of(
    clean: str, word: str, dimension: Dimension, example_unit: str
) -> tuple[Unit | None, str]:
    """The unit `word` stands for where `dimension` is expected, and AC or DC if it says so."""
    found = BY_SPELLING.get(word)
    if found is not None and found.dimension == dimension:
        # a value per cell read as the value of a pack is wrong by the number of cells
        if "/cell" in found.spelling and "/cell" not in example_unit:
            return None, ""
        return found, ""
    if not word and dimension == _PURE:
        return PURE_UNIT, ""
    if found is not None and found.spelling == "K" and dimension == _TEMPERATURE:
        return KELVIN_ON_SCALE, ""
    supply = re.fullmatch(_SUPPLY, word)
    if supply is not None and dimension in _WITH_SUPPLY:
        found = BY_SPELLING.get(supply[1])
        if found is not None and found.dimension == dimension and "/cell" not in found.spelling:
            return found, supply[2].upper()
    if found is None and _worth_asking(word, dimension):
        asked = _ask_pint(word)
        if asked is not None and asked.dimension == dimension:
            return asked, ""
        if asked is not None:
            raise wrong_dimension(clean, asked.dimension, dimension, example_unit)
    return None, ""


def _si(clean: str, number: str, used: Unit) -> float:
    value = float(number) * used.factor + used.offset
    if not -LARGEST <= value <= LARGEST:
        raise UnitError(f"{shown(clean)} is too large", "check the number and its unit")
    if value < 0.0 and used.dimension == _TEMPERATURE:
        raise UnitError(f"{shown(clean)} is below absolute zero", "check the number and its unit")
    return value + 0.0  # turns -0.0 into 0.0


def _with_tolerance(
    clean: str, nominal: str, tolerance: str, dimension: Dimension, example_unit: str
) -> Quantity:
    """`58.4 V` and `1 %`, or `0.5 V`: the corners are kept as `low` and `high`."""
    base = parse(nominal, dimension, example_unit)
    if dimension == _PURE and ("%" in nominal or "%" in tolerance):
        raise UnitError(
            f"{shown(clean)} can mean percent of the value or points", "write 0.85 +/- 0.02"
        )
    if tolerance.endswith("%") and dimension == _TEMPERATURE:
        raise UnitError(
            f"{shown(clean)} has a tolerance in percent of a temperature", "write it in K: +/- 3 K"
        )
    if tolerance.endswith("%"):
        share = parse(tolerance, _PURE, "%").value
        if not 0.0 <= share < 1.0:
            raise UnitError(
                f"{shown(clean)} has a tolerance outside 0 to 100 %", "write it like +/- 5 %"
            )
        spread = abs(base.value) * share
    elif dimension == _TEMPERATURE:
        spread = parse(tolerance, _DIFFERENCE, "K").value
    else:
        spread = parse(tolerance, dimension, base.unit.spelling if base.unit else "").value
    if re.fullmatch(_TOLERANCE, tolerance):
        raise UnitError(f"{shown(clean)} has two tolerances", "write one")
    if spread < 0.0:
        raise UnitError(f"{shown(clean)} has a negative tolerance", "write it without the sign")
    return replace(base, text=clean, low=base.value - spread, high=base.value + spread)


def parse_range(text: str, dimension: Dimension, example_unit: str) -> Quantity:
    """`-5 .. 38 degC`, or one plain value (then `low` and `high` equal it). Raises UnitError.

    The first number may leave its unit out; the second may not.
    """
    clean = _clean(text)
    left, dots, right = clean.partition("..")
    if not dots or right.startswith("."):
        single = _parse(clean, dimension, example_unit, range_allowed=True)
        if single.low is not None:
            return replace(single, is_range=True)
        return replace(single, low=single.value, high=single.value)
    if re.fullmatch(_TOLERANCE, clean):
        raise UnitError(f"{shown(clean)} is a range with a tolerance", "write its outer ends only")
    high = parse(right, dimension, example_unit)
    bare = re.fullmatch(_DECIMAL, left.strip())
    same = f" {high.unit.spelling}" if bare and high.unit else ""
    low = parse(left.strip() + same, dimension, example_unit)
    if low.value > high.value:
        smaller, larger = right.strip(), left.strip() + same
        raise UnitError(
            f"{shown(clean)} starts with the larger value", f"write {smaller} .. {larger}"
        )
    middle = (low.value + high.value) / 2.0
    return Quantity(middle, clean, high.unit, low.value, high.value, True, high.supply)


def parse_area(text: str) -> Quantity:
    """A conductor's area in m2, written as an area (`35 mm2`) or a gauge (`2/0 AWG`).

    Gauge n has the diameter 0.127 mm * 92^((36 - n) / 39), with n = 1 - m for m/0 (ASTM B258).
    Sizes from 24 AWG to 4/0 AWG are read. Raises UnitError.
    """
    clean = _clean(text)
    match = re.fullmatch(_GAUGE, clean)
    if match is None:
        if re.fullmatch(r"#?\s?[0-9]{1,2}(?:/0)?(?:\s?(?:gauge|ga\.?))?", clean, re.I):
            size = re.sub(r"[^0-9/]", "", clean)
            raise UnitError(
                f"{shown(clean)} does not name its system of sizes",
                f"write {size} AWG, or the conductor's area in mm²",
            )
        if zeros := re.fullmatch(r"(0{2,4})\s?AWG", clean, re.I):
            raise UnitError(f"{shown(clean)} is easily miscounted", f"write {len(zeros[1])}/0 AWG")
        if "AWG" in clean.upper():
            raise UnitError(
                f"{shown(clean)} is not how a gauge is written", "write it like 6 AWG or 2/0 AWG"
            )
        if clean.upper().startswith("SAE"):
            raise UnitError(
                f"{shown(clean)} is a size that is smaller than the same number in AWG",
                "write the conductor's area in mm²",
            )
        return parse(text, DIMENSIONS["area"], "mm²")
    size = match[1] or match[2]
    aught, _, zero = size.partition("/")
    number = 1 - int(aught) if zero else int(aught)
    if number < -3 or number > 24:
        word = "larger than 4/0 AWG" if number < -3 else "smaller than 24 AWG"
        raise UnitError(f"{shown(clean)} is {word}", "write the conductor's area in mm²")
    diameter = 0.127e-3 * 92.0 ** ((36 - number) / 39.0)
    return Quantity(math.pi / 4.0 * diameter**2, clean, None)


def parse_number(text: str) -> float:
    """A plain decimal number such as `18` or `0.5`, without a unit. Raises UnitError."""
    clean = _clean(text)
    match = _VALUE.fullmatch(clean)
    if match is None or (match[2] and match[2] not in BY_SPELLING):
        raise explain(clean, _PURE, "")
    if match[2]:
        value = match[1]
        if match[2] in ("%", "percent"):
            value = f"{float(value) / 100.0:.12f}".rstrip("0").rstrip(".")
        raise UnitError(f"{shown(clean)} has a unit, and a bare number is wanted", f"write {value}")
    return _si(clean, match[1], PURE_UNIT)


def _worth_asking(word: str, dimension: Dimension) -> bool:
    """True for one plain word that is not a slip of an allowed spelling."""
    if (
        dimension in (_PURE, _TEMPERATURE)
        or word in AMBIGUOUS
        or not re.fullmatch(_PINT_WORD, word)
    ):
        return False
    if word.endswith("s") and word[:-1] in BY_SPELLING:
        return False
    return not any(word.casefold() == known.casefold() for known in BY_SPELLING)


@lru_cache(maxsize=1)
def _registry() -> Any:
    import pint

    return pint.UnitRegistry()


@lru_cache(maxsize=256)
def _ask_pint(word: str) -> Unit | None:
    """What pint makes of a word outside the table; None if it has no single reading."""
    import pint

    registry = _registry()
    try:
        if len(registry.parse_unit_name(word)) != 1:
            return None
        base = registry.Quantity(1.0, word).to_base_units()
        zero = registry.Quantity(0.0, word).to_base_units().magnitude
    except (pint.errors.PintError, AttributeError, ArithmeticError):
        return None
    if zero != 0.0 or not math.isfinite(base.magnitude):
        return None
    powers = {str(key): float(value) for key, value in base.dimensionality.items()}
    letters = ("[length]", "[mass]", "[time]", "[current]", "[temperature]")
    if not set(powers) <= set(letters) or any(value % 1 for value in powers.values()):
        return None
    if "radian" in str(base.units):
        return None
    exponents = [int(powers.get(letter, 0)) for letter in letters]
    m, kg, s, a, k = exponents
    return Unit(word, Dimension(m, kg, s, a, k), float(base.magnitude))
