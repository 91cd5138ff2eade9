"""Rulesets from files: read, checked as a whole, and put in order. All problems at once."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from advisor.problems import Place, Problem, ProblemsFoundError, shown
from advisor.rules.fields import KEBAB, Fields, Notes
from advisor.rules.layers import layers_of
from advisor.rules.reading import Draft, read_rule
from advisor.rules.rule import Note, Rule, RuleBook, Ruleset
from advisor.rules.scope import Conclusions
from advisor.rules.skipping import without_examples
from advisor.vocabulary import VOCABULARY, Vocabulary
from advisor.yaml_text import Node, read_bytes, read_text

SOURCES_FILE = "sources.yaml"
_HEADER = ("ruleset", "version", "issued", "title", "family", "changes", "rules")
_VERSION = re.compile(r"(0|[1-9][0-9]*)\.(0|[1-9][0-9]*)\.(0|[1-9][0-9]*)")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
MAX_RULES = 400


def find_rulesets() -> Path:
    """The folder of the rulesets: inside the installed package, or beside it in a checkout."""
    package = Path(__file__).resolve().parent.parent
    installed = package / "_data" / "rulesets"
    return installed if installed.is_dir() else package.parent / "rulesets"


def load_rulesets(
    where: Path | Iterable[Path] | None = None,
    vocabulary: Vocabulary = VOCABULARY,
    *,
    examples: bool = True,
) -> RuleBook:
    """All rulesets of a folder and the folders in it, or of some files.

    The sources are those of `sources.yaml` in the folder, or beside the first file.

    Without `examples` these are left unread, which takes half of the time. Raises
    ProblemsFoundError with every problem of every file.
    """
    folder, files = _files(find_rulesets() if where is None else where)
    problems: list[Problem] = []
    if not files:
        problems.append(Problem(str(folder), Place(), "", "there are no rulesets in it"))
    sources = _sources(folder / SOURCES_FILE, problems)
    drafts: list[_DraftSet] = []
    for file in files:
        try:
            data = read_bytes(file)
            data = data if examples else without_examples(data)
            drafts.append(_DraftSet(file, data, read_text(data, str(file))))
        except ProblemsFoundError as error:
            problems += error.problems
    conclusions = Conclusions(vocabulary)
    for draft in drafts:
        draft.declare(conclusions)
    rulesets = [draft.ruleset(sources, conclusions) for draft in drafts]
    for draft in drafts:
        problems += draft.notes.problems
    rules = [rule for one in rulesets for rule in one.rules]
    problems += _whole(rulesets, rules)
    if problems:
        raise ProblemsFoundError(problems)
    layer = layers_of(rules)
    rulesets = [
        replace(one, rules=tuple(replace(rule, layer=layer[rule.name]) for rule in one.rules))
        for one in rulesets
    ]
    return RuleBook(
        tuple(rulesets),
        tuple(rule for one in rulesets for rule in one.rules),
        sources,
        _fingerprint(rulesets),
    )


def _files(where: Path | Iterable[Path]) -> tuple[Path, list[Path]]:
    if isinstance(where, Path):
        if where.is_dir():
            found = sorted(where.glob("*.yaml")) + sorted(where.glob("*/*.yaml"))
            return where, [one for one in found if one.name != SOURCES_FILE]
        return where.parent, [where]
    files = list(where)
    return (files[0].parent if files else Path()), files


def _sources(file: Path, problems: list[Problem]) -> dict[str, Mapping[str, str]]:
    """The table of sources, key to title, edition, publisher, note."""
    if not file.is_file():
        return {}
    try:
        data = read_bytes(file)
        node = read_text(data, str(file))
    except ProblemsFoundError as error:
        problems += error.problems
        return {}
    notes = Notes(str(file), [])
    found: dict[str, Mapping[str, str]] = {}
    whole = Fields(notes, node, "")
    for key, entry in whole.entries.items():
        if not KEBAB.fullmatch(key):
            notes.note(
                whole.keys[key], shown(key), "is no name", "write lower-case words joined by -"
            )
        fields = Fields(notes, entry, key)
        fields.only(("title", "edition", "publisher", "note"))
        found[key] = {
            "title": fields.text("title"),
            "edition": fields.text("edition", required=False),
            "publisher": fields.text("publisher", required=False),
            "note": fields.text("note", required=False),
        }
    problems += notes.problems
    return found


class _DraftSet:
    """One file being read: first what it declares, then its rules."""

    def __init__(self, file: Path, data: bytes, node: Node) -> None:
        self.file = file
        self.notes = Notes(str(file), data.decode("utf-8-sig").splitlines())
        self.fields = Fields(self.notes, node, "")
        self.name = self.fields.name("ruleset")
        self.family = self.fields.text("family", required=False) or self.name
        items = self.fields.items("rules")
        if len(items) > MAX_RULES:
            self.fields.note("rules", f"more than {MAX_RULES} rules", "split the file")
            items = ()
        self.drafts = [Draft(self.notes, item, number) for number, item in enumerate(items, 1)]

    def declare(self, conclusions: Conclusions) -> None:
        for draft in self.drafts:
            draft.declare(conclusions)

    def ruleset(
        self, sources: Mapping[str, Mapping[str, str]], conclusions: Conclusions
    ) -> Ruleset:
        fields = self.fields
        fields.only(_HEADER)
        version = fields.text("version")
        if version and not _VERSION.fullmatch(version):
            fields.note("version", f"{shown(version)} is no version", "write it like 1.0.0")
            version = ""
        issued = fields.text("issued")
        if issued and not _DATE.fullmatch(issued):
            fields.note("issued", f"{shown(issued)} is no date", "write it like 2026-11-24")
        title = fields.text("title", limit=120)
        changes = [
            self._change(Fields(self.notes, node, f"changes[{number}]"))
            for number, node in enumerate(fields.items("changes"), 1)
        ]
        if changes and version and changes[0].version != version:
            fields.note(
                "changes",
                f"the first change is for {changes[0].version}, the ruleset is {version}",
                "put the newest version first",
            )
        rules = [
            read_rule(draft, self.name, self.family, sources, conclusions) for draft in self.drafts
        ]
        return Ruleset(
            self.name,
            version,
            issued,
            title,
            self.family,
            tuple(changes),
            tuple(rule for rule in rules if rule is not None),
            self.file.name,
        )

    @staticmethod
    def _change(fields: Fields) -> Note:
        fields.only(("version", "note"))
        return Note(fields.text("version"), fields.text("note"))


def _whole(rulesets: list[Ruleset], rules: list[Rule]) -> list[Problem]:
    """What can only be seen over all files: names used twice, rules covered, circles."""
    problems: list[Problem] = []
    names: dict[str, str] = {}
    for one in rulesets:
        if one.name and one.name in names:
            problems.append(
                Problem(
                    one.file,
                    Place(),
                    "ruleset",
                    f"{one.name} is also the name of {names[one.name]}",
                    "name it otherwise",
                )
            )
        names[one.name] = one.file
    first: dict[str, Rule] = {}
    for rule in rules:
        other = first.setdefault(rule.name, rule)
        if other is not rule:
            problems.append(
                Problem(
                    rule.file,
                    rule.place,
                    rule.name,
                    f"this name is used in {Path(other.file).name}:{other.place.line}",
                    "names are unique over all rulesets",
                )
            )
    for rule in rules:
        for covered in rule.covers:
            if covered not in first or covered == rule.name:
                problems.append(
                    Problem(
                        rule.file,
                        rule.place,
                        f"{rule.name}.covers",
                        f"{covered} is no other rule",
                        "name a milder rule about the same part",
                    )
                )
    if not problems:
        problems += _circles(rules)
    return problems


def _circles(rules: list[Rule]) -> list[Problem]:
    try:
        layers_of(rules)
    except LookupError as error:
        rule, problem, advice = error.args
        return [Problem(rule.file, rule.place, rule.name, problem, advice)]
    return []


def _fingerprint(rulesets: Iterable[Ruleset]) -> str:
    lines = [
        f"{one.name} {one.version} {rule.name} {rule.meaning} {rule.wording}"
        for one in rulesets
        for rule in one.rules
    ]
    return hashlib.sha256("\n".join(sorted(lines)).encode()).hexdigest()[:12]
