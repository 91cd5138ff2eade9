"""Parts of a catalogue that fit into the places of a build's own, and the build with them in.

A pack is replaced with all its like; other parts one by one. What belongs to the place and not to
the part (its role, where it is connected, what it protects) stays as it was, and so do settings.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from advisor.catalogue import Catalogue, Entry
from advisor.sheet.alternatives import with_instances
from advisor.sheet.build import Build, Instance
from advisor.vocabulary import VOCABULARY, Ask

Slot = tuple[str, ...]
"""The parts of a build that one part of the catalogue takes the place of."""

_ALIKE = {"fuse": ("fuse", "breaker"), "breaker": ("breaker", "fuse")}


@dataclass(frozen=True, slots=True)
class Choice:
    """A part of the catalogue for a slot."""

    slot: Slot
    entry: Entry


def choices(build: Build, catalogue: Catalogue) -> list[Choice]:
    """Every part of a catalogue for every place of a build that it fits."""
    return [
        Choice(slot, entry)
        for slot in _slots(build, catalogue)
        for entry in _fitting(build, catalogue, slot)
    ]


def _slots(build: Build, catalogue: Catalogue) -> list[Slot]:
    kinds = {one.subject for one in catalogue.entries}
    wanted = kinds | {other for kind in kinds for other in _ALIKE.get(kind, ())}
    packs = tuple(one.id for one in build.instances if one.subject == "pack")
    others: list[Slot] = [
        (one.id,) for one in build.instances if one.subject in wanted and one.subject != "pack"
    ]
    return [packs, *others] if packs and "pack" in kinds else others


def _fitting(build: Build, catalogue: Catalogue, slot: Slot) -> Iterable[Entry]:
    """Parts of the kind; packs only of about the same voltage, or it is another vehicle."""
    old = next(one for one in build.instances if one.id == slot[0])
    for kind in _ALIKE.get(old.subject, (old.subject,)):
        for entry in catalogue.of(kind):
            if kind != "pack" or _same_voltage(old, entry.instances[0]):
                yield entry


def _same_voltage(old: Instance, new: Instance) -> bool:
    volts = [one.values.get("nominal_voltage") for one in (old, new)]
    known = [one.value for one in volts if one is not None and isinstance(one.value, float)]
    return len(known) < 2 or abs(known[0] - known[1]) <= 0.1 * known[0]


def with_parts(build: Build, choices: Iterable[Choice]) -> Build:
    """The build with some parts of a catalogue in the places of its own."""
    new: dict[str, Instance] = {}
    old = {one.id: one for one in build.instances}
    for choice in choices:
        for identity in choice.slot:
            for part in choice.entry.instances:
                own = identity + part.id.removeprefix(choice.entry.id)
                was = old.get(own)
                new[own] = _placed(part, own, was)
    return with_instances(build, tuple(new.get(one.id, one) for one in build.instances))


def _placed(part: Instance, identity: str, was: Instance | None) -> Instance:
    """A part of the catalogue at its place: what the owner says of the place stays."""
    if was is None:
        return replace(part, id=identity)
    stays = {
        name: value
        for name, value in was.values.items()
        if (attribute := VOCABULARY.attributes.get(f"{part.subject}.{name}")) is not None
        and attribute.ask is Ask.OWNER
    }
    return Instance(
        identity, part.subject, was.place, {**stays, **part.values}, {}, was.settings, {}
    )


__all__ = ["Choice", "Slot", "choices", "with_parts"]
