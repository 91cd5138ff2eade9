"""Values put into the text of a sheet; comments, order and everything else stay as they are.

The text is changed where the value stands. What comes out is read again and compared: nothing but
the wanted values may differ, else nothing is written.
"""

from __future__ import annotations

from collections.abc import Mapping

import yaml

from advisor.problems import Place, Problem, ProblemsFoundError
from advisor.sheet.build import Build, Instance
from advisor.sheet.reading import read_sheet_bytes

Changes = Mapping[tuple[str, str], str]
"""New texts by part and attribute, as a person writes them."""


def with_values(text: str, build: Build, changes: Changes) -> str:
    """The text of a sheet with some values changed or added.

    `build` is what the text was read as. Raises ProblemsFoundError when a part has no place of its
    own in the text, when a value cannot be read, or when anything else would change.
    """
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    edits: list[tuple[int, int, str]] = []
    problems: list[Problem] = []
    for (part, attribute), value in changes.items():
        instance = next((one for one in build.instances if one.id == part), None)
        programmed = instance.settings.get(attribute) if instance is not None else None
        if programmed is not None:  # what is programmed counts before what the part was bought as
            scalar = _scalar_at(root, programmed.place)
            if scalar is not None:
                edits.append((scalar.start_mark.index, scalar.end_mark.index, value))
                continue
        node = None if instance is None else _mapping_at(root, instance.place)
        if instance is None or node is None:
            advice = "write its lines into the sheet first"
            problems.append(_problem(build, Place(), part, "stands on no lines of its own", advice))
            continue
        edits.append(_edit(node, attribute, value))
    if problems:
        raise ProblemsFoundError(problems)
    for start, end, new in sorted(edits, reverse=True):
        text = text[:start] + new + text[end:]
    _same_but(build, read_sheet_bytes(text.encode(), build.file), changes)
    return text


def _problem(build: Build, place: Place, path: str, problem: str, advice: str = "") -> Problem:
    return Problem(build.file, place, path, problem, advice)


def _mapping_at(node: yaml.Node | None, place: Place) -> yaml.MappingNode | None:
    """The keys and values that start at a place."""
    if node is None:
        return None
    here = Place(node.start_mark.line + 1, node.start_mark.column + 1)
    if isinstance(node, yaml.MappingNode):
        if here == place:
            return node
        below = [child for pair in node.value for child in pair]
    elif isinstance(node, yaml.SequenceNode):
        below = list(node.value)
    else:
        return None
    found = (_mapping_at(child, place) for child in below)
    return next((one for one in found if one is not None), None)


def _scalar_at(node: yaml.Node | None, place: Place) -> yaml.ScalarNode | None:
    """The single value that starts at a place."""
    if isinstance(node, yaml.ScalarNode):
        here = Place(node.start_mark.line + 1, node.start_mark.column + 1)
        return node if here == place else None
    below: list[yaml.Node] = []
    if isinstance(node, yaml.MappingNode):
        below = [child for pair in node.value for child in pair]
    elif isinstance(node, yaml.SequenceNode):
        below = list(node.value)
    found = (_scalar_at(child, place) for child in below)
    return next((one for one in found if one is not None), None)


def _edit(node: yaml.MappingNode, attribute: str, value: str) -> tuple[int, int, str]:
    """Start and end of the text to replace, and what to put there."""
    for key, old in node.value:
        if key.value == attribute:
            return old.start_mark.index, old.end_mark.index, value
    first, beside = node.value[0]
    for key, old in node.value:
        if key.value == "id":
            first, beside = key, old
    if node.flow_style:
        at = beside.end_mark.index
        return at, at, f", {attribute}: {value}"
    at = first.start_mark.index
    return at, at, f"{attribute}: {value}\n{' ' * first.start_mark.column}"


def _same_but(before: Build, after: Build, changes: Changes) -> None:
    wrong = [
        one.id
        for one, other in zip(before.instances, after.instances, strict=True)
        if one.id != other.id or _texts(one, changes) != _texts(other, {})
    ]
    if wrong:
        problem = "the text cannot be changed without changing more"
        raise ProblemsFoundError([_problem(before, Place(), one, problem) for one in wrong])


def _texts(one: Instance, changes: Changes) -> dict[tuple[str, str], str]:
    """All that is written about an instance, with the changes in place."""
    found = {("value", name): value.text for name, value in one.values.items()}
    found |= {("setting", name): value.text for name, value in one.settings.items()}
    found |= {("answer", name): value.said for name, value in one.answers.items()}
    for (part, name), value in changes.items():
        if part == one.id:
            found.pop(("answer", name), None)
            found["setting" if ("setting", name) in found else "value", name] = value
    return found
