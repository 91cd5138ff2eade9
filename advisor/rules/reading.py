"""One rule from its YAML mapping, checked; every problem noted at its place."""

from __future__ import annotations

import hashlib
from collections.abc import Callable

from advisor.problems import Place, nearest, shown
from advisor.rules.fields import Fields, Notes, split_advice
from advisor.rules.logic import truth
from advisor.rules.parser import ExpressionError, parse_condition
from advisor.rules.parts import (
    Sources,
    Texts,
    read_fixes,
    read_hazard,
    read_sources,
    read_words,
)
from advisor.rules.rule import CONSULT, STAGES, Change, Rule
from advisor.rules.scope import Conclusions
from advisor.rules.skipping import UNREAD
from advisor.rules.tree import Condition, Parsed, names_in
from advisor.rules.twins import too_complex
from advisor.rules.types import check_condition
from advisor.vocabulary import TRAITS, Name, Vocabulary
from advisor.yaml_text import Node, Scalar, Sequence

_KEYS = (
    *("rule", "about", "stage", "title", "applies", "when", "hazard", "finding", "because"),
    *("fixes", "no_fix", "wrong_when", "concludes", "covers", "quiet_when_unknown", "notice"),
    *("consult", "sources", "examples"),
)


class Draft:
    """A rule being read: who it is about, and what it concludes, come first."""

    def __init__(self, notes: Notes, node: Node, number: int) -> None:
        self.notes = notes
        self.fields = Fields(notes, node, f"rules[{number}]")
        self.name = self.fields.name("rule") if self.fields.entries else ""
        if self.name:
            self.fields.path = self.name
        self.about: tuple[str, ...] = ()
        self.concludes: tuple[str, ...] = ()

    def declare(self, conclusions: Conclusions) -> None:
        """Find the subjects, and declare the conclusion to the other rules."""
        self.about = read_about(self.fields, conclusions.vocabulary)
        written = self.fields.text("concludes", required=False)
        if not written or not self.about:
            return
        try:
            self.concludes = conclusions.declare(self.about, written)
        except LookupError as error:
            self.fields.note("concludes", *split_advice(error))


def read_about(fields: Fields, vocabulary: Vocabulary) -> tuple[str, ...]:
    """The subjects that `about` names: one, those of a trait, or those of a list."""
    node = fields.entries.get("about")
    if node is None:
        if fields.entries:
            fields.note("about", "is missing", "name a subject, a trait or a list of them")
        return ()
    items = node.items if isinstance(node, Sequence) else (node,)
    found: list[str] = []
    for item in items:
        word = item.text if isinstance(item, Scalar) else ""
        members = vocabulary.members(word)
        if not members:
            known = [*vocabulary.subjects, *TRAITS]
            fields.notes.note(
                item.place,
                fields.at("about"),
                f"{shown(word)} is no subject",
                nearest(word, known) or "write a subject such as controller",
            )
            return ()
        found += members
    if len(set(found)) < len(found):
        fields.note("about", "a subject is named twice", "name it once")
        return ()
    return tuple(found)


