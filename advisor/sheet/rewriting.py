"""Values put into the text of a sheet; comments, order and everything else stay as they are.

The text is changed where the value stands. What comes out is read again and compared: nothing but
the wanted values may differ, else nothing is written.
"""

from __future__ import annotations

from collections.abc import Mapping

import yaml

from advisor.problems import Place, Problem, ProblemsFoundError
from advisor.sheet.build import Build, Instance
from advisor.sheet.parts import SINGLE
from advisor.sheet.reading import read_sheet_bytes
from advisor.vocabulary import VOCABULARY

Changes = Mapping[tuple[str, str], str]
"""New texts by part and attribute, as a person writes them."""


def with_values(text: str, build: Build, changes: Changes) -> str:
    """The text of a sheet with some values changed or added.

    `build` is what the text was read as. Raises ProblemsFoundError when a part has no place of its
    own in the text, when a value cannot be read, or when anything else would change.
    """
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    end = "\r\n" if "\r\n" in text else "\n"
    edits: list[tuple[int, int, str]] = []
    sections: dict[str, list[str]] = {}
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
        if node is None and instance is not None and _has_no_section(root, instance):
            section = VOCABULARY.subjects[instance.subject].section
            sections.setdefault(section, []).append(f"  {attribute}: {value}")
            continue
        if instance is None or node is None:
            advice = "write its lines into the sheet first"
            problems.append(_problem(build, Place(), part, "stands on no lines of its own", advice))
            continue
        edits.append(_edit(text, node, attribute, value, end))
    if problems:
        raise ProblemsFoundError(problems)
    for start, stop, new in sorted(edits, reverse=True):
        text = text[:start] + new + text[stop:]
    for section, lines in sections.items():
        text += end if text and not text.endswith("\n") else ""
        text += end.join([f"{section}:", *lines, ""])
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


def _has_no_section(root: yaml.Node | None, instance: Instance) -> bool:
    """A section that a sheet has once, and that this one leaves out, can be put at its end."""
    subject = VOCABULARY.subjects[instance.subject]
    if subject not in SINGLE or not isinstance(root, yaml.MappingNode) or root.flow_style:
        return False
    return all(key.value != subject.section for key, _ in root.value)


def _edit(
    text: str, node: yaml.MappingNode, attribute: str, value: str, end: str
) -> tuple[int, int, str]:
    """Start and end of the text to replace, and what to put there."""
    for key, old in node.value:
        if key.value == attribute:
            start, stop = old.start_mark.index, old.end_mark.index
            was = text[start:stop]
            after = was[len(was.rstrip()) :] if was.endswith("\n") else ""  # of a folded text
            return start, stop, value + after
    if not node.value:
        return node.start_mark.index, node.end_mark.index, f"{{{attribute}: {value}}}"
    first, beside = node.value[0]
    for key, old in node.value:
        if key.value == "id":
            first, beside = key, old
    if node.flow_style:
        at = beside.end_mark.index
        return at, at, f", {attribute}: {value}"
    indent = " " * first.start_mark.column
    if isinstance(beside, yaml.ScalarNode) and beside.style not in ("|", ">"):
        at = _line_end(text, beside.end_mark.index)
        return at, at, f"{end}{indent}{attribute}: {value}"
    at = first.start_mark.index
    return at, at, f"{attribute}: {value}{end}{indent}"


def _line_end(text: str, index: int) -> int:
    """Where the line ends, before its line break."""
    at = text.find("\n", index)
    if at < 0:
        return len(text)
    return at - 1 if text[at - 1] == "\r" else at


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
        if part != one.id:
            continue
        if ("setting", name) in found:  # what the part itself says stays
            found["setting", name] = value
        else:
            found.pop(("answer", name), None)
            found["value", name] = value
    return found
