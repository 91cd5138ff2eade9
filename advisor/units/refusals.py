"""Why a written value was refused, in words a person can act on. Only reached after a refusal."""

from __future__ import annotations

import re
from difflib import get_close_matches

from advisor.problems import shown
from advisor.units.kinds import (
    BY_SPELLING,
    DIMENSIONS,
    Dimension,
    UnitError,
    known_spellings,
    same_but_for_case,
)

PURE = DIMENSIONS["pure"]
TEMPERATURE = DIMENSIONS["temperature"]
DIFFERENCE = DIMENSIONS["temperature difference"]
RATE = DIMENSIONS["rate"]
CHARGE = DIMENSIONS["charge"]

# spellings that mean different things to different people, or to a unit library
AMBIGUOUS = {
    "mil": "write it in mm, or in inches: 1 mil is 0.001 in",
    "mils": "write it in mm, or in inches: 1 mil is 0.001 in",
    "ton": "write it in kg, lb or t (1 t is 1000 kg)",
    "tons": "write it in kg, lb or t (1 t is 1000 kg)",
    "gal": "write it in L",
    "gallon": "write it in L",
    "gallons": "write it in L",
    "nm": "write N·m for a torque, mm for a length",
    "PS": "write it in kW: 1 metric horsepower is 0.7355 kW",
    "MCM": "write kcmil",
}
# pattern texts, not compiled patterns: compiling them all would slow every start
_DIGITS = r"[0-9]+(?:\.[0-9]+)?"
_ABOUT = (
    r"(?is)(?:[~≈]|(?:about|approx(?:\.|imately)?|circa|ca\.?|around|roughly|nominally|nominal)\b)"
    r"\s*(.+)"
)
_LIMIT = (
    r"(?is)(?:[<>≤≥]=?|(?:max(?:\.|imum)?|min(?:\.|imum)?|up to|at least|at most|less than"
    r"|more than|under|over|below|above)(?=[\s\d]))\s*(.+)"
)
_EXPONENT = r"(?s)([+-]?[0-9]*\.?[0-9]+[eE][+-]?[0-9]{1,9})(?![0-9])\s*(.*)"
_COMMA = r"(?s)([+-]?[0-9.]*[0-9],[0-9][0-9.,]*)\s*(.*)"
_GROUPED = r"(?s)([+-]?[0-9]{1,3}(?:[ '_][0-9]{3})+)(?![0-9])\s*(.*)"
_GAUGE = r"(?is)(?:[0-9]+(?:/0)?\s*awg|awg.*|#\s*[0-9].*|[0-9]+/0)"
_FRACTION = r"(?s)(?:([0-9]{1,6})\s+)?([0-9]{1,6})/([1-9][0-9]{0,5})\s*(.*)"
_RANGE = (
    rf"(?s)([+-]?{_DIGITS})\s*([^\s\d.–—…-][^\d.–—…]*?)?\s*(?:\bto\b|until|\.\.+|…|-|–|—)\s*"
    rf"([+-]?{_DIGITS})\s*(.*)"
)
_RATIO = rf"(?s)({_DIGITS})\s*:\s*1"
_ZEROS = r"(?s)([+-]?)0+([0-9].*)"
_POINT = r"(?s)([+-]?)([0-9]*)\.([0-9]*)(.*)"
_NUMBER = rf"(?s)([+-]?{_DIGITS})\s*(.*)"
_BARE_C = ("C", "c")
_NOT_NUMBERS = ("nan", "inf", "infinity", "infinite", "-inf", "+inf", "∞", "-infinity")


def sample(dimension: Dimension, example_unit: str) -> str:
    """A value of the right kind, for advice."""
    if dimension == PURE:
        return "85 %" if example_unit == "%" else "0.85"
    number = "25" if dimension == TEMPERATURE else "0.5" if dimension == RATE else "12"
    return f"{number} {example_unit}"


def write_it_in(dimension: Dimension, example_unit: str) -> str:
    """`write it in V, mV or kV`."""
    if dimension == PURE:
        return "write a plain number or a percentage, such as 0.85 or 85 %"
    known = known_spellings(dimension)
    names = dict.fromkeys(
        one.spelling for text in known if (one := BY_SPELLING.get(text)) and "/cell" not in text
    )
    own = BY_SPELLING.get(example_unit)
    if own is not None:
        names.pop(own.spelling, None)
    choices = list(filter(None, [example_unit, *names]))[:3]
    if not choices:
        return f"write it in {dimension.name}"
    joined = " or ".join(filter(None, [", ".join(choices[:-1]), choices[-1]]))
    return f"write it {joined}" if joined.startswith("per ") else f"write it in {joined}"


