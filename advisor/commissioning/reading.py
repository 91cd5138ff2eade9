"""One step from its YAML mapping, checked; every problem noted at its place."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from advisor.commissioning.guide import Phase
from advisor.commissioning.written import Caution, Expected, WrittenStep, WrittenWrong
from advisor.problems import Place, nearest, shown
from advisor.rules.fields import Fields, Notes, split_advice
from advisor.rules.parser import ExpressionError, parse_condition
from advisor.rules.parts import Sources, read_sources
from advisor.rules.reading import read_about, read_condition
from advisor.rules.rule import COMMON_PRACTICE
from advisor.rules.texts import Template, TextError, read_template
from advisor.rules.tree import Figure
from advisor.rules.types import check_figure
from advisor.rules.written import read_value
from advisor.units import UnitError
from advisor.vocabulary import RELATIONS, Kind, Name, Vocabulary
from advisor.yaml_text import Node, Scalar

_KEYS = (
    *("step", "about", "applies", "outward", "title", "do", "instrument", "range", "reading"),
    *("expect", "stop_at", "wrong", "cautions", "sources"),
)
_NUMERIC = (Kind.QUANTITY, Kind.COUNT)

PLACES = ("near", "far", "plus", "minus")
"""Words in braces for points of the circuit: the side of the part towards the battery and the side
away from it, and both ends of the battery."""

Resolve = Callable[[str], Name]


class StepReader:
    """Reads steps against a vocabulary, the sources of the rulesets and the cautions."""

    def __init__(
        self, vocabulary: Vocabulary, sources: Sources, cautions: Mapping[str, Caution]
    ) -> None:
        self.vocabulary = vocabulary
        self.sources = sources
        self.cautions = cautions

    def read(self, notes: Notes, node: Node, number: int, phase: Phase) -> WrittenStep | None:
        """The step, or None when something in it cannot be used (noted)."""
        before = len(notes.problems)
        fields = Fields(notes, node, f"steps[{number}]")
        name = fields.name("step") if fields.entries else ""
        if name:
            fields.path = name
        fields.only(_KEYS)
        about = read_about(fields, self.vocabulary)
        if not about or not name:
            return None

        def resolve(written: str) -> Name:
            return self.vocabulary.resolve(about, written)

        texts = _Texts(about, resolve)
        applies = read_condition(fields, "applies", resolve, known_tests=False)
        reading = self._reading(fields, resolve)
        expected = _expected(fields, texts, reading, resolve)
        cited, common = read_sources(fields, self.sources)
        source = [f"{one.title}, {one.clause}" if one.clause else one.title for one in cited]
        source += [COMMON_PRACTICE] if common else []
        step = WrittenStep(
            name=name,
            phase=phase,
            about=about,
            applies=applies[1] if applies else None,
            title=texts.read(fields, "title", limit=100),
            do=texts.read(fields, "do"),
            instrument=fields.text("instrument", required=reading is not None, limit=100),
            range=texts.read(fields, "range", required=False),
            reading=reading,
            expected=expected,
            stop_at=texts.read(fields, "stop_at", required=False),
            wrong=tuple(_wrong(fields, texts)),
            cautions=self._cautions(fields),
            source="; ".join(source),
            outward=fields.truth("outward"),
            file=notes.file,
            place=fields.place,
        )
        return step if len(notes.problems) == before else None

    def _reading(self, fields: Fields, resolve: Resolve) -> Name | None:
        written = fields.text("reading", required=False)
        if not written:
            return None
        try:
            name = resolve(written)
        except LookupError as error:
            fields.note("reading", *split_advice(error))
            return None
        if not name.attribute.given:
            advice = "name an attribute that a person can write in a sheet"
            fields.note("reading", f"{written} is computed, not read", advice)
            return None
        return name

    def _cautions(self, fields: Fields) -> tuple[str, ...]:
        found = []
        for node in fields.items("cautions", required=False):
            word = node.text if isinstance(node, Scalar) else ""
            if word not in self.cautions:
                advice = nearest(word, self.cautions) or "add it to cautions.yaml"
                path = fields.at("cautions")
                fields.notes.note(node.place, path, f"{shown(word)} is no caution", advice)
            found.append(word)
        return tuple(found)


class _Texts:
    """Reads texts with names and places of the circuit in braces."""

    def __init__(self, about: tuple[str, ...], resolve: Resolve) -> None:
        self.about = about
        self.resolve = resolve
        related = [set(RELATIONS.get(one, ())) for one in about]
        self.related = frozenset(set.intersection(*related)) | frozenset(PLACES)

    def read(
        self, fields: Fields, key: str, *, required: bool = True, limit: int = 1500
    ) -> Template:
        text = fields.text(key, required=required, limit=limit)
        try:
            return read_template(text, self.about, self.related, self.resolve)
        except TextError as error:
            fields.note(key, error.problem, error.advice)
            return Template("")


def _wrong(fields: Fields, texts: _Texts) -> list[WrittenWrong]:
    found = []
    for number, node in enumerate(fields.items("wrong", required=False), 1):
        one = Fields(fields.notes, node, fields.at(f"wrong[{number}]"))
        one.only(("reading", "means"))
        found.append(WrittenWrong(texts.read(one, "reading"), texts.read(one, "means")))
    return found


def _expected(
    fields: Fields, texts: _Texts, reading: Name | None, resolve: Resolve
) -> Expected | None:
    """The band or the word of a reading; a reading without one says why in `expect.because`."""
    node = fields.entries.get("expect")
    if node is None:
        return None
    one = Fields(fields.notes, node, fields.at("expect"))
    one.only(("low", "high", "word", "because"))
    because = texts.read(one, "because")
    if reading is None:
        if "reading" not in fields.entries:
            fields.note("expect", "there is no reading to compare with it", "add reading")
        return None
    low = _figure(one, "low", reading, resolve)
    high = _figure(one, "high", reading, resolve)
    word = _word(one, reading)
    if ("word" in one.entries) == bool({"low", "high"} & set(one.entries)):
        one.notes.note(one.place, one.path, "a band or a word is wanted", "write low, high or word")
    return Expected(low, high, word, because)


def _word(fields: Fields, reading: Name) -> str | bool | None:
    text = fields.text("word", required=False)
    if not text:
        return None
    if reading.attribute.kind in _NUMERIC:
        fields.note("word", f"{reading.written} is a number", "write low and high")
        return None
    try:
        value = read_value(reading.attribute, text)
    except UnitError as error:
        fields.note("word", error.problem, error.advice)
        return None
    return value if isinstance(value, str | bool) else None


def _figure(fields: Fields, key: str, reading: Name, resolve: Resolve) -> Figure | None:
    text = fields.text(key, required=False)
    start = fields.start_of_line(key) if text else None
    if start is None:
        return None
    attribute = reading.attribute
    if attribute.kind not in _NUMERIC:
        fields.note(key, f"{reading.written} is no number", "write word")
        return None
    try:
        figure, dimension = check_figure(parse_condition(text), resolve)
    except ExpressionError as error:
        place = Place(start.line, start.column + error.at)
        fields.notes.note(place, fields.at(key), error.problem, error.advice)
        return None
    if dimension != attribute.dimension:
        wanted = f"{reading.written} is read in {attribute.unit or 'a number'}"
        fields.note(key, f"this is a {dimension.name}", f"{wanted}; write one like it")
        return None
    return figure


__all__ = ["PLACES", "StepReader"]
