"""Dimensions and units: what kinds of numbers exist and how each spelling turns into SI."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.problems import shown
from advisor.units.table import UNITS


class UnitError(ValueError):
    """A written value that cannot be used: what is wrong, and what to write instead."""

    def __init__(self, problem: str, advice: str) -> None:
        super().__init__(f"{problem}; {advice}")
        self.problem = problem
        self.advice = advice


@dataclass(frozen=True, slots=True)
class Dimension:
    """Exponents of metre, kilogram, second, ampere and kelvin.

    `absolute` marks a temperature on a scale, as against a difference. `turn` counts the angle in
    radians: it keeps a rotation speed apart from a rate, and a torque (joule per radian) apart from
    an energy, so that torque times rotation speed is a power.
    """

    m: int = 0
    kg: int = 0
    s: int = 0
    A: int = 0
    K: int = 0
    absolute: bool = False
    turn: int = 0

    def _exponents(self) -> tuple[int, int, int, int, int, int]:
        return self.m, self.kg, self.s, self.A, self.K, self.turn

    def __mul__(self, other: Dimension) -> Dimension:
        m, kg, s, a, k, turn = (
            x + y for x, y in zip(self._exponents(), other._exponents(), strict=True)
        )
        return Dimension(m, kg, s, a, k, turn=turn)

    def __truediv__(self, other: Dimension) -> Dimension:
        m, kg, s, a, k, turn = (
            x - y for x, y in zip(self._exponents(), other._exponents(), strict=True)
        )
        return Dimension(m, kg, s, a, k, turn=turn)

    @property
    def name(self) -> str:
        """A plain word such as `voltage`, or the exponents when there is none."""
        known = _NAMES.get(self)
        if known is not None:
            return known
        names = ("m", "kg", "s", "A", "K", "rad")
        pairs = zip(names, self._exponents(), strict=True)
        return " ".join(base if power == 1 else f"{base}^{power}" for base, power in pairs if power)


_VOLT = Dimension(m=2, kg=1, s=-3, A=-1)
_KELVIN = Dimension(K=1)
_TORQUE = Dimension(m=2, kg=1, s=-2, turn=-1)
_AMPERE = Dimension(A=1)
_POWER = Dimension(m=2, kg=1, s=-3)
_ROTATION = Dimension(s=-1, turn=1)

DIMENSIONS: dict[str, Dimension] = {
    "pure": Dimension(),
    "voltage": _VOLT,
    "current": _AMPERE,
    "power": _POWER,
    "energy": Dimension(m=2, kg=1, s=-2),
    "charge": Dimension(s=1, A=1),
    "resistance": _VOLT / _AMPERE,
    "capacitance": Dimension(s=1, A=1) / _VOLT,
    "inductance": Dimension(m=2, kg=1, s=-2, A=-2),
    "mass": Dimension(kg=1),
    "length": Dimension(m=1),
    "area": Dimension(m=2),
    "volume": Dimension(m=3),
    "volume flow": Dimension(m=3, s=-1),
    "time": Dimension(s=1),
    "speed": Dimension(m=1, s=-1),
    "acceleration": Dimension(m=1, s=-2),
    "temperature": Dimension(K=1, absolute=True),
    "temperature difference": _KELVIN,
    "force": Dimension(m=1, kg=1, s=-2),
    "energy per length": Dimension(m=1, kg=1, s=-2),
    "torque": _TORQUE,
    "rate": Dimension(s=-1),
    "frequency": Dimension(s=-1),
    "rotation speed": _ROTATION,
    "voltage per temperature": _VOLT / _KELVIN,
    "torque per current": _TORQUE / _AMPERE,
    "speed per voltage": _ROTATION / _VOLT,
    "resistance per length": _VOLT / _AMPERE / Dimension(m=1),
    "let-through": Dimension(s=1, A=2),
    "thermal resistance": _KELVIN / _POWER,
    "pressure": Dimension(m=-1, kg=1, s=-2),
}
# where two share exponents the first name wins: force, rate
_NAMES = {dimension: name for name, dimension in reversed(DIMENSIONS.items())}


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: the spelling that is printed, and SI value = number * factor + offset."""

    spelling: str
    dimension: Dimension
    factor: float
    offset: float = 0.0


PURE_UNIT = Unit("", DIMENSIONS["pure"], 1.0)
KELVIN_ON_SCALE = Unit("K", DIMENSIONS["temperature"], 1.0)
BY_SPELLING: dict[str, Unit] = {}
for _printed, (_dimension, _factor, _offset, _others) in UNITS.items():
    _unit = Unit(_printed, DIMENSIONS[_dimension], _factor, _offset)
    BY_SPELLING[_printed] = _unit
    if _others:
        BY_SPELLING.update(dict.fromkeys(_others.split(" | "), _unit))

_VARIANTS = str.maketrans(
    {
        "\u00a0": " ",  # no-break space
        "\u2009": " ",  # thin space
        "\u202f": " ",  # narrow no-break space
        "−": "-",  # minus sign
        "\u2126": "Ω",  # ohm sign to Greek capital omega
        "\u03bc": "µ",  # Greek mu to micro sign
        "\u22c5": "·",  # dot operator to middle dot
        "℃": "°C",
        "℉": "°F",
    }
)


def plain(text: str) -> str:
    """`text` stripped, with look-alike characters turned into the ones of the table."""
    return text.strip() if text.isascii() else text.translate(_VARIANTS).strip()


def unit(spelling: str) -> Unit:
    """The unit of an allowed spelling; an empty one is the pure number 1.

    Raises UnitError. `K` is a temperature difference here; `parse` takes it for an absolute
    temperature where one is expected.
    """
    word = plain(spelling)
    if not word:
        return PURE_UNIT
    found = BY_SPELLING.get(word)
    if found is None:
        near = same_but_for_case(word)
        advice = " or ".join(near) if near else "V, A·h, mΩ, kg, mm or another unit of the list"
        raise UnitError(f"{shown(spelling)} is not a unit", f"write {advice}")
    return found


def same_but_for_case(word: str, dimension: Dimension | None = None) -> list[str]:
    """Printed spellings that differ from `word` only in upper and lower case."""
    folded = word.casefold()
    return list(
        dict.fromkeys(
            known.spelling
            for spelling, known in BY_SPELLING.items()
            if spelling.casefold() == folded and dimension in (None, known.dimension)
        )
    )


def known_spellings(dimension: Dimension) -> tuple[str, ...]:
    """Every spelling allowed for a dimension, the printed ones first."""
    fitting = [(text, one) for text, one in BY_SPELLING.items() if one.dimension == dimension]
    if dimension == KELVIN_ON_SCALE.dimension:
        fitting.append(("K", KELVIN_ON_SCALE))
    printed = [text for text, one in fitting if text == one.spelling]
    return (*printed, *(text for text, one in fitting if text != one.spelling))
