"""Risks that somebody accepts by name: the `accepted` section."""

from __future__ import annotations

from advisor.acceptance import Acceptance, is_date
from advisor.problems import nearest, shown
from advisor.sheet.build import Accepted
from advisor.sheet.notes import Notes
from advisor.sheet.parts import as_id
from advisor.sheet.values import ValueProblemError, plain_text
from advisor.yaml_text import Mapping, Node, Scalar, Sequence

KEYS = ("rule", "about", "who", "date", "reason")
_NEEDED = {
    "rule": "add rule: with the name that a finding prints",
    "who": "add who: with the name of the person who accepts it",
    "date": "add date: as 2026-03-02",
    "reason": "add reason: in words that the owner will read",
}
MAX_ACCEPTED = 100


def read_accepted(
    node: Node | None, subjects: dict[str, str], refused: set[str], notes: Notes
) -> tuple[Accepted, ...]:
    """Accepted risks in the order written. Whether a rule of that name exists is asked later.

    `subjects` are by part id; ids in `refused` are wrong at the part and passed over here.
    """
    if node is None or (isinstance(node, Scalar) and node.text.strip() == "none"):
        return ()
    if not isinstance(node, Sequence):
        advice = "start each with `- rule: its name`"
        notes.add(node.place, "accepted", "a list is expected here", advice)
        return ()
    if len(node.items) > MAX_ACCEPTED:
        problem = f"more than {MAX_ACCEPTED} accepted risks"
        notes.add(node.place, "accepted", problem, "mend some of them")
        return ()
    found: dict[tuple[str, str], Accepted] = {}
    for number, item in enumerate(node.items, 1):
        path = f"accepted[{number}]"
        if not isinstance(item, Mapping):
            advice = "write - rule: its name"
            notes.add(item.place, path, "an accepted risk is keys and values", advice)
            continue
        one = _accepted(item, path, subjects, refused, notes)
        if one is None:
            continue
        key = (one.acceptance.rule, one.acceptance.about)
        if key in found:
            before = found[key].place.line
            problem = f"{shown(key[0])} is accepted on line {before} already"
            notes.add(one.place, path, problem, "keep one of them")
        found.setdefault(key, one)
    return tuple(found.values())


def _accepted(
    item: Mapping, path: str, subjects: dict[str, str], refused: set[str], notes: Notes
) -> Accepted | None:
    before = len(notes.problems)
    for key in item.entries:
        if key not in KEYS:
            advice = nearest(key, KEYS) or f"write some of: {', '.join(KEYS)}"
            notes.add(item.keys[key], f"{path}.{key}", f"{shown(key)} is not known here", advice)
    words = {key: _word(item, key, path, notes) for key in KEYS}
    for key, advice in _NEEDED.items():
        if key not in item.entries:
            notes.add(item.place, path, f"it has no `{key}`", advice)
    date = words["date"]
    if date and not is_date(date):
        place = item.entries["date"].place
        notes.add(place, f"{path}.date", f"{shown(date)} is no day", "write 2026-03-02")
    about = words["about"]
    if about and about not in subjects and as_id(about) not in refused:
        advice = nearest(about, subjects) or "write the id of a listed part, or leave it out"
        place = item.entries["about"].place
        notes.add(place, f"{path}.about", f"there is no part {shown(about)}", advice)
    if len(notes.problems) > before:
        return None
    place = item.entries["rule"].place
    given = Acceptance(words["rule"], about, words["who"], date, words["reason"])
    return Accepted(given, place)


def _word(item: Mapping, key: str, path: str, notes: Notes) -> str:
    """The text at a key; empty when there is none, or when it was noted as wrong."""
    node = item.entries.get(key)
    if node is None:
        return ""
    if not isinstance(node, Scalar):
        notes.add(node.place, f"{path}.{key}", "one text is expected here", "write a text")
        return ""
    try:
        return plain_text(node.text)
    except ValueProblemError as error:
        notes.add(node.place, f"{path}.{key}", error.problem, error.advice)
        return ""
