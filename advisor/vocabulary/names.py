"""Which names a rule may use: subjects, traits, to-one relations, and groups of part kinds."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from advisor.problems import nearest
from advisor.vocabulary.attribute import Attribute, Subject

SELF_TRAIT = "part"
"""In a rule about several subjects, `part.x` means the attribute x of the subject at hand."""

TRAITS: dict[str, tuple[str, ...]] = {"device": ("fuse", "breaker")}
"""Named traits: `device` is a fuse or a breaker. Also the target of a relation: the main device."""

_EVERYWHERE = ("vehicle", "use", "supply", "battery", "provisions")
_THE_ONE = (
    "motor",
    "controller",
    "contactor",
    "precharge",
    "key_switch",
    "device",
    "disconnect",
    "charger",
    "inlet",
    "converter",
    "buffer",
    "monitor",
    "mount",
)

RELATIONS: dict[str, tuple[str, ...]] = {
    subject: tuple(other for other in (*_EVERYWHERE, *_THE_ONE, *more) if other != subject)
    for subject, more in {
        "vehicle": (),
        "use": (),
        "supply": (),
        "battery": (),
        "provisions": (),
        "pack": ("bms",),
        "bms": ("pack",),
        "motor": (),
        "controller": (),
        "contactor": (),
        "precharge": (),
        "key_switch": (),
        "fuse": (),
        "breaker": (),
        "disconnect": (),
        "bus_bar": (),
        "connector": (),
        "charger": (),
        "inlet": (),
        "converter": (),
        "buffer": (),
        "load": (),
        "monitor": (),
        "removed": (),
        "retained": (),
        "mount": (),
        "run": (),
        "trip": (),
        "segment": (),
    }.items()
}
"""From each subject, the others of which it has at most one: the singletons of a build, and the one
part of a kind (the only one listed, the one with `role: main`, or the one referred to)."""

GROUPS: dict[str, tuple[str, ...]] = {
    "battery": ("pack",),
    "drive": ("motor", "controller", "contactor", "precharge", "key_switch"),
    "protection": ("fuse", "breaker", "disconnect"),
    "conductors": ("bus_bar", "connector", "run"),
    "charging": ("charger", "inlet"),
    "auxiliary": ("converter", "buffer", "load"),
    "monitoring": ("monitor",),
    "mounting": ("mount",),
    "old-parts": ("removed", "retained"),
}
"""Words for `complete:` in a sheet: every part of these kinds is listed, the rest is not fitted."""


@dataclass(frozen=True, slots=True)
class Name:
    """A resolved rule name: the attribute, and how it is reached from the case.

    `reach` is "self" for the case itself, else the related subject or trait.
    """

    written: str
    attribute: Attribute
    reach: str


class Vocabulary:
    """All subjects and attributes, by name."""

    def __init__(self, subjects: Iterable[Subject]) -> None:
        self.subjects: Mapping[str, Subject] = {one.name: one for one in subjects}
        self.attributes: Mapping[str, Attribute] = {
            attribute.path: attribute
            for subject in self.subjects.values()
            for attribute in subject.attributes
        }

    def attribute(self, subject: str, name: str) -> Attribute | None:
        """The attribute of a subject, or None."""
        return self.attributes.get(f"{subject}.{name}")

    def members(self, word: str) -> tuple[str, ...]:
        """The subjects that a subject or trait name stands for; empty when unknown."""
        if word in self.subjects:
            return (word,)
        return TRAITS.get(word, ())

    def resolve(self, about: tuple[str, ...], written: str) -> Name:
        """What `written` means in a rule about these subjects. Raises LookupError with advice."""
        prefix, dot, attribute_name = written.partition(".")
        if not dot:
            raise LookupError(f'write it as subject.attribute, such as "battery.{written}"')
        is_self = (
            (prefix == SELF_TRAIT and len(about) > 1)
            or about == (prefix,)
            or (prefix in TRAITS and set(about) <= set(TRAITS[prefix]))
        )
        if is_self:
            return Name(written, self._shared(about, attribute_name), "self")
        members = self.members(prefix)
        if not members:
            known = [*self.subjects, *TRAITS]
            raise LookupError(f'"{prefix}" is no subject; {nearest(prefix, known)}'.rstrip("; "))
        for subject in about:
            if prefix not in RELATIONS.get(subject, ()):
                raise LookupError(f"a {subject} has no single {prefix}; use an aggregate of it")
        return Name(written, self._shared(members, attribute_name), prefix)

    def _shared(self, subjects: tuple[str, ...], name: str) -> Attribute:
        found = [self.attribute(subject, name) for subject in subjects]
        for subject, attribute in zip(subjects, found, strict=True):
            if attribute is None:
                known = [one.name for one in self.subjects[subject].attributes]
                advice = nearest(name, known)
                raise LookupError(f'a {subject} has no "{name}"; {advice}'.rstrip("; "))
        first = found[0]
        assert first is not None
        for other in found[1:]:
            assert other is not None
            if (other.kind, other.dimension) != (first.kind, first.dimension):
                raise LookupError(f'"{name}" is not the same kind of value for {subjects}')
        return first
