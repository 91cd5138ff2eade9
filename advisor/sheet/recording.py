"""A reading or a step that was done, added to the text of a sheet; comments and order stay.

So does everything earlier. What comes out is read again and compared: nothing but the one entry may
be new, else nothing is written.
"""

from __future__ import annotations

import json
import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path
from typing import ClassVar

import yaml

from advisor.problems import Place, Problem, ProblemsFoundError
from advisor.sheet.build import Build
from advisor.sheet.reading import read_sheet_bytes
from advisor.sheet.steps import DONE, NOT_DONE
from advisor.writing import replace_file
from advisor.yaml_text import read_bytes

_PLAIN = re.compile(r"[A-Za-z0-9][A-Za-z0-9 _./()+%°Ωµ·²,'-]*(?:[0-9]:[0-9][0-9])?")

_LINE_ENDS = re.compile("[\x85\u2028\u2029]")
"""What YAML takes for the end of a line and JSON leaves as it is."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One reading as a person gives it; empty texts are left out."""

    of: str
    what: str
    value: str
    instrument: str = ""
    time: str = ""
    who: str = ""
    note: str = ""

    section: ClassVar[str] = "readings"
    word: ClassVar[str] = "a reading"

    def pairs(self) -> list[tuple[str, str]]:
        """Keys and texts in the order of a sheet."""
        return [("of", self.of), ("what", self.what), ("value", self.value), *_about(self)]

    def said(self) -> Said:
        return (self.of, "reading", self.what, self.value.strip(), _one_line(self.note))


@dataclass(frozen=True, slots=True)
class StepEntry:
    """What a person says of a step; `state` is `done` or `not-done`, empty texts are left out."""

    step: str
    state: str
    instrument: str = ""
    time: str = ""
    who: str = ""
    note: str = ""

    section: ClassVar[str] = "steps"
    word: ClassVar[str] = "a step"

    def pairs(self) -> list[tuple[str, str]]:
        """Keys and texts in the order of a sheet."""
        return [("step", self.step), ("state", self.state), *_about(self)]

    def said(self) -> Said:
        return ("", "step", self.step, self.state, _one_line(self.note))


Said = tuple[str, str, str, str, str]
"""One thing that a sheet says, without its place."""


def _about(entry: Entry | StepEntry) -> list[tuple[str, str]]:
    kept = ("instrument", "time", "who", "note")
    return [(key, getattr(entry, key)) for key in kept if getattr(entry, key)]


def _one_line(text: str) -> str:
    return " ".join(text.split())


def record(path: Path, entry: Entry | StepEntry) -> None:
    """Add an entry to a sheet: the file holds the old text or the new one, never half.

    Raises ProblemsFoundError when the sheet or the entry cannot be read, when the file cannot be
    written, or when somebody else changed it meanwhile.
    """
    data = read_bytes(path)
    build = read_sheet_bytes(data, str(path), path.parent)
    new = with_entry(data.decode("utf-8"), build, entry, path.parent)
    if read_bytes(path) != data:
        problem = "was changed by somebody else at the same moment"
        raise ProblemsFoundError([Problem(str(path), Place(), "", problem, "record it again")])
    replace_file(path, new)


def with_entry(
    text: str, build: Build, entry: Entry | StepEntry, folder: Path | None = None
) -> str:
    """The text of a sheet with one more entry at the end of its section.

    `build` is what the text was read as. Raises ProblemsFoundError when the entry cannot be read
    or anything else would change.
    """
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    assert isinstance(root, yaml.MappingNode)
    new = _inserted(text, root, entry)
    after = read_sheet_bytes(new.encode(), build.file, folder)
    expected = _said(build)
    expected.append(entry.said())
    if sorted(expected) != sorted(_said(after)):
        problem = f"{entry.word} cannot be added without changing more"
        advice = f"write it under {entry.section}: by hand"
        raise ProblemsFoundError([Problem(build.file, Place(), entry.section, problem, advice)])
    return new


