"""The parts of a rule: its texts, its fixes, its hazard, its sources."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping

from advisor.problems import nearest, shown
from advisor.rules.fields import Fields, split_advice
from advisor.rules.rule import (
    COMMON_PRACTICE,
    HAZARD_KINDS,
    PROBABILITIES,
    READ,
    SEVERITIES,
    Change,
    Fix,
    Hazard,
    Source,
)
from advisor.rules.scope import Conclusions
from advisor.rules.texts import Template, TextError, read_template
from advisor.rules.written import read_value
from advisor.units import UnitError
from advisor.vocabulary import RELATIONS, Kind, Name
from advisor.yaml_text import Mapping as MappingNode
from advisor.yaml_text import Scalar

_NAME = re.compile(r"[a-z][a-z0-9_]*\.[a-z0-9_]+")
Sources = Mapping[str, Mapping[str, str]]


class Texts:
    """Reads the texts with names in braces."""

    def __init__(
        self,
        fields: Fields,
        about: tuple[str, ...],
        resolve: Callable[[str], Name],
        conclusions: Conclusions,
    ) -> None:
        self.fields = fields
        self.about = about
        self.resolve = resolve
        self.conclusions = conclusions
        related = [set(RELATIONS.get(one, ())) for one in about]
        self.related = frozenset(set.intersection(*related))

    def name(self, written: str) -> Name:
        name = self.resolve(written)
        if self.conclusions.is_conclusion(name):
            raise LookupError("a conclusion has no value to show; say it in words")
        return name

    def read(self, key: str, *, required: bool) -> Template:
        return self.read_in(self.fields, key, required=required)

    def read_in(self, fields: Fields, key: str, *, required: bool) -> Template:
        text = fields.text(key, required=required)
        if "{" not in text and "}" not in text:
            return Template(text, (text,) if text else ())
        try:
            return read_template(text, self.about, self.related, self.name)
        except TextError as error:
            fields.note(key, error.problem, error.advice)
            return Template("")


def read_fixes(fields: Fields, texts: Texts, resolve: Callable[[str], Name]) -> tuple[Fix, ...]:
    """The fixes of a rule, with what each changes."""
    found = []
    for number, node in enumerate(fields.items("fixes", required=False), 1):
        one = Fields(fields.notes, node, fields.at(f"fixes[{number}]"))
        one.only(("do", "set"))
        do = texts.read_in(one, "do", required=True)
        changes = []
        entry = one.entries.get("set")
        if entry is not None:
            if isinstance(entry, MappingNode):
                settings = Fields(fields.notes, entry, one.at("set"))
                changes = [_change(settings, key, resolve) for key in settings.entries]
            else:
                one.note("set", "names and values are wanted here", "write {name: value}")
        found.append(Fix(do, tuple(one for one in changes if one is not None)))
    return tuple(found)


def _change(fields: Fields, key: str, resolve: Callable[[str], Name]) -> Change | None:
    text = fields.text(key)
    if not text:
        return None
    try:
        name = resolve(key)
        if not name.attribute.settable:
            fields.note(key, "cannot be changed by a fix", "leave set out; the advice may stay")
            return None
        if _NAME.fullmatch(text):
            other = resolve(text)
            same = (other.attribute.kind, other.attribute.dimension) == (
                name.attribute.kind,
                name.attribute.dimension,
            )
            if not same or (
                name.attribute.kind is Kind.CHOICE
                and not set(other.attribute.choices) <= set(name.attribute.choices)
            ):
                fields.note(key, f"{text} is another kind of value", "set it to one like it")
                return None
            return Change(name, other)
        return Change(name, read_value(name.attribute, text))
    except LookupError as error:
        fields.note(key, *split_advice(error))
    except UnitError as error:
        fields.note(key, error.problem, error.advice)
    return None


def read_hazard(fields: Fields) -> Hazard:
    """The hazard of a rule."""
    one = Fields(fields.notes, fields.entries["hazard"], fields.at("hazard"))
    one.only(("kind", "severity", "probability"))
    return Hazard(
        one.word("kind", HAZARD_KINDS),
        one.word("severity", SEVERITIES),
        one.word("probability", PROBABILITIES),
    )


def read_words(fields: Fields, key: str) -> tuple[str, ...]:
    """A list of names."""
    found = []
    for node in fields.items(key, required=False):
        if isinstance(node, Scalar):
            found.append(node.text)
        else:
            fields.note(key, "a list of rule names is wanted here", "write [a-rule, another-rule]")
    return tuple(found)


def read_sources(fields: Fields, known: Sources) -> tuple[tuple[Source, ...], bool]:
    """The cited sources, and whether the rule says that it is common practice."""
    cited: list[Source] = []
    common = False
    for number, node in enumerate(fields.items("sources"), 1):
        if isinstance(node, Scalar):
            if node.text == COMMON_PRACTICE:
                common = True
            else:
                fields.notes.note(
                    node.place,
                    fields.at(f"sources[{number}]"),
                    f"{shown(node.text)} names no source",
                    f"write {{source: key, clause: ..., read: ...}} or {COMMON_PRACTICE}",
                )
            continue
        one = Fields(fields.notes, node, fields.at(f"sources[{number}]"))
        one.only(("source", "clause", "read"))
        key = one.text("source")
        entry = known.get(key)
        read = one.word("read", READ)
        clause = one.text("clause", required=False)
        if key and entry is None:
            one.note(
                "source",
                f"{shown(key)} is not in sources.yaml",
                nearest(key, known) or "add it there",
            )
        elif entry is not None:
            cited.append(
                Source(
                    key,
                    entry["title"],
                    entry["edition"],
                    entry["publisher"],
                    entry["note"],
                    clause,
                    read,
                )
            )
    return tuple(cited), common
