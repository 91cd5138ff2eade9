"""What was measured on the vehicle: the `readings` section."""

from __future__ import annotations

import re
from datetime import datetime

from advisor.problems import nearest, shown
from advisor.sheet.build import Reading, Written
from advisor.sheet.notes import Notes
from advisor.sheet.parts import as_id
from advisor.sheet.values import ValueProblemError, plain_text, read_value
from advisor.vocabulary import VOCABULARY
from advisor.yaml_text import Mapping, Node, Scalar, Sequence

KEYS = ("of", "what", "value", "instrument", "time", "who", "note")
_NEEDED = ("of", "what", "value")
_TIME = re.compile(r"20[0-9]{2}-[0-9]{2}-[0-9]{2}([ T][0-9]{2}:[0-9]{2})?")

Found = dict[str, dict[str, tuple[Reading, ...]]]


def read_readings(
    node: Node | None, subjects: dict[str, str], refused: set[str], notes: Notes
) -> Found:
    """Readings by part and attribute, in the order written.

    `subjects` are by part id; ids in `refused` are wrong at the part and passed over here.
    """
    found: Found = {}
    if node is None or (isinstance(node, Scalar) and node.text.strip() in ("none", "unknown")):
        return found
    if not isinstance(node, Sequence):
        notes.add(
            node.place, "readings", "a list is expected here", "start each with `- of: a part`"
        )
        return found
    for number, item in enumerate(node.items, 1):
        path = f"readings[{number}]"
        if not isinstance(item, Mapping):
            notes.add(item.place, path, "a reading is keys and values", "write - of: a part")
            continue
        one = _reading(item, path, subjects, refused, notes)
        if one is not None:
            part, what, reading = one
            of_part = found.setdefault(part, {})
            of_part[what] = (*of_part.get(what, ()), reading)
    return found


def _reading(
    item: Mapping, path: str, subjects: dict[str, str], refused: set[str], notes: Notes
) -> tuple[str, str, Reading] | None:
    before = len(notes.problems)
    for key in item.entries:
        if key not in KEYS:
            advice = nearest(key, KEYS) or f"write some of: {', '.join(KEYS)}"
            notes.add(item.keys[key], f"{path}.{key}", f"{shown(key)} is not known here", advice)
    words: dict[str, str] = {}
    for key in KEYS:
        node = item.entries.get(key)
        if node is None:
            if key in _NEEDED:
                notes.add(item.place, path, f"the reading has no `{key}`", f"add {key}:")
            continue
        if key == "value":
            continue
        try:
            if not isinstance(node, Scalar):
                raise ValueProblemError("one text is expected here", "write a text")
            words[key] = plain_text(node.text)
        except ValueProblemError as error:
            notes.add(node.place, f"{path}.{key}", error.problem, error.advice)
    time = words.get("time", "")
    if time and not is_time(time):
        place = item.entries["time"].place
        notes.add(place, f"{path}.time", f"{shown(time)} is no time", "write 2026-03-02 14:10")
    part = words.get("of", "")
    if part and part not in subjects and as_id(part) not in refused:
        advice = nearest(part, subjects) or "write the id of a listed part"
        place = item.entries["of"].place
        notes.add(place, f"{path}.of", f"there is no part {shown(part)}", advice)
    if part not in subjects or "what" not in words:
        return None
    return _with_value(item, path, words, subjects[part], before, notes)


def is_time(text: str) -> bool:
    """True for a day of the calendar, with or without hours and minutes."""
    if not _TIME.fullmatch(text):
        return False
    try:
        datetime.fromisoformat(text)
    except ValueError:
        return False
    return True


def _with_value(
    item: Mapping, path: str, words: dict[str, str], subject: str, before: int, notes: Notes
) -> tuple[str, str, Reading] | None:
    attribute = VOCABULARY.attribute(subject, words["what"])
    if attribute is None or not attribute.given:
        known = [one.name for one in VOCABULARY.subjects[subject].attributes if one.given]
        advice = nearest(words["what"], known) or "write an attribute of that part"
        problem = f"a {subject} has no {shown(words['what'])} to measure"
        notes.add(item.entries["what"].place, f"{path}.what", problem, advice)
        return None
    node = item.entries.get("value")
    if node is None:
        return None
    try:
        value = read_value(attribute, node)
    except ValueProblemError as error:
        notes.add(node.place, f"{path}.value", error.problem, error.advice)
        return None
    if not isinstance(value, Written):
        advice = f"remove the reading, or write {value.said} at the part itself"
        notes.add(node.place, f"{path}.value", "a reading without a value says nothing", advice)
        return None
    if len(notes.problems) > before:
        return None
    reading = Reading(
        value.value,
        value.text,
        value.place,
        value.low,
        value.high,
        words.get("instrument", ""),
        words.get("time", ""),
        words.get("who", ""),
        words.get("note", ""),
    )
    return words["of"], words["what"], reading
