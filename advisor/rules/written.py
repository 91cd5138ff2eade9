"""Values as rules write them in examples and fixes: the writing of a build sheet."""

from __future__ import annotations

from advisor.problems import nearest, shown
from advisor.units import DIMENSIONS, UnitError, parse, parse_area, parse_number
from advisor.vocabulary import Attribute, Kind

_YES_NO = {"yes": True, "true": True, "no": False, "false": False}
_AREA = DIMENSIONS["area"]


def read_value(attribute: Attribute, text: str) -> float | str | bool:
    """The value of a written text for an attribute: SI float, word, or truth. Raises UnitError."""
    match attribute.kind:
        case Kind.QUANTITY:
            if attribute.dimension == _AREA:
                return parse_area(text).value
            return parse(text, attribute.dimension, attribute.unit).value
        case Kind.COUNT:
            number = parse_number(text)
            if number != int(number):
                raise UnitError(f"{shown(text)} is not a whole number", "write one without a point")
            return number
        case Kind.FLAG:
            if text not in _YES_NO:
                raise UnitError(f"{shown(text)} is not yes or no", "write yes or no")
            return _YES_NO[text]
        case Kind.CHOICE:
            if text not in attribute.choices:
                known = f"write one of {', '.join(attribute.choices)}"
                raise UnitError(
                    f"{shown(text)} is no choice of {attribute.name}",
                    nearest(text, attribute.choices) or known,
                )
    return text
