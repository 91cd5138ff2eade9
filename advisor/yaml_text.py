"""YAML read as text with positions: one pass over parse events, no tags, no anchors, no guessing.

Every scalar stays the text a person wrote (`no`, `1e3`, `010`, `12:30` are just text); models and
rules decide what it means. Refused with a clear message: anchors and aliases, tags, duplicate
keys, several documents, deep nesting, files that are too large, not UTF-8, binary or empty.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path
from typing import NamedTuple

import yaml

from advisor.problems import Place, Problem, ProblemsFoundError, shown

MAX_BYTES = 1 << 20
MAX_DEPTH = 20
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class Scalar(NamedTuple):
    """One written value."""

    text: str
    place: Place
    quoted: bool = False


class Sequence(NamedTuple):
    """A list as written."""

    items: tuple[Node, ...]
    place: Place


class Mapping(NamedTuple):
    """Keys and values as written, in order; `keys` holds where each key stands."""

    entries: dict[str, Node]
    keys: dict[str, Place]
    place: Place


Node = Scalar | Sequence | Mapping


@dataclass(slots=True)
class _Open:
    """A collection being read."""

    place: Place
    is_mapping: bool
    items: list[Node] = field(default_factory=list)
    entries: dict[str, Node] = field(default_factory=dict)
    keys: dict[str, Place] = field(default_factory=dict)
    key: Scalar | None = None


def read_file(path: Path) -> Node:
    """The content of a YAML file. Raises ProblemsFoundError with every problem found."""
    return read_text(read_bytes(path), str(path))


def read_bytes(path: Path) -> bytes:
    """The bytes of a readable file of sane size. Raises ProblemsFoundError."""
    name = str(path)

    def refuse(problem: str, advice: str = "") -> ProblemsFoundError:
        return ProblemsFoundError([Problem(name, Place(), "", problem, advice)])

    try:
        if path.is_dir():
            raise refuse("this is a directory", "name a YAML file in it")
        if not path.exists():
            raise refuse("there is no such file", "check the name and the folder")
        if not path.is_file():
            raise refuse("this is not a regular file", "name a YAML file")
        if path.stat().st_size > MAX_BYTES:
            raise refuse("the file is larger than 1 MiB", "a sheet is a few hundred lines of text")
        return path.read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise refuse(f"cannot be read: {reason}") from error


def read_text(data: bytes, name: str) -> Node:
    """The content of YAML bytes. Raises ProblemsFoundError with every problem found."""
    if len(data) > MAX_BYTES:
        raise ProblemsFoundError([Problem(name, Place(), "", "the file is larger than 1 MiB")])
    if b"\0" in data:
        raise ProblemsFoundError(
            [Problem(name, Place(), "", "this is a binary file", "write plain UTF-8 text")]
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise ProblemsFoundError(
            [
                Problem(
                    name,
                    Place(line, error.start - data.rfind(b"\n", 0, error.start)),
                    "",
                    f"not UTF-8 text (byte 0x{data[error.start]:02x})",
                    "save the file as UTF-8",
                )
            ]
        ) from error
    return _Reader(name).read(text)


class _Reader:
    """Turns the event stream of one document into nodes."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.problems: list[Problem] = []
        self.root: Node | None = None
        self.stack: list[_Open] = []
        self.documents = 0

    def read(self, text: str) -> Node:
        try:
            for event in yaml.parse(text, Loader=_LOADER):
                self._take(event)
        except yaml.YAMLError as error:
            self.problems.append(self._syntax(error, text))
        except RecursionError:
            self._note(Place(), "nested too deeply", f"use at most {MAX_DEPTH} levels")
        if self.problems:
            raise ProblemsFoundError(self.problems)
        if self.root is None or (isinstance(self.root, Scalar) and not self.root.text.strip()):
            raise ProblemsFoundError(
                [Problem(self.name, Place(), "", "the file is empty", "write a build into it")]
            )
        return self.root

    def _syntax(self, error: yaml.YAMLError, text: str) -> Problem:
        if isinstance(error, yaml.reader.ReaderError):
            code = error.character if isinstance(error.character, int) else ord(error.character)
            before, found, _ = text.partition(chr(code))
            line = before.count("\n") + 1
            place = Place(line, len(before) - before.rfind("\n")) if found else Place()
            problem = f"character U+{code:04X} is not allowed"
            return Problem(self.name, place, "", problem, "remove control characters")
        if isinstance(error, yaml.MarkedYAMLError):
            mark = error.problem_mark or error.context_mark
            place = Place(mark.line + 1, mark.column + 1) if mark else Place()
            said = error.problem or error.context or "it does not follow YAML"
            advice = (
                "indent with spaces, not with tabs"
                if "start any token" in said
                else "check colons, brackets and indentation"
            )
            return Problem(self.name, place, "", f"not valid YAML here: {said}", advice)
        return Problem(self.name, Place(), "", f"not valid YAML: {error}")

    def _note(self, place: Place, problem: str, advice: str = "") -> None:
        self.problems.append(Problem(self.name, place, self._path(), problem, advice))

    def _path(self) -> str:
        parts: list[str] = []
        for frame in self.stack:
            if frame.is_mapping and frame.key is not None:
                parts.append(f".{frame.key.text}" if parts else frame.key.text)
            elif not frame.is_mapping:
                parts.append(f"[{len(frame.items) + 1}]")
        return "".join(parts)

    def _take(self, event: yaml.Event) -> None:
        mark = event.start_mark
        place = Place(mark.line + 1, mark.column + 1) if mark else Place()
        if isinstance(event, yaml.NodeEvent):
            if event.anchor is not None:
                self._anchor(event, place)
            if isinstance(event, yaml.ScalarEvent):
                if event.tag is not None:
                    self._tag(event.tag, place)
                self._add(Scalar(event.value, place, bool(event.style)))
            elif isinstance(event, yaml.CollectionStartEvent):
                if event.tag is not None:
                    self._tag(event.tag, place)
                if len(self.stack) >= MAX_DEPTH:
                    self._note(place, "nested too deeply", f"use at most {MAX_DEPTH} levels")
                    raise ProblemsFoundError(self.problems)
                self.stack.append(_Open(place, isinstance(event, yaml.MappingStartEvent)))
        elif isinstance(event, yaml.MappingEndEvent):
            frame = self.stack.pop()
            self._add(Mapping(frame.entries, frame.keys, frame.place))
        elif isinstance(event, yaml.SequenceEndEvent):
            frame = self.stack.pop()
            self._add(Sequence(tuple(frame.items), frame.place))
        elif isinstance(event, yaml.DocumentStartEvent):
            self.documents += 1
            if self.documents == 2:
                self._note(place, "a second document starts here", "keep one document per file")

    def _anchor(self, event: yaml.NodeEvent, place: Place) -> None:
        """Note an anchor; an alias stands for a value, so that reading can go on."""
        if isinstance(event, yaml.AliasEvent):
            self._note(place, f"alias *{event.anchor} is not allowed", "write the value out")
            self._add(Scalar("", place))
        else:
            self._note(place, f"anchor &{event.anchor} is not allowed", "write the value out")

    def _tag(self, tag: object, place: Place) -> None:
        if tag != "!":
            self._note(place, f"tag {shown(str(tag))} is not allowed", "remove it")

    def _add(self, node: Node) -> None:
        if self.documents > 1:
            return
        if not self.stack:
            self.root = node
            return
        frame = self.stack[-1]
        if not frame.is_mapping:
            frame.items.append(node)
        elif frame.key is None:
            if isinstance(node, Scalar):
                frame.key = node
            else:
                self._note(node.place, "a key must be a word, not a list or a mapping")
                frame.key = Scalar("?", node.place)
        else:
            key, frame.key = frame.key, None
            if key.text in frame.entries:
                first = frame.keys[key.text]
                self._note(
                    key.place,
                    f"key {shown(key.text)} is written twice (first on line {first.line})",
                    "keep one of them",
                )
            else:
                frame.entries[key.text] = node
                frame.keys[key.text] = key.place