def read_rule(
    draft: Draft, ruleset: str, family: str, sources: Sources, conclusions: Conclusions
) -> Rule | None:
    """The rule of a draft, or None when something in it cannot be used (noted)."""
    before = len(draft.notes.problems)
    fields = draft.fields
    fields.only(_KEYS)
    if not draft.about or not draft.name:
        return None
    about = draft.about
    names: dict[str, Name | LookupError] = {}

    def resolve(written: str) -> Name:
        found = names.get(written)
        if found is None:
            try:
                found = conclusions.resolve(about, written)
            except LookupError as error:
                found = error
            names[written] = found
        if isinstance(found, LookupError):
            raise found
        return found

    is_check = "hazard" in fields.entries
    applies = read_condition(fields, "applies", resolve, known_tests=False)
    when = read_condition(fields, "when", resolve)
    texts = Texts(fields, about, resolve, conclusions)
    fixes = read_fixes(fields, texts, resolve) if is_check else ()
    finding = texts.read("finding", required=is_check)
    no_fix = fields.text("no_fix", required=False)
    if is_check and bool(fixes) == bool(no_fix):
        fields.note("fixes", "fixes or no_fix: one of them is needed", "add fixes, or no_fix: why")
    if not is_check and not draft.concludes:
        fields.note("hazard", "is missing", "add it, or let the rule conclude something")
    title = fields.text("title", limit=100)
    because = fields.text("because")
    wrong_when = fields.text("wrong_when", required=is_check)
    cited, common = read_sources(fields, sources)
    quiet = fields.text("quiet_when_unknown", required=False)
    hazard = read_hazard(fields) if is_check else None
    stage = fields.word("stage", STAGES)
    covers = read_words(fields, "covers")
    notice = fields.truth("notice")
    consult = fields.word("consult", CONSULT, required=is_check, default="none")
    examples = fields.entries.get("examples")
    unread = isinstance(examples, Scalar) and examples.text == UNREAD
    if unread or not fields.items("examples"):
        examples = None
    if when is not None and not quiet and truth(when[1], {}) is False:
        fields.note(
            "when",
            "with nothing known this is certainly false: a missing fact would clear the check",
            "leave is known out (missing is undetermined anyway), or add quiet_when_unknown",
        )
    if when is not None and too_complex(applies[1] if applies else None, when[1]):
        fields.note(
            "when",
            "too many ways to decide this",
            "split the rule, or let another one conclude a part",
        )
    if len(draft.notes.problems) > before or when is None:
        return None
    reads = _unique([*(names_in(applies[1]) if applies else ()), *names_in(when[1])])
    shown_names = [name for text in (finding, *(fix.do for fix in fixes)) for name in text.names]
    concluded = [name for name in reads if conclusions.is_conclusion(name)]
    written = fields.text("concludes", required=False)
    meaning = _digest(
        str(about),
        stage,
        str(applies[0]) if applies else "",
        str(when[0]),
        str(hazard),
        str(draft.concludes),
        str(covers),
        quiet,
        str(notice),
    )
    wording = _digest(
        title,
        finding.text,
        because,
        *(fix.do.text for fix in fixes),
        *(_written(change) for fix in fixes for change in fix.changes),
        no_fix,
        wrong_when,
        consult,
        str(cited),
    )
    node = fields.entries["about"]
    return Rule(
        name=draft.name,
        ruleset=ruleset,
        family=family,
        file=draft.notes.file,
        place=fields.place,
        about=about,
        about_text=node.text if isinstance(node, Scalar) else "part",
        stage=stage,
        title=title,
        applies=applies[1] if applies else None,
        when=when[1],
        applies_text=applies[2] if applies else "",
        when_text=when[2],
        hazard=hazard,
        finding=finding,
        because=because,
        fixes=fixes,
        no_fix=no_fix,
        wrong_when=wrong_when,
        concludes=draft.concludes[0] if draft.concludes else "",
        concludes_on=resolve(written).reach if draft.concludes else "",
        concludes_paths=draft.concludes,
        covers=covers,
        quiet_when_unknown=quiet,
        notice=notice,
        consult=consult,
        sources=cited,
        common_practice=common,
        reads=reads,
        names=_unique([*reads, *shown_names]),
        concluded=frozenset(name.written for name in concluded),
        concluded_paths=tuple(
            path for name in concluded for path in conclusions.paths(about, name.written)
        ),
        meaning=meaning,
        wording=wording,
        examples=examples,
    )


def _unique(names: list[Name]) -> tuple[Name, ...]:
    return tuple({name.written: name for name in names}.values())


def _written(change: Change) -> str:
    value = change.value.written if isinstance(change.value, Name) else change.value
    return f"{change.name.written} = {value!r}"


def _digest(*texts: str) -> str:
    return hashlib.sha256("\n".join(texts).encode()).hexdigest()[:12]


def read_condition(
    fields: Fields, key: str, resolve: Callable[[str], Name], *, known_tests: bool = True
) -> tuple[Parsed, Condition, str] | None:
    """The parsed tree, the checked tree and the text of a condition."""
    text = fields.text(key, required=key == "when")
    if not text:
        return None
    start = fields.start_of_line(key)
    if start is None:
        return None
    try:
        parsed = parse_condition(text)
        return parsed, check_condition(parsed, resolve, known_tests=known_tests), text
    except ExpressionError as error:
        place = Place(start.line, start.column + error.at)
        fields.notes.note(place, fields.at(key), error.problem, error.advice)
        return None