def _said(build: Build) -> list[Said]:
    """Everything that a sheet says, without the places."""
    found: list[Said] = [
        ("", "title", "", build.title, ""),
        ("", "stage", "", build.stage or "", ""),
        *(("", "pin", name, version, "") for name, version in build.pins.items()),
        *(("", "absent", kind, "", "") for kind in build.absent),
        *(("", "complete", kind, "", "") for kind in build.complete),
        *(("", "step", one.step, DONE if one.done else NOT_DONE, one.note) for one in build.steps),
    ]
    for one in build.accepted:
        given = one.acceptance
        found.append((given.about, "accepted", given.rule, given.who, given.reason))
    choices = [(one.id, each) for one in build.alternatives for each in one.instances]
    for choice, part in [*(("", each) for each in build.instances), *choices]:
        owner = f"{choice}/{part.id}" if choice else part.id
        found.append((owner, "subject", "", part.subject, ""))
        found += [(owner, "value", name, value.text, "") for name, value in part.values.items()]
        found += [(owner, "setting", name, one.text, "") for name, one in part.settings.items()]
        found += [
            (owner, "answer", name, said.said, said.detail) for name, said in part.answers.items()
        ]
        found += [
            (owner, "reading", name, reading.text, reading.note)
            for name, readings in part.readings.items()
            for reading in readings
        ]
    return found


# -- where it goes ---------------------------------------------------------------------------------


def _inserted(text: str, root: yaml.MappingNode, entry: Entry | StepEntry) -> str:
    line_end = "\r\n" if "\r\n" in text else "\n"
    key, node = next(
        ((key, value) for key, value in root.value if key.value == entry.section),
        (None, None),
    )
    if root.flow_style and node is None:
        at = _end_of(root.value[-1][1])
        return f"{text[:at]}, {entry.section}: [{_flow(entry)}]{text[at:]}"
    if key is None or node is None:
        at = _end_of_sheet(text, root)
        head = text[:at]
        head += "" if head.endswith("\n") else line_end
        return f"{head}{line_end}{entry.section}:{line_end}{_block(entry, 2, line_end)}{text[at:]}"
    if isinstance(node, yaml.SequenceNode) and not node.flow_style:
        at = _line_after(text, _end_of(node))
        head = text[:at]
        head += "" if head.endswith("\n") else line_end
        return head + _block(entry, node.start_mark.column, line_end) + text[at:]
    if isinstance(node, yaml.SequenceNode):
        at = _end_of(node.value[-1]) if node.value else node.start_mark.index + 1
        comma = ", " if node.value else ""
        return f"{text[:at]}{comma}{_flow(entry)}{text[at:]}"
    # `none` or `unknown` stands there: the list takes its place
    text = text[: node.start_mark.index].rstrip(" ") + text[node.end_mark.index :]
    at = _line_after(text, key.end_mark.index)
    head = text[:at]
    head += "" if head.endswith("\n") else line_end
    return head + _block(entry, key.start_mark.column + 2, line_end) + text[at:]


def _end_of(node: yaml.Node) -> int:
    """Where the last thing written inside a node ends; the node's own end is the next token."""
    if isinstance(node, yaml.CollectionNode) and node.value and not node.flow_style:
        last = node.value[-1]
        return _end_of(last[1] if isinstance(node, yaml.MappingNode) else last)
    return int(node.end_mark.index)


def _line_after(text: str, at: int) -> int:
    """The start of the line after a place; the place itself when it starts a line."""
    if at > 0 and text[at - 1] == "\n":
        return at
    end = text.find("\n", at)
    return len(text) if end < 0 else end + 1


def _end_of_sheet(text: str, root: yaml.MappingNode) -> int:
    """The end of the text, or the line that ends the document."""
    found = re.compile(r"^\.\.\.[ \t]*(\r?$|#)", re.M).search(text, _end_of(root))
    return found.start() if found else len(text)


def _block(entry: Entry | StepEntry, column: int, line_end: str) -> str:
    lines = [f"{key}: {_scalar(value)}" for key, value in entry.pairs()]
    space = " " * column
    rest = [f"{space}  {line}" for line in lines[1:]]
    return line_end.join([f"{space}- {lines[0]}", *rest, ""])


def _flow(entry: Entry | StepEntry) -> str:
    return "{" + ", ".join(f"{key}: {_scalar(value, True)}" for key, value in entry.pairs()) + "}"


def _scalar(text: str, flow: bool = False) -> str:
    """A text as YAML; quoted where it could be taken for anything else.

    Spaces are folded as the sheet folds them. Any other character stays what it is, also one that
    YAML takes for the end of a line, so that the sheet can refuse it.
    """
    spaced = "".join(" " if _is_space(one) else one for one in text)
    text = " ".join(one for one in spaced.split(" ") if one)
    safe = _PLAIN.fullmatch(text) and not (flow and "," in text)
    return text if safe else _LINE_ENDS.sub(_escaped, json.dumps(text, ensure_ascii=False))


def _is_space(letter: str) -> bool:
    return letter in "\t\n" or unicodedata.category(letter) == "Zs"


def _escaped(found: re.Match[str]) -> str:
    return f"\\u{ord(found[0]):04X}"


__all__ = ["Entry", "StepEntry", "record", "with_entry"]
