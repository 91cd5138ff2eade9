"""What pydantic checks in every section and kind of part, made from the vocabulary.

Nothing is written out, because the vocabulary is the one definition of every attribute: a model
written by hand would be a second one. A sheet is read by bare validators, made when a sheet first
needs them; a model, which takes ten times as long to make, describes the same fields to an editor.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache, partial
from typing import Annotated, Any

from pydantic import BaseModel, ConfigDict, create_model
from pydantic_core import CoreSchema, PydanticCustomError, SchemaValidator, core_schema

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
def validator_of(subject: str, used: frozenset[str]) -> SchemaValidator:
    """What reads a mapping of the attributes in use; gives what `read_value` does, by name.

    Raises ValidationError with every mistake; any other key is one.
    """
    fields = {
        name: core_schema.typed_dict_field(one.validation(), required=False)
        for name, one in _fields(subject)
        if name in used
    }
    return SchemaValidator(core_schema.typed_dict_schema(fields, extra_behavior="forbid"))


def model_of(subject: str) -> type[BaseModel]:
    """The model of a subject, for its description; nothing in it has to be given."""
    fields: dict[str, Any] = {name: (Annotated[Any, one], None) for name, one in _fields(subject)}
    return create_model(subject, __config__=_CONFIG, **fields)


def _fields(subject: str) -> Iterator[tuple[str, _AsWritten]]:
    """Every key that may be written, and how it is read."""
    for attribute in VOCABULARY.subjects[subject].attributes:
        if attribute.given:
            yield attribute.name, _single(attribute)
            if attribute.name.endswith("_min") and attribute.pair:
                high = VOCABULARY.attributes[f"{subject}.{attribute.pair}_max"]
                yield attribute.pair, _pair(attribute, high)


def keys_of(subject: str) -> list[str]:
    """Every key a section or part of this subject may have."""
    given = [one for one in VOCABULARY.subjects[subject].attributes if one.given]
    return [one.name for one in given] + [one.pair for one in given if one.name.endswith("_min")]


@dataclass(frozen=True)
class _AsWritten:
    """How pydantic validates and describes one field."""

    read: Callable[[object], Any]
    schema: Callable[[], dict[str, Any]]

    def validation(self) -> CoreSchema:
        """The field as the core of pydantic takes it."""
        return core_schema.no_info_plain_validator_function(self._validated)

    def __get_pydantic_core_schema__(self, _source: Any, _handler: Any) -> CoreSchema:
        return self.validation()

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


def _single(attribute: Attribute) -> _AsWritten:
    return _AsWritten(partial(read_value, attribute), lambda: _schema(attribute))


def _pair(low: Attribute, high: Attribute) -> _AsWritten:
    schema = {
        "type": "string",
        "description": f"from the {low.meaning} to the {high.meaning}",
        "examples": [f"10 .. 40 {low.unit}"],
    }
    return _AsWritten(partial(read_pair, low, high), lambda: schema)


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
