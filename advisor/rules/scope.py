"""Names as one rule sees them: the vocabulary, and what other rules conclude."""

from __future__ import annotations

from advisor.problems import nearest
from advisor.vocabulary import (
    RELATIONS,
    SELF_TRAIT,
    TRAITS,
    Ask,
    Attribute,
    Kind,
    Name,
    Vocabulary,
)


class Conclusions:
    """Every proposition that some rule concludes, by path `subject.name`."""

    def __init__(self, vocabulary: Vocabulary) -> None:
        self.vocabulary = vocabulary
        self._declared: dict[str, Attribute] = {}
        self._names: set[str] = set()

    def declare(self, about: tuple[str, ...], written: str) -> tuple[str, ...]:
        """Take up what a rule concludes; gives its paths. Raises LookupError with advice.

        A conclusion is about the rule's own part, or about a subject of which a build has exactly
        one: there the conclusions about several parts meet.
        """
        prefix, dot, name = written.partition(".")
        if not dot or not name.replace("_", "").isalnum() or name != name.lower():
            raise LookupError(f'"{written}" is no proposition; write it like battery.may_open')
        members = self._members(about, prefix)
        for member in members:
            if self.vocabulary.attribute(member, name) is not None:
                raise LookupError(f"{member}.{name} is an attribute; name the conclusion otherwise")
            if not is_self(about, prefix) and self.vocabulary.subjects[member].many:
                raise LookupError(
                    f"a build may have several {member}; conclude on the part itself, or on "
                    "vehicle, use, supply, battery or provisions"
                )
        meaning = name.replace("_", " ")  # several rules may conclude it; none of their titles fits
        self._names.add(name)
        for member in members:
            self._declared.setdefault(
                f"{member}.{name}", Attribute(name, Kind.FLAG, meaning, Ask.COMPUTED, member)
            )
        return tuple(f"{member}.{name}" for member in members)

    def resolve(self, about: tuple[str, ...], written: str) -> Name:
        """What a written name means in a rule about these subjects. Raises LookupError."""
        prefix, dot, name = written.partition(".")
        if dot and name in self._names:
            members = self._members(about, prefix)
            for member in members:
                attribute = self._declared.get(f"{member}.{name}")
                if attribute is not None:
                    return Name(written, attribute, "self" if is_self(about, prefix) else prefix)
        try:
            return self.vocabulary.resolve(about, written)
        except LookupError:
            own = [path for path in self._declared if path.startswith(f"{prefix}.")]
            known = [
                f"{prefix}.{one.name}"
                for member in self.vocabulary.members(prefix)
                for one in self.vocabulary.subjects[member].attributes
            ]
            advice = nearest(written, [*own, *known])
            if advice in {f'write "{path}"' for path in own}:
                raise LookupError(f"{written} is not known; {advice}") from None
            raise

    def is_conclusion(self, name: Name) -> bool:
        """True for a name that rules conclude, as against an attribute of the vocabulary."""
        return name.attribute.path in self._declared

    def paths(self, about: tuple[str, ...], written: str) -> tuple[str, ...]:
        """The paths a written conclusion can stand for."""
        prefix, _, name = written.partition(".")
        found = (f"{member}.{name}" for member in self._members(about, prefix))
        return tuple(path for path in found if path in self._declared)

    def _members(self, about: tuple[str, ...], prefix: str) -> tuple[str, ...]:
        """The subjects a prefix stands for; they are the rule's own or related to it."""
        if is_self(about, prefix):
            return about
        members = self.vocabulary.members(prefix)
        if not members:
            known = [*self.vocabulary.subjects, *TRAITS]
            raise LookupError(f'"{prefix}" is no subject; {nearest(prefix, known)}'.rstrip("; "))
        for subject in about:
            if prefix not in RELATIONS.get(subject, ()):
                raise LookupError(f"a {subject} has no single {prefix}; name another part")
        return members


def is_self(about: tuple[str, ...], prefix: str) -> bool:
    """True when a prefix means the case itself."""
    return (
        about == (prefix,)
        or (prefix == SELF_TRAIT and len(about) > 1)
        or (prefix in TRAITS and set(about) <= set(TRAITS[prefix]))
    )
