"""Rulesets from files: read, checked as a whole, and put in order. All problems at once."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from pathlib import Path

from advisor.acceptance import Acceptance
from advisor.problems import Place, Problem, ProblemsFoundError, shown
from advisor.rules.fields import KEBAB, Fields, Notes
from advisor.rules.layers import layers_of
from advisor.rules.own import changes_to_shipped, read_accepted, too_many, unknown_rules
from advisor.rules.reading import Draft, read_rule
from advisor.rules.retired import RETIRED_FILE, Retired, read_retired, used_again
from advisor.rules.rule import Note, Rule, RuleBook, Ruleset
from advisor.rules.scope import Conclusions
from advisor.rules.skipping import without_examples
from advisor.vocabulary import VOCABULARY, Vocabulary
from advisor.yaml_text import Node, read_bytes, read_text

SOURCES_FILE = "sources.yaml"
STEPS_FOLDER = "steps"
"""Folder of the commissioning guide, beside the rulesets; there are no rules in it."""
_HEADER = ("ruleset", "version", "issued", "title", "family", "changes", "rules")
_BESIDE = (SOURCES_FILE, RETIRED_FILE)
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
    own: Path | None = None,
) -> RuleBook:
    """All rulesets of a folder and the folders in it, or of some files.

    The sources are those of `sources.yaml` in the folder, or beside the first file.

    `own` is a folder of a shop's rulesets, which add to these and cannot change them. Without
    `examples` these are left unread, which takes half of the time. Raises ProblemsFoundError with
    every problem of every file.
    """
    folder, files = _files(find_rulesets() if where is None else where)
    problems: list[Problem] = []
    if not files:
        problems.append(Problem(str(folder), Place(), "", "there are no rulesets in it"))
    sources = read_source_table(folder / SOURCES_FILE, problems)
    retired = read_retired(folder / RETIRED_FILE, problems)
    drafts = _drafts(files, problems, examples=examples)
    if own is not None:
        drafts += _own_drafts(own, sources, problems, examples=examples)
    conclusions = Conclusions(vocabulary)
    for draft in drafts:
        draft.declare(conclusions)
    rulesets = [draft.ruleset(sources, conclusions) for draft in drafts]
    for draft in drafts:
        problems += draft.notes.problems
    problems += _whole(drafts, rulesets, retired)
    if problems:
        raise ProblemsFoundError(problems)
    rules = [rule for one in rulesets for rule in one.rules]
    layer = layers_of(rules)
    rulesets = [
        replace(one, rules=tuple(_placed(rule, layer[rule.name]) for rule in one.rules))
        for one in rulesets
    ]
    return RuleBook(
        tuple(rulesets),
        tuple(rule for one in rulesets for rule in one.rules),
        sources,
        _fingerprint(rulesets, drafts),
        tuple(one for draft in drafts for one, _ in draft.accepted),
    )


def _placed(rule: Rule, layer: int) -> Rule:
    return rule if rule.layer == layer else replace(rule, layer=layer)


def _drafts(
    files: Iterable[Path], problems: list[Problem], *, examples: bool, own: bool = False
) -> list[_DraftSet]:
    found = []
    for file in files:
        try:
            data = read_bytes(file)
            data = data if examples else without_examples(data)
            found.append(_DraftSet(file, data, read_text(data, str(file)), own=own))
        except ProblemsFoundError as error:
            problems += error.problems
    return found


def _own_drafts(
    own: Path, sources: dict[str, Mapping[str, str]], problems: list[Problem], *, examples: bool
) -> list[_DraftSet]:
    """The files of a shop's folder; its sources are added to those of the program."""
    if not is_folder(own):
        problems.append(Problem(str(own), Place(), "", "there is no such folder", "check the name"))
        return []
    folder, files = _files(own)
    if not files:
        problems.append(Problem(str(own), Place(), "", "there are no rulesets in it"))
    more = read_source_table(folder / SOURCES_FILE, problems)
    problems += [
        Problem(
            str(folder / SOURCES_FILE),
            Place(),
            key,
            "is also the key of a shipped source",
            "name it otherwise, or cite the shipped one",
        )
        for key in more
        if key in sources
    ]
    sources |= {key: entry for key, entry in more.items() if key not in sources}
    refused = too_many(own, len(files), 0)
    drafts = [] if refused else _drafts(files, problems, examples=examples, own=True)
    refused += too_many(own, 0, sum(len(draft.drafts) for draft in drafts))
    problems += refused
    return [] if refused else drafts


def is_folder(path: Path) -> bool:
    """True for a folder; a name that cannot be one, such as a very long one, is none."""
    try:
        return path.is_dir()
    except (OSError, ValueError):
        return False


def _files(where: Path | Iterable[Path]) -> tuple[Path, list[Path]]:
    if isinstance(where, Path):
        if is_folder(where):
            found = sorted(where.glob("*.yaml"))
            found += [
                one for one in sorted(where.glob("*/*.yaml")) if one.parent.name != STEPS_FOLDER
            ]
            return where, [one for one in found if one.name not in _BESIDE]
        return where.parent, [where]
    files = list(where)
    return (files[0].parent if files else Path()), files


def read_source_table(file: Path, problems: list[Problem]) -> dict[str, Mapping[str, str]]:
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

    def __init__(self, file: Path, data: bytes, node: Node, *, own: bool = False) -> None:
        self.file = file
        self.own = own
        self.notes = Notes(str(file), data.decode("utf-8-sig").splitlines())
        self.fields = Fields(self.notes, node, "")
        self.name = self.fields.name("ruleset")
        self.family = self.fields.text("family", required=False) or self.name
        accepts = own and "accepted" in self.fields.entries
        self.accepted: list[tuple[Acceptance, Place]] = []
        if accepts:
            self.accepted = read_accepted(self.notes, self.fields)
        items = self.fields.items("rules", required=not accepts)
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
        fields.only((*_HEADER, "accepted") if self.own else _HEADER)
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
            self.own,
        )

    @staticmethod
    def _change(fields: Fields) -> Note:
        fields.only(("version", "note"))
        return Note(fields.text("version"), fields.text("note"))


def _whole(
    drafts: list[_DraftSet], rulesets: list[Ruleset], retired: Mapping[str, Retired]
) -> list[Problem]:
    """What can only be seen over all files: names used twice, rules covered, circles."""
    rules = [rule for one in rulesets for rule in one.rules]
    problems: list[Problem] = []
    names: dict[str, str] = {}
    for draft, one in zip(drafts, rulesets, strict=True):
        if one.name and one.name in names:
            problems.append(
                Problem(
                    draft.notes.file,
                    draft.fields.entries["ruleset"].place,
                    "ruleset",
                    f"{one.name} is also the name of {names[one.name]}",
                    "name it otherwise",
                )
            )
        names[one.name] = one.file
    problems += used_again(rules, retired)
    problems += changes_to_shipped(
        [one for one in rulesets if not one.own], [one for one in rulesets if one.own]
    )
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
    for draft in drafts:
        problems += unknown_rules(draft.notes.file, draft.accepted, first)
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


def _fingerprint(rulesets: Iterable[Ruleset], drafts: Iterable[_DraftSet]) -> str:
    lines = [
        f"{one.name} {one.version} {rule.name} {rule.meaning} {rule.wording}"
        for one in rulesets
        for rule in one.rules
    ]
    lines += [str(one) for draft in drafts for one, _ in draft.accepted]
    return hashlib.sha256("\n".join(sorted(lines)).encode()).hexdigest()[:12]
