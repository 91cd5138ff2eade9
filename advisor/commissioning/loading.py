"""Steps from files: read, checked against the vocabulary, all problems at once."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from pathlib import Path

from advisor.commissioning.guide import Phase
from advisor.commissioning.reading import StepReader
from advisor.commissioning.written import Caution, StepBook, WrittenStep
from advisor.problems import Place, Problem, ProblemsFoundError, shown
from advisor.rules.fields import KEBAB, Fields, Notes
from advisor.rules.loading import SOURCES_FILE, STEPS_FOLDER, find_rulesets, read_source_table
from advisor.rules.reading import read_condition
from advisor.vocabulary import VOCABULARY, Vocabulary
from advisor.yaml_text import Node, read_bytes, read_text

CAUTIONS_FILE = "cautions.yaml"
MAX_STEPS = 100
_PHASES = tuple(str(one) for one in Phase)


def find_steps() -> Path:
    """The folder of the steps, in that of the rulesets."""
    return find_rulesets() / STEPS_FOLDER


def load_steps(folder: Path | None = None, vocabulary: Vocabulary = VOCABULARY) -> StepBook:
    """All steps of a folder in the order of the work; sources are those of the rulesets.

    Raises ProblemsFoundError with every problem of every file.
    """
    folder = folder or find_steps()
    problems: list[Problem] = []
    sources = read_source_table(folder.parent / SOURCES_FILE, problems)
    cautions = _cautions(folder / CAUTIONS_FILE, problems, vocabulary)
    files = sorted(one for one in folder.glob("*.yaml") if one.name != CAUTIONS_FILE)
    if not files:
        problems.append(Problem(str(folder), Place(), "", "there are no steps in it"))
    digest = hashlib.sha256()
    found: list[WrittenStep] = []
    for file in files:
        try:
            data = read_bytes(file)
            node = read_text(data, str(file))
        except ProblemsFoundError as error:
            problems += error.problems
            continue
        digest.update(data)
        notes = Notes(str(file), data.decode("utf-8-sig").splitlines())
        found += _steps(notes, node, StepReader(vocabulary, sources, cautions))
        problems += notes.problems
    problems += _twice(found)
    if problems:
        raise ProblemsFoundError(problems)
    order = {phase: number for number, phase in enumerate(Phase)}
    found.sort(key=lambda one: order[one.phase])
    return StepBook(tuple(found), cautions, digest.hexdigest()[:12])


def _steps(notes: Notes, node: Node, reader: StepReader) -> list[WrittenStep]:
    """The steps of one file; all are of its phase."""
    fields = Fields(notes, node, "")
    fields.only(("phase", "steps"))
    word = fields.word("phase", _PHASES)
    items = fields.items("steps")
    if len(items) > MAX_STEPS:
        fields.note("steps", f"more than {MAX_STEPS} steps", "split the file")
        return []
    phase = Phase(word) if word else Phase.BEFORE
    read = [reader.read(notes, item, number, phase) for number, item in enumerate(items, 1)]
    return [one for one in read if one is not None]


def _cautions(file: Path, problems: list[Problem], vocabulary: Vocabulary) -> Mapping[str, Caution]:
    """The cautions by name, in the order written."""
    try:
        data = read_bytes(file)
        node = read_text(data, str(file))
    except ProblemsFoundError as error:
        problems += error.problems
        return {}
    notes = Notes(str(file), data.decode("utf-8-sig").splitlines())
    whole = Fields(notes, node, "")
    found = {}
    for key, entry in whole.entries.items():
        if not KEBAB.fullmatch(key):
            advice = "write lower-case words joined by -"
            notes.note(whole.keys[key], shown(key), "is no name", advice)
        fields = Fields(notes, entry, key)
        fields.only(("short", "text", "applies"))
        applies = read_condition(
            fields,
            "applies",
            lambda written: vocabulary.resolve(("vehicle",), written),
            known_tests=False,
        )
        short, text = fields.text("short", limit=60), fields.text("text")
        found[key] = Caution(key, short, text, applies[1] if applies else None)
    problems += notes.problems
    return found


def _twice(steps: list[WrittenStep]) -> list[Problem]:
    """Names used more than once."""
    first: dict[str, WrittenStep] = {}
    problems = []
    for one in steps:
        other = first.setdefault(one.name, one)
        if other is not one:
            where = f"{Path(other.file).name}:{other.place.line}"
            problem = f"this name is used in {where}"
            advice = "names are unique over all phases"
            problems.append(Problem(one.file, one.place, one.name, problem, advice))
    return problems


__all__ = ["find_steps", "load_steps"]
