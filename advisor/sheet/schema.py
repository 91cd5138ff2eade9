"""JSON Schema of the sheet, made from the pydantic models, for completion in an editor."""

from __future__ import annotations

from typing import Any

from advisor.sheet.accepted import KEYS as ACCEPTED_KEYS
from advisor.sheet.layouts import LAYOUTS
from advisor.sheet.models import model_of
from advisor.sheet.readings import KEYS
from advisor.sheet.steps import KEYS as STEP_KEYS
from advisor.sheet.steps import NOT_DONE, STATES
from advisor.sheet.values import ID
from advisor.vocabulary import GROUPS, VOCABULARY, Subject

_ID = {"type": "string", "pattern": f"^{ID.pattern}$", "description": "a short name of its own"}


def sheet_schema() -> dict[str, Any]:
    """The whole schema."""
    subjects = VOCABULARY.subjects.values()
    parts = {
        one.section.rpartition(".")[2]: _list(one)
        for one in subjects
        if one.many and one.section.startswith("parts.")
    }
    lists = {one.section: _list(one) for one in subjects if one.many and "." not in one.section}
    single = {
        one.section: {"$ref": f"#/$defs/{one.name}"}
        for one in subjects
        if not one.many and one.name != "bms"
    }
    kinds = [*GROUPS, *parts, *lists, "all"]
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Build sheet, format 1",
        "type": "object",
        "additionalProperties": False,
        "required": ["sheet"],
        "properties": {
            "sheet": {"const": 1},
            "title": {"type": "string"},
            "stage": {"enum": ["order", "wiring", "handoff"]},
            "rulesets": {
                "type": "object",
                "description": "versions of rulesets this sheet expects",
                "additionalProperties": {"type": "string"},
            },
            "complete": {
                "description": "groups or kinds of part of which every part is listed",
                "anyOf": [{"enum": kinds}, {"type": "array", "items": {"enum": kinds}}],
            },
            "layout": {
                "description": "named layout of the cables, instead of a list under wiring",
                "enum": list(LAYOUTS),
            },
            **single,
            "parts": {"type": "object", "additionalProperties": False, "properties": parts},
            **lists,
            "settings": {
                "type": "object",
                "description": "programmed values by part id",
                "additionalProperties": {"type": "object"},
            },
            "choices": {
                "type": "array",
                "description": "other parts in the place of its own, to be compared",
                "items": {
                    "type": "object",
                    "additionalProperties": False,
                    "required": ["id"],
                    "properties": {
                        "id": {"type": "string"},
                        "title": {"type": "string"},
                        "parts": {"$ref": "#/properties/parts"},
                        "without": {"type": ["string", "array"], "items": {"type": "string"}},
                    },
                },
            },
            "accepted": {
                "type": "array",
                "description": "risks that somebody accepts by name",
                "items": {
                    "type": "object",
                    "additionalProperties": False,
                    "required": ["rule", "who", "date", "reason"],
                    "properties": {key: {"type": "string"} for key in ACCEPTED_KEYS},
                },
            },
            "steps": {
                "type": "array",
                "description": "what was said of steps of the guide; the last of a step counts",
                "items": {
                    "type": "object",
                    "additionalProperties": False,
                    "required": ["step", "state"],
                    "properties": {
                        **{key: {"type": "string"} for key in STEP_KEYS},
                        "state": {"enum": list(STATES)},
                    },
                    "if": {"properties": {"state": {"const": NOT_DONE}}},
                    "then": {"required": ["note"]},
                },
            },
            "readings": {
                "type": "array",
                "items": {
                    "type": "object",
                    "additionalProperties": False,
                    "required": ["of", "what", "value"],
                    "properties": {key: {"type": ["string", "number", "boolean"]} for key in KEYS},
                },
            },
        },
        "dependentSchemas": {"layout": {"properties": {"wiring": {"const": "unknown"}}}},
        "$defs": {one.name: _object(one) for one in subjects},
    }


def _list(subject: Subject) -> dict[str, Any]:
    items = {"type": "array", "items": {"$ref": f"#/$defs/{subject.name}"}}
    return {"anyOf": [{"enum": ["none", "unknown"]}, items]}


def _object(subject: Subject) -> dict[str, Any]:
    made = model_of(subject.name).model_json_schema()
    properties = {key: _without_default(value) for key, value in made["properties"].items()}
    schema: dict[str, Any] = {
        "description": subject.meaning,
        "type": "object",
        "additionalProperties": False,
        "properties": properties,
    }
    if subject.many:
        schema["properties"] = {"id": _ID, **properties}
        schema["required"] = ["id"]
    if subject.name == "segment":
        del schema["properties"]["id"], schema["required"]
    if subject.name == "trip":
        schema["properties"]["segments"] = {
            "description": "its parts, in order",
            "type": "array",
            "items": {"$ref": "#/$defs/segment"},
        }
    if subject.name == "pack":
        schema["properties"]["bms"] = {
            "anyOf": [{"$ref": "#/$defs/bms"}, {"enum": ["none", "unknown"]}]
        }
    return schema


def _without_default(made: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in made.items() if key not in ("default", "title")}
