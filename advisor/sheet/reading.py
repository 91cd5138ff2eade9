"""From a YAML file to a build: every mistake found, with its place and what to write instead."""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable
from dataclasses import replace
from pathlib import Path

from advisor.problems import Problem, ProblemsFoundError, nearest, shown
from advisor.sheet.accepted import read_accepted
from advisor.sheet.alternatives import read_choices, with_choice
from advisor.sheet.build import Answer, Build, Instance, Reading, Written
from advisor.sheet.checks import check_build
from advisor.sheet.layouts import LAYOUTS, layout_runs
from advisor.sheet.notes import Notes
from advisor.sheet.parts import LISTS, MAX_PARTS, PARTS, SINGLE, PartsReader
from advisor.sheet.readings import read_readings
from advisor.sheet.settings import Programmed, read_settings
from advisor.sheet.steps import read_steps
from advisor.sheet.traces import Trace, read_trace
from advisor.sheet.values import ValueProblemError, plain_text
from advisor.vocabulary import GROUPS
from advisor.yaml_text import Mapping, Node, Scalar, Sequence, read_bytes, read_text

ALWAYS_THERE = frozenset({"pack", "motor", "run", "mount"})
"""No vehicle is without these. `complete` cannot make them absent; a stated `none` can."""

FORMAT = "1"
STAGES = ("order", "wiring", "handoff")

_HEAD = (
    "sheet",
    "title",
    "stage",
    "rulesets",
    "complete",
    "layout",
    "parts",
    "settings",
    "readings",
    "steps",
    "choices",
    "accepted",
)
SECTIONS = (*_HEAD, *(one.section for one in SINGLE), *LISTS)
_VERSION = re.compile(r"[0-9]+\.[0-9]+\.[0-9]+")


def read_sheet(path: Path) -> Build:
    """The build in a file. Raises ProblemsFoundError with every problem."""
    return read_sheet_bytes(read_bytes(path), str(path), path.parent)


def read_sheet_bytes(data: bytes, name: str, folder: Path | None = None) -> Build:
    """The build in some bytes. Raises ProblemsFoundError with every problem.

    Files that the sheet names are looked for in `folder`; without one they are not opened.
    """
    root = read_text(data, name)
    reader = _SheetReader(name, folder)
    build = reader.read(root, hashlib.sha256(data).hexdigest()[:12])
    if reader.notes.problems:
        raise ProblemsFoundError(reader.notes.problems)
    return build


