"""Sections and parts of a sheet: each by its model, every mistake noted with its place."""

from __future__ import annotations

from pydantic import ValidationError

from advisor.problems import Place, nearest, shown
from advisor.sheet.build import Answer, Instance, Written
from advisor.sheet.models import keys_of, model_of
from advisor.sheet.notes import Notes
from advisor.sheet.values import ID, ValueProblemError, read_value
from advisor.vocabulary import VOCABULARY, Subject
from advisor.yaml_text import Mapping, Node, Scalar

MAX_PARTS = 500

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
    """Reads sections and parts into instances; kinds stated as not fitted go to `absent`."""

    def __init__(self, notes: Notes) -> None:
        self.notes = notes
        self.instances: list[Instance] = []
        self.absent: dict[str, Place] = {}
        self.places: dict[str, Place] = {}

    def single(self, subject: Subject, node: Node | None) -> None:
        place = Place()
        values: dict[str, Written] = {}
        answers: dict[str, Answer] = {}
        if node is not None:
            place = node.place
            if isinstance(node, Mapping):
                values, answers = self._values(subject.name, node, subject.section)
            elif not said_unknown(node):
                self.notes.add(
                    node.place,
                    subject.section,
                    "keys and values are expected here",
                    f"write {subject.section}: and its values below, indented",
                )
        self.instances.append(Instance(subject.name, subject.name, place, values, answers, {}, {}))

    def part_sections(self, node: Node | None) -> None:
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
            elif not said_unknown(node):
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
            if len(self.instances) > MAX_PARTS:
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
        values, answers = self._values(subject.name, node, path, used - {"id", "bms"})
        bms = node.entries.get("bms")
        if bms is not None and subject.name != "pack":
            advice = "write it in the pack it belongs to"
            self.notes.add(node.keys["bms"], f"{path}.bms", '"bms" belongs to a pack', advice)
        if not identity:
            return
        self.instances.append(Instance(identity, subject.name, node.place, values, answers, {}, {}))
        if subject.name == "pack":
            self._management(identity, bms, f"{path}.bms", node.place)

    def _management(self, pack: str, node: Node | None, path: str, place: Place) -> None:
        values: dict[str, Written] = {}
        answers: dict[str, Answer] = {}
        if isinstance(node, Mapping):
            place = node.place
            values, answers = self._values("bms", node, path)
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
            said = shown(text) if isinstance(written, Scalar) else "this"
            advice = "write small letters, digits and hyphens, such as main-fuse"
            self.notes.add(written.place, f"{path}.id", f"{said} is no id", advice)
            return ""
        if text in VOCABULARY.subjects:
            self.notes.add(
                written.place,
                f"{path}.id",
                f"{shown(text)} is the name of a section",
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

    def _values(
        self, subject: str, node: Mapping, path: str, used: frozenset[str] | None = None
    ) -> tuple[dict[str, Written], dict[str, Answer]]:
        """Values and answers of one section or part, by its pydantic model.

        `used` are the keys that parts of this kind use in this sheet; other keys are left alone.
        """
        used = frozenset(node.entries) if used is None else used
        entries = {key: one for key, one in node.entries.items() if key in used}
        model = model_of(subject, used)
        values: dict[str, Written] = {}
        answers: dict[str, Answer] = {}
        try:
            found = model.model_validate(entries)
        except ValidationError as error:
            for one in error.errors():
                key = str(one["loc"][0])
                if one["type"] == "extra_forbidden":
                    advice = self._elsewhere(subject, key) or nearest(key, keys_of(subject))
                    problem = f"{shown(key)} is not known here"
                    self.notes.add(node.keys[key], f"{path}.{key}", problem, advice or "remove it")
                    continue
                said = one.get("ctx", {})
                self.notes.add(
                    entries[key].place,
                    f"{path}.{key}",
                    str(said.get("problem", one["msg"])),
                    str(said.get("advice", "")),
                )
            return values, answers
        for key in found.model_fields_set:
            value = getattr(found, key)
            if isinstance(value, tuple):
                values[f"{key}_min"], values[f"{key}_max"] = value
            elif isinstance(value, Written):
                values[key] = value
            elif f"{subject}.{key}" in VOCABULARY.attributes:
                answers[key] = value
            else:
                answers[f"{key}_min"] = answers[f"{key}_max"] = value
            if f"{subject}.{key}" not in VOCABULARY.attributes:
                self._doubled(node, key, path)
        return values, answers

    def _doubled(self, node: Mapping, key: str, path: str) -> None:
        """A range and one of its ends must not both be written."""
        for end in (f"{key}_min", f"{key}_max"):
            if end in node.entries:
                self.notes.add(
                    node.keys[end],
                    f"{path}.{end}",
                    f"{shown(end)} is already in the range {key}",
                    "keep one of them",
                )

    @staticmethod
    def _elsewhere(subject: str, key: str) -> str:
        """Where a key that is not known here would belong."""
        homes = [
            one.section
            for one in VOCABULARY.subjects.values()
            if one.name != subject and any(a.name == key and a.given for a in one.attributes)
        ]
        return f"it belongs under {homes[0]}" if homes else ""

    def settings(self, node: Node | None) -> dict[str, dict[str, Written]]:
        """Programmed values by part."""
        found: dict[str, dict[str, Written]] = {}
        subjects = {one.id: one.subject for one in self.instances}
        for identity, values in self.notes.entries(node, "settings", "part ids"):
            path = f"settings.{identity}"
            if identity not in subjects:
                place = self.notes.key_place(node, identity)
                advice = nearest(identity, subjects) or "write the id of a listed part"
                self.notes.add(place, path, f"there is no part {shown(identity)}", advice)
                continue
            subject = subjects[identity]
            known = [a.name for a in VOCABULARY.subjects[subject].attributes if a.programmable]
            for key, value in self.notes.entries(values, path, "values"):
                attribute = VOCABULARY.attribute(subject, key)
                place = self.notes.key_place(values, key)
                if attribute is None or not attribute.programmable:
                    section = VOCABULARY.subjects[subject].section
                    given = attribute is not None and attribute.given
                    advice = f"write it under {section}" if given else nearest(key, known)
                    problem = f"{shown(key)} is not programmed in a {subject}"
                    self.notes.add(place, f"{path}.{key}", problem, advice or "remove it")
                    continue
                try:
                    one = read_value(attribute, value)
                except ValueProblemError as error:
                    self.notes.add(value.place, f"{path}.{key}", error.problem, error.advice)
                    continue
                if isinstance(one, Written):
                    found.setdefault(identity, {})[key] = one
        return found


def said_unknown(node: Node) -> bool:
    """True when a whole section is only the word `unknown`."""
    return isinstance(node, Scalar) and node.text.strip() == "unknown"
