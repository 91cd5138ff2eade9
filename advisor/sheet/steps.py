"""What somebody says of steps of the commissioning guide: the `steps` section.

Which steps a vehicle has is known only when its guide is made; a name that is none of them is told
there. Here the form is read, and the part behind the `@`.
"""

from __future__ import annotations

import re
from collections.abc import Callable

from advisor.problems import nearest, shown
from advisor.sheet.build import Tick
from advisor.sheet.notes import Notes
from advisor.sheet.parts import as_id
from advisor.sheet.readings import is_time
from advisor.sheet.values import ID, ValueProblemError, plain_text
from advisor.yaml_text import Mapping, Node, Scalar, Sequence

KEYS = ("step", "state", "instrument", "time", "who", "note")
DONE, NOT_DONE = "done", "not-done"
STATES = (DONE, NOT_DONE)
_NEEDED = {
    "step": "add step: with the name that advisor commission prints",
    "state": "add state: done, or not-done with a note",
}
_Wrong = Callable[[str, str, str], None]
"""Note at a key what is wrong, and what to write instead."""

_NAME = re.compile(rf"{ID.pattern}(?:@(.+))?")


def read_steps(
    node: Node | None, subjects: dict[str, str], refused: set[str], notes: Notes
) -> tuple[Tick, ...]:
    """What is said of steps, in the order written.

    `subjects` are by part id; ids in `refused` are wrong at the part and passed over here.
    """
    if node is None or (isinstance(node, Scalar) and node.text.strip() in ("none", "unknown")):
        return ()
    if not isinstance(node, Sequence):
        advice = "start each with `- step: its name`"
        notes.add(node.place, "steps", "a list is expected here", advice)
        return ()
    found = []
    for number, item in enumerate(node.items, 1):
        path = f"steps[{number}]"
        if not isinstance(item, Mapping):
            notes.add(item.place, path, "a step is keys and values", "write - step: its name")
            continue
        one = _step(item, path, subjects, refused, notes)
        if one is not None:
            found.append(one)
    return tuple(found)


def _step(
    item: Mapping, path: str, subjects: dict[str, str], refused: set[str], notes: Notes
) -> Tick | None:
    before = len(notes.problems)
    for key in item.entries:
        if key not in KEYS:
            advice = nearest(key, KEYS) or f"write some of: {', '.join(KEYS)}"
            notes.add(item.keys[key], f"{path}.{key}", f"{shown(key)} is not known here", advice)
    words = {key: _word(item, key, path, notes) for key in KEYS}
    for key, advice in _NEEDED.items():
        if key not in item.entries:
            notes.add(item.place, path, f"it has no `{key}`", advice)

    def wrong(key: str, problem: str, advice: str) -> None:
        if not notes.under(f"{path}.{key}"):
            notes.add(item.entries[key].place, f"{path}.{key}", problem, advice)

    if words["step"]:
        _check_name(words["step"], subjects, refused, wrong)
    state = words["state"]
    if state and state not in STATES:
        advice = nearest(state, STATES) or "write done, or not-done with a note"
        wrong("state", f"{shown(state)} is no state of a step", advice)
    if state == NOT_DONE and not words["note"] and not notes.under(f"{path}.note"):
        advice = "add note: with the reason"
        notes.add(item.place, path, "a step that was not done has no `note`", advice)
    if words["time"] and not is_time(words["time"]):
        wrong("time", f"{shown(words['time'])} is no time", "write 2026-03-02 14:10")
    if len(notes.problems) > before:
        return None
    return Tick(
        words["step"],
        state == DONE,
        item.entries["step"].place,
        words["instrument"],
        words["time"],
        words["who"],
        words["note"],
    )


def _check_name(name: str, subjects: dict[str, str], refused: set[str], wrong: _Wrong) -> None:
    found = _NAME.fullmatch(name)
    part = found[1] if found else None
    if found is None:
        advice = "write it as advisor commission prints it, such as pack-voltage@pack-a"
        wrong("step", f"{shown(name)} is no name of a step", advice)
    elif part and part not in subjects and as_id(part) not in refused:
        advice = nearest(part, subjects) or "write the id of a listed part"
        wrong("step", f"there is no part {shown(part)}", advice)


def _word(item: Mapping, key: str, path: str, notes: Notes) -> str:
    """The text at a key; empty when there is none, or when it was noted as wrong."""
    node = item.entries.get(key)
    if node is None:
        return ""
    if not isinstance(node, Scalar):
        notes.add(node.place, f"{path}.{key}", "one text is expected here", "write a text")
        return ""
    try:
        found = plain_text(node.text)
    except ValueProblemError as error:
        notes.add(node.place, f"{path}.{key}", error.problem, error.advice)
        return ""
    if not found and key in _NEEDED:
        notes.add(node.place, f"{path}.{key}", "it is empty", _NEEDED[key])
    return found


__all__ = ["DONE", "KEYS", "NOT_DONE", "STATES", "read_steps"]
