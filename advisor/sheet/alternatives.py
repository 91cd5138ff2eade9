"""Choices of a sheet: other parts in the place of its own, to be compared."""

from __future__ import annotations

from dataclasses import replace

from advisor.problems import nearest, shown
from advisor.sheet.build import Alternative, Build, Instance
from advisor.sheet.notes import Notes
from advisor.sheet.parts import PartsReader
from advisor.sheet.values import ID
from advisor.yaml_text import Mapping, Node, Scalar, Sequence

MAX_CHOICES = 20
_KEYS = ("id", "title", "parts", "without")


def with_choice(build: Build, choice: Alternative) -> Build:
    """The build as it is with a choice."""
    new = {one.id: one for one in choice.instances}
    out = {name for one in choice.without for name in (one, f"{one}.bms")}
    kept = [
        replace(new.pop(one.id), settings=one.settings) if one.id in new else one
        for one in build.instances
        if one.id not in out
    ]
    changed = with_instances(build, (*kept, *new.values()))
    title = f"{build.title or build.file}: {choice.title}"
    return replace(changed, title=title, alternatives=())


def with_instances(build: Build, instances: tuple[Instance, ...]) -> Build:
    """The build with other parts. A kind of which the last part went is not there any more."""
    before = {one.subject for one in build.instances}
    present = {one.subject for one in instances}
    return replace(build, instances=instances, absent=(build.absent | (before - present)) - present)


def read_choices(node: Node | None, known: frozenset[str], notes: Notes) -> tuple[Alternative, ...]:
    """The choices of a sheet; every mistake goes to the notes."""
    if node is None:
        return ()
    if not isinstance(node, Sequence) or not node.items:
        advice = "start each with `- id: a-name` and its `parts:` below"
        notes.add(node.place, "choices", "a list of choices is expected here", advice)
        return ()
    found: dict[str, Alternative] = {}
    for number, item in enumerate(node.items[:MAX_CHOICES], 1):
        path = f"choices[{number}]"
        if not isinstance(item, Mapping):
            notes.add(item.place, path, "keys and values are expected here", "write - id: a-name")
            continue
        one = _choice(item, path, known, notes)
        if one is not None and one.id in found:
            notes.add(item.place, path, f"there is another choice {shown(one.id)}", "rename one")
        elif one is not None:
            found[one.id] = one
    if len(node.items) > MAX_CHOICES:
        notes.add(node.place, "choices", f"more than {MAX_CHOICES} choices", "list fewer")
    return tuple(found.values())


def _choice(item: Mapping, path: str, known: frozenset[str], notes: Notes) -> Alternative | None:
    for key in item.entries:
        if key not in _KEYS:
            advice = nearest(key, _KEYS) or f"write one of: {', '.join(_KEYS)}"
            notes.add(item.keys[key], path, f"{shown(key)} is not known in a choice", advice)
    name = item.entries.get("id")
    if not isinstance(name, Scalar) or not ID.fullmatch(name.text.strip()):
        place = item.place if name is None else name.place
        notes.add(place, path, "a choice needs an id", "write id: small-pack")
        return None
    reader = PartsReader(notes)
    parts = item.entries.get("parts")
    if parts is not None:
        reader.part_sections(parts)
    without = _without(item.entries.get("without"), path, known, notes)
    if parts is None and not without:
        notes.add(item.place, path, "the choice changes nothing", "write parts: or without:")
    title = item.entries.get("title")
    words = title.text if isinstance(title, Scalar) else name.text
    return Alternative(name.text.strip(), words, tuple(reader.instances), without)


def _without(node: Node | None, path: str, known: frozenset[str], notes: Notes) -> tuple[str, ...]:
    if node is None:
        return ()
    items = node.items if isinstance(node, Sequence) else (node,)
    found = []
    for one in items:
        text = one.text.strip() if isinstance(one, Scalar) else ""
        if text in known:
            found.append(text)
        else:
            advice = nearest(text, known) or "name parts of the sheet"
            notes.add(one.place, f"{path}.without", f"{shown(text)} is no part", advice)
    return tuple(found)
