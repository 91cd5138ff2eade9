"""Sections and parts of a sheet: each by its model, every mistake noted with its place."""

from __future__ import annotations

import re

from advisor.problems import Place, nearest, shown
from advisor.sheet.build import Answer, Instance, Written
from advisor.sheet.fields import read_fields
from advisor.sheet.notes import Notes
from advisor.sheet.values import ID
from advisor.vocabulary import VOCABULARY, Subject
from advisor.yaml_text import Mapping, Node, Scalar, Sequence

MAX_PARTS = 500
MAX_SEGMENTS = 2000
_RESERVED = ("none", "unknown", "all")

SINGLE = tuple(one for one in VOCABULARY.subjects.values() if not one.many and one.name != "bms")
PARTS = {
    one.section.rpartition(".")[2]: one
    for one in VOCABULARY.subjects.values()
    if one.many and one.section.startswith("parts.")
}
LISTS = {
    one.section: one for one in VOCABULARY.subjects.values() if one.many and "." not in one.section
}


class PartsReader:
    """Reads sections and parts into instances.

    Kinds stated as not fitted go to `absent`, those said to be unknown to `unknown`, and ids that
    could not be accepted to `refused`, so that what refers to them is not a second mistake.
    """

    def __init__(self, notes: Notes) -> None:
        self.notes = notes
        self.instances: list[Instance] = []
        self.absent: dict[str, Place] = {}
        self.unknown: set[str] = set()
        self.refused: set[str] = set()
        self.places: dict[str, Place] = {}

    def single(self, subject: Subject, node: Node | None) -> None:
        place = Place()
        values: dict[str, Written] = {}
        answers: dict[str, Answer] = {}
        if node is not None:
            place = node.place
            if isinstance(node, Mapping):
                values, answers = read_fields(subject.name, node, subject.section, self.notes)
            elif not said_unknown(node):
                self.notes.add(
                    node.place,
                    subject.section,
                    "keys and values are expected here",
                    f"write {subject.section}: and its values below, indented",
                )
        self.instances.append(Instance(subject.name, subject.name, place, values, answers, {}, {}))

    def part_sections(self, node: Node | None) -> None:
        if isinstance(node, Scalar) and node.text.strip() == "none":
            advice = "write complete: all, or none at each kind, such as fuses: none"
            self.notes.add(node.place, "parts", '"none" is for one kind of part', advice)
            return
        for key, value in self.notes.entries(node, "parts", "kinds of part"):
            subject = PARTS.get(key)
            if subject is None:
                singular = next((s for s, one in PARTS.items() if key == one.name), "")
                advice = f'write "{singular}"' if singular else nearest(key, PARTS)
                self.notes.add(
                    self.notes.key_place(node, key),
                    f"parts.{key}",
                    f"{shown(key)} is no kind of part",
                    advice or f"write one of: {', '.join(PARTS)}",
                )
                continue
            self.listed(subject, f"parts.{key}", value, self.notes.key_place(node, key))

    def listed(self, subject: Subject, path: str, node: Node, place: Place) -> None:
        if isinstance(node, Scalar):
            text = node.text.strip()
            if text == "none":
                self.absent[subject.name] = node.place
            elif said_unknown(node):
                self.unknown.add(subject.name)
            else:
                problem = "there is nothing here" if not text else f"{shown(text)} is no list"
                self.notes.add(
                    node.place if text else place,
                    path,
                    problem,
                    "list the parts with - id:, or write none or unknown",
                )
            return
        if isinstance(node, Mapping):
            self.notes.add(
                node.place, path, "a list is expected here", "start each part with `- id: a-name`"
            )
            return
        if not node.items:
            self.notes.add(
                node.place, path, "the list is empty", "write none if there is none, or unknown"
            )
        used = frozenset(
            key for item in node.items if isinstance(item, Mapping) for key in item.entries
        )
        for number, item in enumerate(node.items, 1):
            if len(self.places) >= MAX_PARTS:
                self.notes.add(item.place, path, f"more than {MAX_PARTS} parts", "list fewer")
                return
            self._part(subject, f"{path}[{number}]", path, item, used)

    def _part(
        self, subject: Subject, numbered: str, section: str, node: Node, used: frozenset[str]
    ) -> None:
        if not isinstance(node, Mapping):
            self.notes.add(
                node.place, numbered, "a part is keys and values", "write - id: a-name, then more"
            )
            return
        identity = self._id(node, numbered)
        path = f"{section}[{identity}]" if identity else numbered
        nested = {"id", "bms", "segments"}
        values, answers = read_fields(subject.name, node, path, self.notes, used - nested)
        bms = node.entries.get("bms")
        if bms is not None and subject.name != "pack":
            advice = "write it in the pack it belongs to"
            self.notes.add(node.keys["bms"], f"{path}.bms", '"bms" belongs to a pack', advice)
        segments = node.entries.get("segments")
        if segments is not None and subject.name != "trip":
            advice = "write them in the trip they belong to"
            self.notes.add(
                node.keys["segments"], f"{path}.segments", '"segments" belong to a trip', advice
            )
        if not identity:
            return
        self.instances.append(Instance(identity, subject.name, node.place, values, answers, {}, {}))
        if subject.name == "pack":
            self._management(identity, bms, f"{path}.bms", node.place)
        if subject.name == "trip":
            self._segments(identity, segments, f"{path}.segments", node)

    def _segments(self, trip: str, node: Node | None, path: str, whole: Mapping) -> None:
        """The parts of a trip, named by their number: `trip.1`, `trip.2`."""
        if node is None:
            if "trace" not in whole.entries:
                advice = "write segments: and a list of distance, grade and speed, or trace: a file"
                self.notes.add(whole.place, path, "the trip has no parts", advice)
            return
        if "trace" in whole.entries:
            advice = "keep one of them"
            self.notes.add(whole.keys["trace"], path, "the trip has segments and a trace", advice)
        if not isinstance(node, Sequence) or not node.items:
            advice = "write - {distance: 400 m, grade: 5 %, speed: 20 km/h, surface: gravel}"
            self.notes.add(node.place, path, "a list of parts is expected here", advice)
            return
        for number, item in enumerate(node.items, 1):
            numbered = f"{path}[{number}]"
            if len(self.instances) >= MAX_SEGMENTS:
                self.notes.add(item.place, numbered, "too many parts of trips", "list fewer")
                return
            if not isinstance(item, Mapping):
                advice = "write {distance: 400 m, grade: 5 %, speed: 20 km/h}"
                self.notes.add(item.place, numbered, "keys and values are expected here", advice)
                continue
            values, answers = read_fields("segment", item, numbered, self.notes)
            for key in ("distance", "speed"):
                if key not in item.entries:
                    advice = f"add {key}: {'400 m' if key == 'distance' else '20 km/h'}"
                    self.notes.add(item.place, numbered, f"the part has no {key}", advice)
                elif key in values and values[key].value == 0.0:
                    problem = f"{key} is zero"
                    self.notes.add(values[key].place, numbered, problem, "write what is driven")
            name = f"{trip}.{number}"
            self.instances.append(Instance(name, "segment", item.place, values, answers, {}, {}))

    def _management(self, pack: str, node: Node | None, path: str, place: Place) -> None:
        values: dict[str, Written] = {}
        answers: dict[str, Answer] = {}
        if isinstance(node, Mapping):
            place = node.place
            values, answers = read_fields("bms", node, path, self.notes)
        elif isinstance(node, Scalar) and node.text.strip() == "none":
            values = {"kind": Written("none", "none", node.place)}
        elif node is not None and not said_unknown(node):
            self.notes.add(
                node.place,
                path,
                "keys and values are expected here",
                "write bms: {kind: internal-switch}, or bms: none",
            )
        self.instances.append(Instance(f"{pack}.bms", "bms", place, values, answers, {}, {}))

    def _id(self, node: Mapping, path: str) -> str:
        written = node.entries.get("id")
        if written is None:
            self.notes.add(node.place, path, "the part has no id", "add id: a-short-name")
            return ""
        text = written.text.strip() if isinstance(written, Scalar) else ""
        if len(text) > 60 or not ID.fullmatch(text):
            self.refused.add(as_id(text))
            said = shown(text) if isinstance(written, Scalar) else "this"
            advice = "write small letters, digits and hyphens, such as main-fuse"
            self.notes.add(written.place, f"{path}.id", f"{said} is no id", advice)
            return ""
        if text in VOCABULARY.subjects or text in _RESERVED:
            self.refused.add(text)
            self.notes.add(
                written.place,
                f"{path}.id",
                f"{shown(text)} already means something in a sheet",
                f"write another id, such as {text}-1",
            )
            return ""
        if text in self.places:
            first = self.places[text]
            self.notes.add(
                written.place,
                f"{path}.id",
                f"id {shown(text)} is used twice (first on line {first.line})",
                "give each part its own id",
            )
            return ""
        self.places[text] = written.place
        return text


def as_id(text: str) -> str:
    """The id a person may have meant."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def said_unknown(node: Node) -> bool:
    """True when a whole section is only the word `unknown`."""
    return isinstance(node, Scalar) and node.text.strip() == "unknown"
