"""The values of one section or part, checked by pydantic; every mistake noted with its place."""

from __future__ import annotations

from pydantic import ValidationError

from advisor.problems import nearest, shown
from advisor.sheet.build import Answer, Written
from advisor.sheet.models import keys_of, validator_of
from advisor.sheet.notes import Notes
from advisor.vocabulary import VOCABULARY
from advisor.yaml_text import Mapping


def read_fields(
    subject: str, node: Mapping, path: str, notes: Notes, used: frozenset[str] | None = None
) -> tuple[dict[str, Written], dict[str, Answer]]:
    """Values and answers by attribute; what is wrong is noted, and the rest still read.

    `used` are the keys that parts of this kind use in this sheet; other keys are left alone.
    """
    used = frozenset(node.entries) if used is None else used
    entries = {key: one for key, one in node.entries.items() if key in used}
    validator = validator_of(subject, used.intersection(keys_of(subject)))
    try:
        found = validator.validate_python(entries)
    except ValidationError as error:
        for key in _note_errors(subject, node, path, error, notes):
            del entries[key]
        found = validator.validate_python(entries)
    values: dict[str, Written] = {}
    answers: dict[str, Answer] = {}
    for key in entries:
        value = found[key]
        is_pair = f"{subject}.{key}" not in VOCABULARY.attributes
        if isinstance(value, tuple):
            values[f"{key}_min"], values[f"{key}_max"] = value
        elif isinstance(value, Written):
            values[key] = value
        elif is_pair:
            answers[f"{key}_min"] = answers[f"{key}_max"] = value
        else:
            answers[key] = value
        if is_pair:
            _note_doubled(node, key, path, notes)
    return values, answers


def _note_errors(
    subject: str, node: Mapping, path: str, error: ValidationError, notes: Notes
) -> list[str]:
    """Note every mistake of a section or part; returns the keys that cannot be used."""
    keys = []
    for one in error.errors():
        key = str(one["loc"][0])
        keys.append(key)
        if one["type"] == "extra_forbidden":
            notes.add(node.keys[key], f"{path}.{key}", *_unknown_key(subject, key))
            continue
        said = one.get("ctx", {})
        notes.add(
            node.entries[key].place,
            f"{path}.{key}",
            str(said.get("problem", one["msg"])),
            str(said.get("advice", "")),
        )
    return keys


def _note_doubled(node: Mapping, key: str, path: str, notes: Notes) -> None:
    """A range and one of its ends must not both be written."""
    for end in (f"{key}_min", f"{key}_max"):
        if end in node.entries:
            problem = f"{shown(end)} is already in the range {key}"
            notes.add(node.keys[end], f"{path}.{end}", problem, "keep one of them")


def _unknown_key(subject: str, key: str) -> tuple[str, str]:
    """What is wrong with a key that is not known here, and where it would belong."""
    if f"{subject}.{key}" in VOCABULARY.attributes:
        return f"{shown(key)} is computed from other values", "remove it"
    if key == "id":
        return '"id" is only for listed parts', "remove it"
    homes = {
        one.name: one.section
        for one in VOCABULARY.subjects.values()
        if one.name != subject and key in keys_of(one.name)
    }
    near = {"pack": "bms", "bms": "pack"}.get(subject, "")
    home = homes.get(near) or (next(iter(homes.values())) if len(homes) == 1 else "")
    advice = f"it belongs under {home}" if home else nearest(key, keys_of(subject))
    return f"{shown(key)} is not known here", advice or "remove it"