class _SheetReader:
    """Reads one sheet; problems are collected in `notes`."""

    def __init__(self, name: str, folder: Path | None = None) -> None:
        self.name = name
        self.folder = folder
        self.notes = Notes(name)
        self.parts = PartsReader(self.notes)
        self.complete: set[str] = set()

    def read(self, root: Node, fingerprint: str) -> Build:
        if not isinstance(root, Mapping):
            self.notes.add(
                root.place,
                "",
                "a sheet is a mapping of sections",
                "start with `sheet: 1` and `vehicle:`; `advisor sheet new` writes an example",
            )
            return Build(self.name, "", None, {}, fingerprint, (), frozenset())
        for key in root.entries:
            if key not in SECTIONS:
                where = next((s for s, one in PARTS.items() if key in (s, one.name)), "")
                advice = f"it belongs under parts, as `{where}:`" if where else ""
                advice = advice or nearest(key, SECTIONS) or "remove it"
                self.notes.add(root.keys[key], key, f"{shown(key)} is no section", advice)
        self._version(root)
        title = self._word(root, "title")
        stage = self._word(root, "stage")
        if stage and stage not in STAGES:
            place = root.entries["stage"].place
            advice = nearest(stage, STAGES) or f"write one of: {', '.join(STAGES)}"
            self.notes.add(place, "stage", f"{shown(stage)} is no stage", advice)
        for subject in SINGLE:
            self.parts.single(subject, root.entries.get(subject.section))
        self.parts.part_sections(root.entries.get("parts"))
        for section, subject in LISTS.items():
            if section in root.entries:
                self.parts.listed(subject, section, root.entries[section], root.keys[section])
        self._complete(root.entries.get("complete"))
        self._layout(root)
        by_id = {one.id: one.subject for one in self.parts.instances}
        refused = self.parts.refused
        settings = read_settings(root.entries.get("settings"), by_id, refused, self.notes)
        readings = read_readings(root.entries.get("readings"), by_id, refused, self.notes)
        instances = tuple(self._with(one, settings, readings) for one in self.parts.instances)
        build = Build(
            self.name,
            title,
            stage or None,
            self._pins(root.entries.get("rulesets")),
            fingerprint,
            instances,
            frozenset(self.parts.absent),
            frozenset(self.complete),
            self._traces(instances),
            accepted=read_accepted(root.entries.get("accepted"), by_id, refused, self.notes),
            steps=read_steps(root.entries.get("steps"), by_id, refused, self.notes),
        )
        check_build(build, refused, self.notes)
        known = frozenset(one.id for one in instances)
        choices = read_choices(root.entries.get("choices"), known, self.notes)
        if choices and not self.notes.problems:
            for one in choices:
                own = Notes(self.name)
                check_build(with_choice(build, one), refused, own)
                self.notes.problems += [
                    replace(each, path=f"choices[{one.id}], {each.path}") for each in own.problems
                ]
        return replace(build, alternatives=choices)

    @staticmethod
    def _with(
        one: Instance,
        settings: Programmed,
        readings: dict[str, dict[str, tuple[Reading, ...]]],
    ) -> Instance:
        """The part with its settings; a setting that nobody knows hides the part's own value."""
        programmed = settings.get(one.id, {})
        unsure = {key: said for key, said in programmed.items() if isinstance(said, Answer)}
        return Instance(
            one.id,
            one.subject,
            one.place,
            {key: value for key, value in one.values.items() if key not in unsure},
            {**one.answers, **unsure},
            {key: value for key, value in programmed.items() if isinstance(value, Written)},
            readings.get(one.id, {}),
        )

    def _traces(self, instances: tuple[Instance, ...]) -> dict[str, Trace]:
        """The recorded drives that trips name; they lie beside the sheet."""
        found = {}
        for one in instances:
            written = one.values.get("trace")
            if one.subject != "trip" or written is None or self.folder is None:
                continue
            try:
                found[one.id] = read_trace(self.folder, str(written.value))
            except ProblemsFoundError as error:
                self._no_trace(one, written, error.problems)
        return found

    def _no_trace(self, trip: Instance, name: Written, problems: Iterable[Problem]) -> None:
        """Bad lines are told where they stand, a file that cannot be had where it is named."""
        for one in problems:
            if one.place.line:
                self.notes.problems.append(one)
            else:
                text = f"{shown(name.text)}: {one.problem}"
                self.notes.add(name.place, f"{trip.id}.trace", text, one.advice)

    # -- head ----------------------------------------------------------------------------------

    def _version(self, root: Mapping) -> None:
        node = root.entries.get("sheet")
        if node is None:
            self.notes.add(root.place, "sheet", "the format version is missing", "write sheet: 1")
        elif not isinstance(node, Scalar) or node.text.strip() != FORMAT:
            said = shown(node.text) if isinstance(node, Scalar) else "this"
            self.notes.add(
                node.place, "sheet", f"{said} is no format version known here", "write sheet: 1"
            )

    def _word(self, root: Mapping, key: str) -> str:
        node = root.entries.get(key)
        if node is None:
            return ""
        if not isinstance(node, Scalar):
            self.notes.add(node.place, key, "one text is expected here", f"write {key}: a text")
            return ""
        try:
            return plain_text(node.text)
        except ValueProblemError as error:
            self.notes.add(node.place, key, error.problem, error.advice)
            return ""

    def _pins(self, node: Node | None) -> dict[str, str]:
        pins: dict[str, str] = {}
        for key, value in self.notes.entries(node, "rulesets", "ruleset names and versions"):
            if isinstance(value, Scalar) and _VERSION.fullmatch(value.text.strip()):
                pins[key] = value.text.strip()
            else:
                self.notes.add(
                    value.place, f"rulesets.{key}", "a version is expected", "write 1.0.0"
                )
        return pins

    def _complete(self, node: Node | None) -> None:
        """Kinds said to be complete are absent when not listed, but not what all vehicles have."""
        if node is None:
            return
        items = node.items if isinstance(node, Sequence) else (node,)
        known = [*GROUPS, *PARTS, *LISTS, "all"]
        for item in items:
            text = item.text.strip() if isinstance(item, Scalar) else ""
            kinds = self._kinds(text)
            if not kinds:
                said = shown(text) if isinstance(item, Scalar) else "this"
                advice = nearest(text, known) or f"write some of: {', '.join([*GROUPS, 'all'])}"
                self.notes.add(item.place, "complete", f"{said} is no group of parts", advice)
            open_kinds = {one.subject for one in self.parts.instances} | self.parts.unknown
            self.complete |= set(kinds)
            for kind in kinds:
                if kind not in open_kinds and kind not in ALWAYS_THERE:
                    self.parts.absent.setdefault(kind, item.place)

    def _layout(self, root: Mapping) -> None:
        """Add the runs of a named layout, which stands instead of a list of the cables.

        They are not all runs of the vehicle, whatever `complete` says: a part that has no place in
        the layout has its cables somewhere else.
        """
        layout = self._word(root, "layout")
        if not layout:
            return
        place, runs = root.keys["layout"], root.keys.get("wiring")
        if layout not in LAYOUTS:
            advice = nearest(layout, LAYOUTS) or f"write one of: {', '.join(LAYOUTS)}"
            at = root.entries["layout"].place
            self.notes.add(at, "layout", f"{shown(layout)} is no layout", advice)
        if runs is not None and "run" not in self.parts.unknown:
            problem = f"the cables are listed as well, under wiring on line {runs.line}"
            advice = f"keep one of them: line {place.line} or line {runs.line}"
            self.notes.add(place, "layout", problem, advice)
        elif layout in LAYOUTS:
            taken = {*self.parts.places, *self.parts.refused}
            found = layout_runs(layout, place, self.parts.instances, taken, self.notes)
            if len(self.parts.places) + len(found) > MAX_PARTS:
                problem = f"more than {MAX_PARTS} parts with the {len(found)} cables of the layout"
                self.notes.add(place, "layout", problem, "list fewer")
            self.parts.instances += found
            self.complete.discard("run")

    @staticmethod
    def _kinds(word: str) -> tuple[str, ...]:
        if word == "all":
            return tuple(one.name for one in (*PARTS.values(), *LISTS.values()))
        if word in GROUPS:
            return GROUPS[word]
        for sections in (PARTS, LISTS):
            if word in sections:
                return (sections[word].name,)
        return ()