def _article(dimension: Dimension) -> str:
    name = "plain number" if dimension == PURE else dimension.name
    return f"{'an' if name[0] in 'aei' else 'a'} {name}"


def wrong_dimension(text: str, found: Dimension, wanted: Dimension, example: str) -> UnitError:
    """`"47 kg" is a mass, not a voltage`."""
    is_a = "a percentage" if found == PURE else _article(found)
    return UnitError(
        f"{shown(text)} is {is_a}, not {_article(wanted)}", write_it_in(wanted, example)
    )


def range_refused(text: str, low: str, high: str, unit_text: str, range_allowed: bool) -> UnitError:
    """A range written in another way, or where one value is wanted."""
    good = f"{low} .. {high} {unit_text}".strip()
    if range_allowed:
        return UnitError(f"{shown(text)} is not how a range is written", f"write {good}")
    return UnitError(
        f"{shown(text)} is a range, and one value is wanted",
        f"write one value with its unit; where a range is asked for, it is written {good}",
    )


def _decimal(number: float) -> str:
    return f"{number:.12f}".rstrip("0").rstrip(".")


def _with_unit(number: str, rest: str, example: str) -> str:
    return f"{number} {rest or example}".strip()


def _number_form(clean: str, example: str) -> UnitError | None:
    """Refusals of the number itself."""
    if match := re.match(_EXPONENT, clean):
        value = float(match[1])
        if 1e-9 < abs(value) < 1e12:
            advice = f"write {_with_unit(_decimal(value), match[2], example)}"
        else:
            advice = "write the number out in full, with a unit of a fitting size"
        return UnitError(f"{shown(clean)} has an exponent", advice)
    if match := re.match(_COMMA, clean):
        number, rest = match[1], match[2]
        choices = []
        if re.fullmatch(r"[+-]?[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]+)?", number):
            choices.append(number.replace(",", ""))
        if number.count(",") == 1 and "." not in number:
            choices.append(number.replace(",", ".").rstrip("0").rstrip("."))
        advice = " or ".join(_with_unit(one, rest, example) for one in choices)
        advice = advice or "the number with a decimal point and no commas"
        return UnitError(f"{shown(clean)} has a comma in its number", f"write {advice}")
    if match := re.match(_GROUPED, clean):
        joined = re.sub(r"[ '_]", "", match[1])
        return UnitError(
            f"{shown(clean)} has a number in groups",
            f"write {_with_unit(joined, match[2], example)}",
        )
    if match := re.fullmatch(_FRACTION, clean):
        value = int(match[1] or 0) + int(match[2]) / int(match[3])
        number = f"{value:.4f}".rstrip("0").rstrip(".")
        return UnitError(
            f"{shown(clean)} is a fraction", f"write {_with_unit(number, match[4], example)}"
        )
    if re.match(r"[+-]?[0-9]+\.[0-9]+\.", clean):
        return UnitError(f"{shown(clean)} has more than one decimal point", "write one number")
    if match := re.match(_ZEROS, clean):
        return UnitError(f"{shown(clean)} starts with a zero", f"write {match[1]}{match[2]}")
    match = re.match(_POINT, clean)
    if match and bool(match[2]) != bool(match[3]):
        number = f"{match[1]}{match[2] or '0'}" + (f".{match[3]}" if match[3] else "")
        return UnitError(
            f"{shown(clean)} needs digits on both sides of the point",
            f"write {_with_unit(number, match[4].strip(), example)}",
        )
    return None


