"""The parts that a sheet lists, how they belong together, and whether a kind is fitted at all."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.facts.origins import Computed, Fact, Key, Unknown, WrittenIn, question_key
from advisor.sheet.build import Build, Instance
from advisor.vocabulary import TRAITS, VOCABULARY


class Listed:
    """The parts of one build. What belongs to what is found once, also for builds like it."""

    def __init__(self, build: Build, like: Listed | None = None) -> None:
        self.build = build
        self._instances: dict[str, Instance] = {one.id: one for one in build.instances}
        self._of: dict[str, tuple[str, ...]] = _by_subject(build) if like is None else like._of
        self._related: dict[tuple[str, str], str | None] = {} if like is None else like._related

    def instances(self, subject: str) -> tuple[str, ...]:
        """Ids of all instances of a subject or trait, in sheet order."""
        return self._of.get(subject, ())

    def instance(self, identity: str) -> Instance | None:
        """What the sheet says about one instance."""
        return self._instances.get(identity)

    def subject_of(self, identity: str) -> str:
        """The subject of an instance; a kind that was not mentioned stands for itself."""
        found = self._instances.get(identity)
        return found.subject if found else identity

    def mentioned(self, subject: str) -> bool:
        """True when the sheet lists such a part or says there is none."""
        members = TRAITS.get(subject, (subject,))
        return bool(self.instances(subject)) or all(m in self.build.absent for m in members)

    def meant(self, identity: str, subject: str) -> str | None:
        """The instance that a subject means as seen from an instance: itself, or a related one."""
        own = self.subject_of(identity)
        if subject == own or subject in ("", "self") or own in TRAITS.get(subject, ()):
            return identity
        return self.related(identity, subject)

    def related(self, identity: str, subject: str) -> str | None:
        """The one instance of `subject` that belongs to this instance, or None.

        A reference decides, then the only one, then the only one with the role `main`.
        """
        key = (identity, subject)
        if key not in self._related:
            self._related[key] = self._belonging(identity, subject)
        return self._related[key]

    def _belonging(self, identity: str, subject: str) -> str | None:
        own = self._instances.get(identity)
        if own is not None:
            if subject == "bms" and own.subject == "pack":
                return f"{identity}.bms"
            if subject == "pack" and own.subject == "bms":
                return identity.removesuffix(".bms")
            for value in own.values.values():
                if isinstance(value.value, str) and value.value != identity:
                    other = self._instances.get(value.value)
                    if other is not None and other.subject in TRAITS.get(subject, (subject,)):
                        return other.id
        candidates = self.instances(subject)
        if len(candidates) > 1:
            marked = [one for one in candidates if self._role(one) == "main"]
            return marked[0] if len(marked) == 1 else None
        if subject == "device" and candidates:
            return candidates[0] if self._role(candidates[0]) in ("main", "") else None
        return candidates[0] if candidates else None

    def _role(self, identity: str) -> str:
        role = self._instances[identity].values.get("role")
        return str(role.value) if role else ""

    def presence(self, subject: str) -> Fact | Unknown:
        """Whether a kind of part is fitted."""
        members = TRAITS.get(subject, (subject,))
        attribute = VOCABULARY.attributes[f"{members[0]}.present"]
        listed = self.instances(subject)
        if subject == "device":
            listed = tuple(one for one in listed if self._role(one) in ("", "main"))
        place = self._instances[listed[0]].place if listed else None
        if listed and place is not None:
            listing = WrittenIn(self.build.file, place, "listed")
            return Fact(listed[0], attribute, True, listing)
        stated = all(m in self.build.absent or self.instances(m) for m in members)
        if stated:
            origin = Computed("stated as not fitted, or not in a complete list", (), "sheet")
            return Fact(subject, attribute, False, origin)
        return Unknown(frozenset({question_key(subject, "present")}), "not mentioned")

    def which(self, subject: str) -> Unknown:
        """Why no instance of a subject is meant: none is listed, or it is not said which."""
        if not self.mentioned(subject):
            return Unknown(frozenset({question_key(subject, "present")}), "not mentioned")
        listed = self.instances(subject)
        if len(listed) > 1 and not (subject == "device" and self._only_other_roles(listed)):
            keys = frozenset({question_key(listed[0], "role" if subject == "device" else "")})
            words = " and ".join(listed)
            return Unknown(keys if subject == "device" else frozenset(), f"which of {words}?")
        return Unknown(frozenset(), f"no {subject} is fitted")

    def _only_other_roles(self, listed: Iterable[str]) -> bool:
        return all(self._role(one) not in ("", "main") for one in listed)


def _by_subject(build: Build) -> dict[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for one in build.instances:
        found[one.subject] = (*found.get(one.subject, ()), one.id)
    for trait, members in TRAITS.items():
        found[trait] = tuple(one for kind in members for one in found.get(kind, ()))
    return found


def differing(old: Build, new: Build) -> frozenset[Key] | None:
    """The values that two builds give differently; None where their parts hang together otherwise.

    What belongs to what is told by the ids, the roles, and the values that name another part.
    """
    if (old.absent, old.complete, old.file) != (new.absent, new.complete, new.file):
        return None
    if len(old.instances) != len(new.instances):
        return None
    ids = {one.id for one in new.instances}
    found: set[Key] = set()
    for one, two in zip(old.instances, new.instances, strict=True):
        if one is two:
            continue
        if (one.id, one.subject, one.place) != (two.id, two.subject, two.place):
            return None
        if _hanging(one, ids) != _hanging(two, ids):
            return None
        for a, b in (
            (one.values, two.values),
            (one.readings, two.readings),
            (one.settings, two.settings),
            (one.answers, two.answers),
        ):
            found |= {(one.id, name) for name in a.keys() | b.keys() if a.get(name) != b.get(name)}
    return frozenset(found)


def _hanging(one: Instance, ids: set[str]) -> list[object]:
    role = one.values.get("role")
    named = [value.value for value in one.values.values() if value.value in ids]
    return [role.value if role else None, *named]


__all__ = ["Listed", "differing"]
