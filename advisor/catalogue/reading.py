"""Reads a catalogue: each part by the model of its kind, as in a sheet, with a title.

A part with a mistake is left out and named with its line; the others are kept. Raises
ProblemsFoundError only when nothing is left.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from advisor.catalogue.rows import rows_of
from advisor.problems import Place, Problem, ProblemsFoundError, nearest, shown
from advisor.sheet.build import Instance
from advisor.sheet.notes import Notes
from advisor.sheet.parts import PARTS, PartsReader
from advisor.sheet.prices import Price, check_price, price_of
from advisor.yaml_text import Mapping, Node, Scalar, Sequence, read_file

MAX_FILES = 200
NEEDED = {
    "packs": ("chemistry", "nominal_voltage", "full_voltage", "capacity", "discharge_continuous"),
    "controllers": ("motor_type", "input_max", "motor_current_peak"),
    "chargers": ("set_voltage", "current_max"),
    "converters": ("input_max", "output_voltage", "output_current"),
    "fuses": ("rating", "dc_voltage"),
    "breakers": ("rating", "dc_voltage"),
    "contactors": ("continuous_current", "coil_voltage"),
    "motors": ("type", "rated_voltage", "rated_power"),
}
"""What a part of a kind must state: without it the first checks of it could not be decided."""
_OWN = ("title",)


@dataclass(frozen=True, slots=True)
class Entry:
    """A part that can be had: `instances` are it and, for a pack, its management.

    `price` as in a sheet, None where not stated; `mass` in kg.
    """

    id: str
    subject: str
    title: str
    price: Price | None
    mass: float | None
    instances: tuple[Instance, ...]
    file: str
    line: int


@dataclass(frozen=True, slots=True)
class Catalogue:
    """The parts that could be read, and what is wrong with the others."""

    entries: tuple[Entry, ...]
    problems: tuple[Problem, ...]

    def of(self, subject: str) -> tuple[Entry, ...]:
        """The parts of a kind."""
        return tuple(one for one in self.entries if one.subject == subject)


def read_catalogue(path: Path) -> Catalogue:
    """The catalogue of a folder of YAML files, or of one CSV or YAML file.

    Raises ProblemsFoundError when it cannot be read or holds no part that can be used.
    """
    problems: list[Problem] = []
    found: dict[str, Entry] = {}
    for name, kind, item in _items(path, problems):
        entry = _entry(name, kind, item, problems)
        if entry is None:
            continue
        first = found.get(entry.id)
        if first is not None:
            problem = f"there is a part {shown(entry.id)} in line {first.line} of {first.file}"
            place = Place(entry.line, 1)
            problems.append(Problem(entry.file, place, kind, problem, "give each its own id"))
            continue
        found[entry.id] = entry
    if not found:
        if not problems:
            advice = "list parts as `packs:`, `controllers:` and so on"
            problems.append(Problem(str(path), Place(), "", "it lists no parts", advice))
        raise ProblemsFoundError(problems)
    return Catalogue(tuple(found.values()), tuple(problems))


def _items(path: Path, problems: list[Problem]) -> Iterator[tuple[str, str, Node]]:
    """File, kind of part and text of every part."""
    for file in _files(path):
        try:
            if file.suffix.lower() == ".csv":
                for kind, item in rows_of(file, problems):
                    yield str(file), kind, item
                continue
            root = read_file(file)
        except ProblemsFoundError as error:
            problems += error.problems
            continue
        yield from ((str(file), kind, item) for kind, item in _sections(str(file), root, problems))


def _files(path: Path) -> list[Path]:
    def refuse(problem: str, advice: str) -> ProblemsFoundError:
        return ProblemsFoundError([Problem(str(path), Place(), "", problem, advice)])

    try:
        if not path.is_dir():
            return [path]
        files = sorted(one for one in path.iterdir() if one.suffix.lower() in (".yaml", ".yml"))
    except OSError as error:
        raise refuse(f"cannot be read: {error.strerror or error}", "") from error
    if not files:
        raise refuse("there is no YAML file in this folder", "write one for each kind of part")
    if len(files) > MAX_FILES:
        raise refuse(f"more than {MAX_FILES} files", "put several parts into one")
    return files


def _sections(name: str, root: Node, problems: list[Problem]) -> Iterator[tuple[str, Node]]:
    if not isinstance(root, Mapping):
        advice = "write a kind such as `packs:` and its parts below"
        problems.append(Problem(name, root.place, "", "kinds of part are expected here", advice))
        return
    for kind, node in root.entries.items():
        if kind == "catalogue":
            continue
        if kind not in PARTS:
            advice = nearest(kind, PARTS) or f"write one of: {', '.join(PARTS)}"
            problem = f"{shown(kind)} is no kind of part"
            problems.append(Problem(name, root.keys[kind], kind, problem, advice))
        elif not isinstance(node, Sequence):
            advice = "start each part with `- id: a-name`"
            problems.append(Problem(name, node.place, kind, "a list is expected here", advice))
        else:
            yield from ((kind, item) for item in node.items)


def _entry(name: str, kind: str, item: Node, problems: list[Problem]) -> Entry | None:
    """A part with its title; None, and what is wrong, where it cannot be used."""
    notes = Notes(name)
    own: dict[str, str] = {}
    if isinstance(item, Mapping):
        own = {key: one.text for key in _OWN if isinstance(one := item.entries.get(key), Scalar)}
        rest = {key: one for key, one in item.entries.items() if key not in _OWN}
        item = Mapping(rest, item.keys, item.place)
    reader = PartsReader(notes)
    reader.listed(PARTS[kind], kind, Sequence((item,), item.place), item.place)
    for part in reader.instances:
        check_price(part, f"{kind}.price", notes)
    if reader.instances and not notes.problems:
        _complete(reader.instances[0], kind, item, notes)
    if notes.problems or not reader.instances:
        problems += notes.problems
        return None
    first = reader.instances[0]
    mass = first.values.get("mass")
    weight = mass.value if mass is not None and isinstance(mass.value, float) else None
    title = own.get("title", first.id)
    price = price_of(first)
    line = item.place.line
    return Entry(first.id, first.subject, title, price, weight, tuple(reader.instances), name, line)


def _complete(first: Instance, kind: str, item: Node, notes: Notes) -> None:
    lacking = [one for one in NEEDED.get(kind, ()) if one not in first.values]
    if lacking:
        problem = f"{first.id} does not say {', '.join(lacking)}"
        notes.add(item.place, kind, problem, "without it the part cannot be judged")