def explain(
    clean: str, dimension: Dimension, example: str, range_allowed: bool = False
) -> UnitError:
    """Why `clean` is not a number with a unit of this dimension, and what to write."""
    good = sample(dimension, example)
    if not clean:
        kind = "a number" if dimension == PURE else "a number and a unit"
        return UnitError("the value is empty", f"write {kind}, such as {good}")
    if clean.lower() in _NOT_NUMBERS:
        return UnitError(f"{shown(clean)} is not a number", f"write it like {good}")
    if match := re.match(_ABOUT, clean):
        return UnitError(
            f"{shown(clean)} is only approximate",
            f"write {match[1]}, or {match[1]} +/- 5 % with the tolerance you know",
        )
    if match := re.match(_LIMIT, clean):
        return UnitError(
            f"{shown(clean)} is a limit, not a value",
            f"write {match[1]}, if that is the figure the source gives",
        )
    if re.fullmatch(_GAUGE, clean):
        return UnitError(
            f"{shown(clean)} is a wire gauge, not {_article(dimension)}",
            write_it_in(dimension, example),
        )
    if match := re.fullmatch(_RATIO, clean):
        return UnitError(f"{shown(clean)} is written as a ratio", f"write {match[1]}")
    if match := re.fullmatch(_RANGE, clean):
        unit_text = match[4] or (match[2] or "").strip() or example
        return range_refused(clean, match[1], match[3], unit_text, range_allowed)
    if refused := _number_form(clean, example):
        return refused
    if match := re.fullmatch(_NUMBER, clean):
        return _unit_refused(clean, match[1], match[2], dimension, example)
    return UnitError(f"{shown(clean)} is not a number with a unit", f"write it like {good}")


def _unit_refused(
    clean: str, number: str, word: str, dimension: Dimension, example: str
) -> UnitError:
    """The number is good; the unit is missing, unknown, misspelt or of another dimension."""
    if not word:
        return UnitError(f"{shown(clean)} has no unit", f"write {number} {example}")
    if word in _BARE_C:
        meant = {TEMPERATURE: "degC", RATE: "per hour", CHARGE: "A·h"}.get(dimension)
        advice = f"write {number} {meant}" if meant else write_it_in(dimension, example)
        return UnitError(f'{shown(clean)}: "C" alone can mean several things', advice)
    if dimension == TEMPERATURE and word.lower() in ("f", "°", "deg", "degree", "degrees"):
        scales = ("degF",) if word.lower() == "f" else ("degC", "degF")
        advice = " or ".join(f"{number} {scale}" for scale in scales)
        return UnitError(f"{shown(clean)} does not name a temperature scale", f"write {advice}")
    found = BY_SPELLING.get(word)
    if found and found.dimension == TEMPERATURE and dimension == DIFFERENCE:
        kelvin = f"{float(number) * found.factor:.4g}"
        return UnitError(
            f"{shown(clean)} is a temperature, not a temperature difference",
            f"write K for a difference: {kelvin} K",
        )
    if found and found.dimension == dimension:
        return UnitError(
            f"{shown(clean)} is per cell, and a value for the whole is wanted",
            write_it_in(dimension, example),
        )
    if found:
        return wrong_dimension(clean, found.dimension, dimension, example)
    if word in AMBIGUOUS:
        return UnitError(f"{shown(word)} is not a clear unit", AMBIGUOUS[word])
    if dimension == PURE:
        return UnitError(f"{shown(clean)} has a unit that is not known", write_it_in(PURE, example))
    near = near_units(word, dimension)
    if near:
        advice = " or ".join(f"{number} {one}" for one in near)
        return UnitError(f"{shown(word)} is not a unit", f"write {advice}")
    if trailing := _trailing(word, dimension):
        first, rest = trailing
        if rest[0].isdigit():
            return UnitError(
                f"{shown(clean)} has more than one number", "write one number with one unit"
            )
        return UnitError(f"{shown(rest)} stands after the unit", f"write {number} {first}")
    return UnitError(f"{shown(word)} is not a known unit", write_it_in(dimension, example))


def near_units(word: str, dimension: Dimension) -> list[str]:
    """Printed spellings of this dimension that a misspelt `word` may stand for."""
    folded = same_but_for_case(word, dimension)
    if folded:
        return folded
    stem = BY_SPELLING.get(word[:-1]) if word.endswith("s") else None
    if stem and stem.dimension == dimension:
        return [stem.spelling]
    close = get_close_matches(word, known_spellings(dimension), n=1, cutoff=0.6)
    return [BY_SPELLING[close[0]].spelling] if close and len(word) > 2 else []


def _trailing(word: str, dimension: Dimension) -> tuple[str, str] | None:
    """`V nominal` as (`V`, `nominal`) when the first words are a fitting unit."""
    words = word.split()
    for cut in range(len(words) - 1, 0, -1):
        first = " ".join(words[:cut])
        known = BY_SPELLING.get(first)
        if known is not None and known.dimension == dimension:
            return first, " ".join(words[cut:])
    return None
