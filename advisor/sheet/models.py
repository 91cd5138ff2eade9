"""A pydantic model for every section and kind of part, made from the vocabulary.

The models are created and not written out, because the vocabulary is the one definition of every
attribute: a model written by hand would be a second one. They are made when a sheet first needs
them, as most sheets use a third of the kinds.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, create_model
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from advisor.sheet.values import ANSWERS, ValueProblemError, read_pair, read_value, sample
from advisor.vocabulary import VOCABULARY, Attribute, Kind

_CONFIG = ConfigDict(extra="forbid", frozen=True, protected_namespaces=())

_FORMS = {
    Kind.QUANTITY: "a number and its unit",
    Kind.COUNT: "a whole number",
    Kind.TEXT: "text",
    Kind.REFERENCE: "the id of another part",
}


@lru_cache(maxsize=64)
def model_of(subject: str, used: frozenset[str] | None = None) -> type[BaseModel]:
    """The model of a subject; its fields hold what `read_value` gives, or None when left out.

    `used` limits it to the attributes a part writes, because a field costs a fifth of a
    millisecond to make and a part uses few of them; any other key is refused all the same.
    """
    fields: dict[str, Any] = {}
    for attribute in VOCABULARY.subjects[subject].attributes:
        if not attribute.given:
            continue
        if used is None or attribute.name in used:
            fields[attribute.name] = (_annotated(attribute), None)
        pair = attribute.pair if attribute.name.endswith("_min") else ""
        if pair and (used is None or pair in used):
            high = VOCABULARY.attributes[f"{subject}.{pair}_max"]
            fields[pair] = (_annotated_pair(attribute, high), None)
    return create_model(subject, __config__=_CONFIG, **fields)


def keys_of(subject: str) -> list[str]:
    """Every key a section or part of this subject may have."""
    given = [one for one in VOCABULARY.subjects[subject].attributes if one.given]
    return [one.name for one in given] + [one.pair for one in given if one.name.endswith("_min")]


@dataclass(frozen=True)
class _AsWritten:
    """How pydantic validates and describes one field.

    Given as a core schema, because the validator wrappers of pydantic inspect the signature of each
    function, which takes half of the time of making a model.
    """

    read: Callable[[object], Any]
    schema: Callable[[], dict[str, Any]]

    def __get_pydantic_core_schema__(self, _source: Any, _handler: Any) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(self._validated)

    def __get_pydantic_json_schema__(self, _core: Any, _handler: Any) -> dict[str, Any]:
        return self.schema()

    def _validated(self, node: object) -> Any:
        try:
            return self.read(node)
        except ValueProblemError as error:
            raise PydanticCustomError(
                "sheet_value",
                "{problem}; {advice}",
                {"problem": error.problem, "advice": error.advice},
            ) from None


def _annotated(attribute: Attribute) -> Any:
    return Annotated[Any, _AsWritten(partial(read_value, attribute), lambda: _schema(attribute))]


def _annotated_pair(low: Attribute, high: Attribute) -> Any:
    schema = {
        "type": "string",
        "description": f"from the {low.meaning} to the {high.meaning}",
        "examples": [f"10 .. 40 {low.unit}"],
    }
    return Annotated[Any, _AsWritten(partial(read_pair, low, high), lambda: schema)]


def _schema(attribute: Attribute) -> dict[str, Any]:
    """JSON Schema of one attribute, for the completion of an editor."""
    description = attribute.meaning
    answers = [{"enum": list(ANSWERS)}, {"type": "string", "pattern": r"^not published \(.*\)$"}]
    match attribute.kind:
        case Kind.CHOICE:
            return {
                "description": description,
                "enum": [*dict.fromkeys((*attribute.choices, *ANSWERS))],
            }
        case Kind.FLAG:
            return {"description": description, "enum": ["yes", "no", True, False, *ANSWERS]}
        case Kind.COUNT:
            return {
                "description": f"{description} ({_FORMS[attribute.kind]})",
                "anyOf": [{"type": "integer"}, *answers],
            }
        case Kind.TEXT | Kind.REFERENCE:
            return {
                "description": f"{description} ({_FORMS[attribute.kind]})",
                "type": ["string", "number"],
            }
    return {
        "description": f"{description} ({_FORMS[attribute.kind]})",
        "type": "string" if attribute.unit else ["string", "number"],
        "examples": [sample(attribute)],
    }
