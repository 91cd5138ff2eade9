"""YAML read as text with positions: one pass over parse events, no tags, no anchors, no guessing.

Every scalar stays the text a person wrote (`no`, `1e3`, `010`, `12:30` are just text); models and
rules decide what it means. Refused with a clear message: anchors and aliases, tags, duplicate
keys, several documents, deep nesting, files that are too large, not UTF-8, binary or empty.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, NamedTuple

import yaml
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    NodeEvent,
    ScalarEvent,
    SequenceEndEvent,
    StreamEndEvent,
)

from advisor.problems import Place, Problem, ProblemsFoundError, shown

MAX_BYTES = 1 << 20
MAX_DEPTH = 20
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_new: Any = tuple.__new__


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
    """Turns the event stream of one document into nodes.

    `path` holds, for each open collection, its key at hand or the items read so far. The two loops
    over scalars are written out, and make tuples without their constructors: all rules are read
    here at every command.
    """

    def __init__(self, name: str) -> None:
        self.name = name
        self.problems: list[Problem] = []
        self.path: list[str | list[Node]] = []
        self.next: Callable[[], Any] = StreamEndEvent

    def read(self, text: str) -> Node:
        root: Node | None = None
        try:
            root = self._documents(text)
        except yaml.YAMLError as error:
            self.problems.append(self._syntax(error, text))
        except RecursionError:
            self._note(Place(), "nested too deeply", f"use at most {MAX_DEPTH} levels")
        if self.problems:
            raise ProblemsFoundError(self.problems)
        if root is None or (isinstance(root, Scalar) and not root.text.strip()):
            raise ProblemsFoundError(
                [Problem(self.name, Place(), "", "the file is empty", "write a build into it")]
            )
        return root

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
        for one in self.path:
            if isinstance(one, list):
                parts.append(f"[{len(one) + 1}]")
            elif one:
                parts.append(f".{one}" if parts else one)
        return "".join(parts)

    def _documents(self, text: str) -> Node | None:
        """The first document; what is wrong in the others is noted as well."""
        root: Node | None = None
        documents = 0
        self.next = _LOADER(text).get_event
        while not isinstance(event := self.next(), StreamEndEvent):
            if isinstance(event, NodeEvent):
                node = self._node(event, _place(event))
                root = node if documents == 1 else root
            elif isinstance(event, DocumentStartEvent):
                documents += 1
                if documents == 2:
                    place = _place(event)
                    self._note(place, "a second document starts here", "keep one document per file")
        return root

    def _node(self, event: Any, place: Place) -> Node:
        """The node that starts with this event; an alias stands for a value, to read on."""
        if isinstance(event, AliasEvent):
            self._note(place, f"alias *{event.anchor} is not allowed", "write the value out")
            return Scalar("", place)
        if event.anchor is not None:
            self._note(place, f"anchor &{event.anchor} is not allowed", "write the value out")
        if event.tag not in (None, "!"):
            self._note(place, f"tag {shown(str(event.tag))} is not allowed", "remove it")
        if isinstance(event, ScalarEvent):
            return Scalar(event.value, place, bool(event.style))
        if len(self.path) >= MAX_DEPTH:
            self._note(place, "nested too deeply", f"use at most {MAX_DEPTH} levels")
            raise ProblemsFoundError(self.problems)
        is_mapping = isinstance(event, MappingStartEvent)
        return self._mapping(place) if is_mapping else self._sequence(place)

    def _sequence(self, start: Place) -> Sequence:
        items: list[Node] = []
        following = self.next
        self.path.append(items)
        while (event := following()).__class__ is not SequenceEndEvent:
            mark = event.start_mark
            place = _new(Place, (mark.line + 1, mark.column + 1))
            if event.__class__ is ScalarEvent and event.tag is None and event.anchor is None:
                items.append(_new(Scalar, (event.value, place, bool(event.style))))
            else:
                items.append(self._node(event, place))
        self.path.pop()
        return Sequence(tuple(items), start)

    def _mapping(self, start: Place) -> Mapping:
        entries: dict[str, Node] = {}
        keys: dict[str, Place] = {}
        following = self.next
        path = self.path
        path.append("")
        while (event := following()).__class__ is not MappingEndEvent:
            mark = event.start_mark
            at = _new(Place, (mark.line + 1, mark.column + 1))
            if event.__class__ is ScalarEvent and event.tag is None and event.anchor is None:
                key = event.value
            else:
                key = self._key(event, at)
            path[-1] = key
            event = following()
            mark = event.start_mark
            place = _new(Place, (mark.line + 1, mark.column + 1))
            if event.__class__ is ScalarEvent and event.tag is None and event.anchor is None:
                node = _new(Scalar, (event.value, place, bool(event.style)))
            else:
                node = self._node(event, place)
            path[-1] = ""
            if key in entries:
                self._twice(key, at, keys[key])
            else:
                entries[key] = node
                keys[key] = at
        path.pop()
        return Mapping(entries, keys, start)

    def _key(self, event: Any, place: Place) -> str:
        """A key that is more than a plain word; what cannot be one is read and replaced."""
        node = self._node(event, place)
        if isinstance(node, Scalar):
            return node.text
        self._note(place, "a key must be a word, not a list or a mapping")
        return "?"

    def _twice(self, key: str, place: Place, first: Place) -> None:
        self._note(
            place,
            f"key {shown(key)} is written twice (first on line {first.line})",
            "keep one of them",
        )


def _place(event: Any) -> Place:
    mark = event.start_mark
    return Place(mark.line + 1, mark.column + 1)
