"""What is programmed into parts: the `settings` section."""

from __future__ import annotations

from advisor.problems import nearest, shown
from advisor.sheet.build import Answer, Written
from advisor.sheet.notes import Notes
from advisor.sheet.parts import as_id
from advisor.sheet.values import ValueProblemError, read_value
from advisor.vocabulary import VOCABULARY
from advisor.yaml_text import Node

Programmed = dict[str, dict[str, Written | Answer]]


def read_settings(
    node: Node | None, subjects: dict[str, str], refused: set[str], notes: Notes
) -> Programmed:
    """Programmed values, or why there is none, by part and attribute.

    `subjects` are by part id; ids in `refused` are wrong at the part and passed over here.
    """
    found: Programmed = {}
    for identity, values in notes.entries(node, "settings", "part ids"):
        path = f"settings.{identity}"
        if identity not in subjects:
            if as_id(identity) not in refused:
                place = notes.key_place(node, identity)
                advice = nearest(identity, subjects) or "write the id of a listed part"
                notes.add(place, path, f"there is no part {shown(identity)}", advice)
            continue
        subject = subjects[identity]
        for key, value in notes.entries(values, path, "values"):
            one = _setting(subject, key, value, values, f"{path}.{key}", notes)
            if one is not None:
                found.setdefault(identity, {})[key] = one
    return found


def _setting(
    subject: str, key: str, value: Node, values: Node, path: str, notes: Notes
) -> Written | Answer | None:
    attribute = VOCABULARY.attribute(subject, key)
    if attribute is None or not attribute.programmable:
        known = [one.name for one in VOCABULARY.subjects[subject].attributes if one.programmable]
        section = VOCABULARY.subjects[subject].section
        given = attribute is not None and attribute.given
        advice = f"write it under {section}" if given else nearest(key, known)
        problem = f"{shown(key)} is not programmed in a {subject}"
        notes.add(notes.key_place(values, key), path, problem, advice or "remove it")
        return None
    try:
        return read_value(attribute, value)
    except ValueProblemError as error:
        notes.add(value.place, path, error.problem, error.advice)
        return None
