"""One written value against one attribute: what it means, or what to write instead."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable

from advisor.problems import nearest, shown
from advisor.sheet.build import Answer, Written
from advisor.units import (
    DIMENSIONS,
    Quantity,
    UnitError,
    parse,
    parse_area,
    parse_range,
    show,
)
from advisor.vocabulary import Attribute, Kind
from advisor.yaml_text import Mapping, Scalar

ANSWERS = ("unknown", "not published", "will be measured")
MAX_TEXT = 500
ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")

_ANSWER = re.compile(rf"({'|'.join(ANSWERS)})(?:\s*\((.*)\))?", re.S)
_WHOLE = re.compile(r"-?(0|[1-9][0-9]{0,8})")
_FLAGS = {"yes": True, "no": False, "true": True, "false": False}
_ALMOST_ANSWERS = {
    word: answer
    for answer, words in {
        "unknown": "unknown, not known, unkown, n/a, na, tbd, tba, ?, ??, ???, -, --, dunno",
        "not published": "not published, unpublished, not stated, not given, not specified, "
        "not available",
        "will be measured": "will be measured, to be measured, to measure, tbm",
    }.items()
    for word in words.split(", ")
}
_ALMOST_FLAGS = ("on", "off", "y", "n", "1", "0")
_AREA = DIMENSIONS["area"]
_VOLTAGE = DIMENSIONS["voltage"]
_ON_THE_MAINS = ("supply.voltage", "charger.ac_voltage", "charger.ac_current")


class ValueProblemError(Exception):
    """A value that cannot be used: what is wrong, and what to write instead."""

    def __init__(self, problem: str, advice: str = "") -> None:
        super().__init__(problem)
        self.problem = problem
        self.advice = advice


def sample(attribute: Attribute) -> str:
    """A value as an example for advice: `48 V`, `lfp`, `yes`, `2`."""
    match attribute.kind:
        case Kind.CHOICE:
            return attribute.choices[0]
        case Kind.FLAG:
            return "yes"
        case Kind.COUNT:
            return "2"
        case Kind.QUANTITY:
            return f"12 {attribute.unit}".rstrip()
    return "a short text"


def read_value(attribute: Attribute, node: object) -> Written | Answer:
    """The value of an attribute from its node. Raises ValueProblemError."""
    scalar = _scalar(attribute, node)
    answer = _answer(scalar, attribute.kind is not Kind.TEXT)
    if answer is not None:
        return answer
    has_none = "none" in attribute.choices or attribute.kind is Kind.TEXT
    if scalar.text.strip() == "none" and not has_none:
        raise ValueProblemError(
            '"none" is for a whole kind of part', "write unknown, or leave the line out"
        )
    return _READERS[attribute.kind](attribute, scalar)


def read_pair(low: Attribute, high: Attribute, node: object) -> tuple[Written, Written] | Answer:
    """Both ends of a range `a .. b`. Raises ValueProblemError."""
    scalar = _scalar(low, node)
    answer = _answer(scalar, True)
    if answer is not None:
        return answer
    try:
        found = parse_range(scalar.text, low.dimension, low.unit)
    except UnitError as error:
        raise ValueProblemError(error.problem, error.advice) from None
    if not found.is_range or found.low is None or found.high is None:
        raise ValueProblemError(
            f"{shown(scalar.text)} is one value where a range stands",
            f"write {low.pair}: a .. b {low.unit}, or {low.name} and {high.name}",
        )
    text, place = scalar.text.strip(), scalar.place
    _bounded(low, found.low, text)
    _bounded(high, found.high, text)
    return Written(found.low, text, place), Written(found.high, text, place)


def _answer(scalar: Scalar, strict: bool) -> Answer | None:
    """The answer that stands where a value could; `strict` refuses what only looks like one."""
    text = scalar.text.strip()
    found = _ANSWER.fullmatch(text)
    if found:
        return Answer(found[1], plain_text(found[2] or ""), scalar.place)
    if not strict:
        return None
    head, bracket, _ = text.partition("(")
    answer = _ALMOST_ANSWERS.get(" ".join(head.lower().split()))
    if answer is None:
        return None
    why = " (what was asked, and when)" if bracket else ""
    raise ValueProblemError(f"{shown(text)} is no value", f"write {answer}{why}")


def _scalar(attribute: Attribute, node: object) -> Scalar:
    if not isinstance(node, Scalar):
        what = "a group of keys" if isinstance(node, Mapping) else "a list"
        raise ValueProblemError(
            f"{what} stands where one value is expected",
            f"write one value, such as {sample(attribute)}",
        )
    text = node.text.strip()
    if not text and attribute.kind is not Kind.TEXT:
        raise ValueProblemError("there is no value", "write unknown, or remove the line")
    if not text or (not node.quoted and text in ("~", "null", "Null", "NULL")):
        raise ValueProblemError("there is no value", "write unknown, or remove the line")
    return node


def _quantity(attribute: Attribute, scalar: Scalar) -> Written:
    try:
        found = _parsed(attribute, scalar.text)
    except UnitError as error:
        raise ValueProblemError(error.problem, error.advice) from None
    if found.supply == "AC" and attribute.path not in _ON_THE_MAINS:
        known = attribute.dimension == _VOLTAGE
        raise ValueProblemError(
            f"{shown(scalar.text)} is an alternating-current rating",
            "write the DC rating; if only an AC rating is marked, leave it out and write "
            "voltage_marking: ac-only"
            if known
            else "write the DC rating, or unknown",
        )
    if found.is_range:
        raise ValueProblemError(
            f"{shown(scalar.text)} is a range where one value is expected",
            "write the value that counts",
        )
    for one in (found.value, found.low, found.high):
        if one is not None:
            _bounded(attribute, one, scalar.text)
    return Written(found.value, scalar.text.strip(), scalar.place, found.low, found.high)


def _parsed(attribute: Attribute, text: str) -> Quantity:
    if attribute.dimension == _AREA and attribute.unit == "mm²":
        return parse_area(text)
    return parse(text, attribute.dimension, attribute.unit)


def _bounded(attribute: Attribute, value: float, text: str) -> None:
    low, high = attribute.at_least, attribute.at_most
    if low is not None and value < low - 1e-9 * max(1.0, abs(low)):
        least = show(low, attribute.unit) if attribute.unit else f"{low:g}"
        raise ValueProblemError(
            f"{shown(text)} is too low for the {attribute.meaning}", f"write at least {least}"
        )
    if high is not None and value > high + 1e-9 * max(1.0, abs(high)):
        most = show(high, attribute.unit) if attribute.unit else f"{high:g}"
        raise ValueProblemError(
            f"{shown(text)} is too high for the {attribute.meaning}", f"write at most {most}"
        )


def _count(attribute: Attribute, scalar: Scalar) -> Written:
    text = scalar.text.strip()
    if not _WHOLE.fullmatch(text):
        raise ValueProblemError(
            f"{shown(text)} is not a whole number", "write digits only, such as 2"
        )
    number = float(text)
    _bounded(attribute, number, text)
    return Written(number, text, scalar.place)


def _choice(attribute: Attribute, scalar: Scalar) -> Written:
    text = scalar.text.strip()
    if text not in attribute.choices:
        advice = nearest(text.lower(), attribute.choices)
        listed = ", ".join(attribute.choices)
        raise ValueProblemError(
            f"{shown(text)} is not a known {attribute.meaning}",
            f"{advice}, or one of: {listed}" if advice else f"write one of: {listed}",
        )
    return Written(text, text, scalar.place)


def _flag(attribute: Attribute, scalar: Scalar) -> Written:
    text = scalar.text.strip()
    if text not in _FLAGS:
        near = text.lower() in (*_FLAGS, *_ALMOST_FLAGS)
        raise ValueProblemError(
            f"{shown(text)} is not yes or no",
            "write yes or no" if near else f"write yes if {attribute.meaning}, else no",
        )
    return Written(_FLAGS[text], text, scalar.place)


def _text(attribute: Attribute, scalar: Scalar) -> Written:
    return Written(plain_text(scalar.text), scalar.text.strip(), scalar.place)


def _reference(attribute: Attribute, scalar: Scalar) -> Written:
    text = scalar.text.strip()
    if not ID.fullmatch(text):
        raise ValueProblemError(f"{shown(text)} is not the id of a part", "write its id")
    return Written(text, text, scalar.place)


def plain_text(text: str) -> str:
    """Free text. Bidi controls and joiners stay in it; whoever prints it shows them as codes.

    Raises ValueProblemError for what no text holds: other controls, surrogates, private characters.
    """
    if len(text) > MAX_TEXT:
        raise ValueProblemError(
            f"the text is {len(text)} characters long", f"write at most {MAX_TEXT}"
        )
    for letter in text:
        kind = unicodedata.category(letter)
        unprintable = kind in ("Co", "Cs", "Zl", "Zp") or letter in "\ufffe\uffff"
        if unprintable or (kind == "Cc" and letter not in "\t\n"):
            raise ValueProblemError(
                f"character U+{ord(letter):04X} cannot be printed", "remove it from the text"
            )
    return " ".join(text.split())


_READERS: dict[Kind, Callable[[Attribute, Scalar], Written]] = {
    Kind.QUANTITY: _quantity,
    Kind.COUNT: _count,
    Kind.CHOICE: _choice,
    Kind.FLAG: _flag,
    Kind.TEXT: _text,
    Kind.REFERENCE: _reference,
}
