"""The graph of derivations, walked on demand: every fact of a build with its origin."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from advisor.facts.choosing import chosen
from advisor.facts.derivation import Derivation
from advisor.facts.links import Links
from advisor.facts.origins import (
    Computed,
    Disagreement,
    Fact,
    Key,
    Measured,
    OnTrial,
    Origin,
    Unknown,
    Value,
    WrittenIn,
    question_key,
)
from advisor.facts.traced import Traced
from advisor.facts.working import worked
from advisor.sheet.build import Build, Instance, Reading, Written
from advisor.vocabulary import TRAITS, VOCABULARY, Ask, Attribute

Survey = Callable[["Facts"], Mapping[Key, Traced]]
"""Reads the plan of the cables of a build, over its facts without that plan."""

_EFFORT = {ask: number for number, ask in enumerate(Ask)}


class Facts:
    """All facts of one build. Values are found when asked for, and kept.

    Facts made from others (`with_values` and the like) take over every value found there that rests
    on nothing which is another one now.
    """

    def __init__(
        self,
        build: Build,
        derivations: Mapping[Key, tuple[Derivation, ...]],
        trial: Mapping[Key, tuple[Value, str]] | None = None,
        survey: Survey | None = None,
        like: Facts | None = None,
        other: Iterable[Key] = (),
    ) -> None:
        self.build = build
        self._derivations = derivations
        self._survey = survey
        self._trial = dict(trial or {})
        self._like = like
        self._other = frozenset(other)
        self._traced: Mapping[Key, Traced] | None = None
        self._below: Facts | None = None
        self._asked: set[Key] | None = None
        self._noted: set[Key] = set()
        self._instances: dict[str, Instance] = {one.id: one for one in build.instances}
        self._of: dict[str, list[str]] = {}
        for one in build.instances:
            self._of.setdefault(one.subject, []).append(one.id)
        self._found: dict[Key, Fact | Unknown] = {}
        self._links = Links()
        self._open: set[Key] = set()
        self._looped: set[Key] = set()
        self._changed: frozenset[Key] | None = None
        self.disagreements: dict[Key, Disagreement] = {}

    def with_values(
        self,
        reason: str,
        values: Mapping[Key, Value],
        traced: Mapping[Key, Traced] | None = None,
    ) -> Facts:
        """The same build with some values put in on trial; this one stays as it is.

        `traced` is what the plan and the trips give then, where that is known.
        """
        trial = self._trial | {key: (value, reason) for key, value in values.items()}
        survey = self._survey if traced is None else lambda _: traced
        return Facts(self.build, self._derivations, trial, survey, self, values)

    def with_build(self, build: Build) -> Facts:
        """The facts of a build with the same parts in the same places, without plan and trips."""
        other = _differing(self.build, build)
        if other is None:
            return Facts(build, self._derivations, self._trial)
        return Facts(build, self._derivations, self._trial, None, self, other)

    def with_survey(self, survey: Survey | None) -> Facts:
        """The same build with another reading of its plan and its trips."""
        found = Facts(self.build, self._derivations, self._trial, survey, self)
        found._asked = self._asked
        return found

    def noting(self, asked: set[Key]) -> Facts:
        """The same facts; every value that is asked for, or looked for in vain, goes into a set."""
        traced = self.traced()
        found = Facts(self.build, self._derivations, self._trial, lambda _: traced, self)
        found._asked = asked
        return found

    def asked_by_survey(self) -> frozenset[Key]:
        """Every value that the reading of the plan and the trips asked for, known or not."""
        self.traced()
        return frozenset(self._below._asked or ()) if self._below is not None else frozenset()

    def under(self, keys: Iterable[Key]) -> set[Key]:
        """Some values and every one that was asked for to find them, known or not."""
        found: set[Key] = set()
        for key in keys:
            self.fact(*key)
            if key not in found:
                self._links.note_under(key, found)
        return found

    def changed(self) -> frozenset[Key] | None:
        """The values that may be others than in the facts which these were made from.

        None where they were made from none, or where other parts belong together.
        """
        self.traced()
        return self._changed

    def traced(self) -> Mapping[Key, Traced]:
        """What the plan of the cables gives; read when first asked for."""
        if self._traced is None:
            self._traced = self._read() if self._survey is not None else {}
            self._take_over(self._traced)
        return self._traced

    def _read(self) -> Mapping[Key, Traced]:
        """The plan and the trips, read over the facts without them."""
        assert self._survey is not None
        like = self._like._below if self._like is not None else None
        if like is not None and like.build is self.build:
            below = Facts(self.build, self._derivations, self._trial, None, like, self._other)
        else:
            below = Facts(self.build, self._derivations, self._trial)
        below._asked = set()
        self._below = below
        return self._survey(below)

    def _take_over(self, traced: Mapping[Key, Traced]) -> None:
        """Keep what was found in the facts that these were made from and is the same here."""
        like = self._like
        self._like = None  # it is needed no longer
        if like is None:
            return
        before = like.traced()
        other = set(self._other)
        if traced is not before:
            keys = traced.keys() | before.keys()
            other |= {key for key in keys if traced.get(key) != before.get(key)}
        changed = self._changed = like._links.resting_on(other)
        self._links = like._links.without(changed)
        self._found = {k: one for k, one in like._found.items() if k not in changed}
        apart = like.disagreements
        self.disagreements = {k: one for k, one in apart.items() if k not in changed}

    # -- instances -----------------------------------------------------------------------------

    def instances(self, subject: str) -> tuple[str, ...]:
        """Ids of all instances of a subject or trait, in sheet order."""
        members = TRAITS.get(subject, (subject,))
        return tuple(one for member in members for one in self._of.get(member, ()))

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

    def related(self, identity: str, subject: str) -> str | None:
        """The one instance of `subject` that belongs to this instance, or None.

        A reference decides, then the only one, then the only one with the role `main`.
        """
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

    # -- values --------------------------------------------------------------------------------

    def meant(self, identity: str, subject: str) -> str | None:
        """The instance that a subject means as seen from an instance, itself or a related one."""
        own = self.subject_of(identity)
        if subject == own or subject in ("", "self") or own in TRAITS.get(subject, ()):
            return identity
        return self.related(identity, subject)

    def named(self, identity: str, subject: str, attribute: str) -> Fact | Unknown:
        """The value of `subject.attribute` as seen from an instance."""
        part = self.meant(identity, subject)
        if part is not None:
            return self.fact(part, attribute)
        if attribute == "present":
            return self._presence(subject)
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

    def _presence(self, subject: str) -> Fact | Unknown:
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

    def fact(self, identity: str, name: str) -> Fact | Unknown:
        """The value of an attribute of an instance, from the best source there is."""
        if self._traced is None:
            self.traced()
        key = (identity, name)
        links = self._links
        links.asked(key)
        known = self._found.get(key)
        if known is None:
            known = self._sought(key)
        if self._asked is not None and links.at_top and key not in self._noted:
            links.note_under(key, self._noted)
            self._asked |= self._noted
        return known

    def _sought(self, key: Key) -> Fact | Unknown:
        if key in self._open:
            self._looped.add(key)
            return Unknown(frozenset(), "needs itself")
        self._open.add(key)
        outer = self._links.enter(key)
        try:
            found = self._find(key)
        finally:
            self._open.discard(key)
            self._links.leave(outer)
        self._looped.discard(key)
        if not self._looped:
            self._found[key] = found
        return found

    def _find(self, key: Key) -> Fact | Unknown:
        identity, name = key
        subject = self.subject_of(identity)
        if name == "present":
            return self._presence(subject)
        instance = self._instances.get(identity)
        if instance is None:
            return Unknown(frozenset({question_key(subject, "present")}), "not mentioned")
        attribute = VOCABULARY.attributes[f"{subject}.{name}"]
        if key in self._trial:
            value, reason = self._trial[key]
            return Fact(identity, attribute, value, OnTrial(reason))
        direct = list(self._direct(instance, attribute))
        derived: list[Fact] = []
        gaps: list[frozenset[str]] = []
        traced = self.traced().get(key)
        if traced is not None and (read := traced.fact(identity, attribute)) is not None:
            derived.append(read)
        elif traced is not None and traced.missing:
            gaps.append(traced.missing)
        for derivation in () if traced else self._derivations.get((subject, name), ()):
            if (direct or derived) and (derivation.fallback or derivation.kind == "assumed"):
                continue
            result = worked(self, derivation, identity, attribute)
            if isinstance(result, Fact):
                if not result.assumed or not (direct or derived):
                    derived.append(result)
            else:
                gaps.append(result.facts)
        firm = [one for one in derived if not one.assumed] or derived
        candidates = [*direct, *firm]
        if candidates:
            best, apart = chosen(candidates)
            if apart is not None:
                self.disagreements[key] = apart
            if best.assumed:
                best = self._with_way_out(best, instance, gaps)
            return best
        return Unknown(self._easiest(instance, attribute, gaps), self._said(instance, name))

    def _with_way_out(self, fact: Fact, instance: Instance, gaps: list[frozenset[str]]) -> Fact:
        options = [*gaps, fact.settles] if fact.settles else gaps
        settles = self._easiest(instance, fact.attribute, options)
        return Fact(
            fact.instance, fact.attribute, fact.value, fact.origin, True, settles, fact.rivals
        )

    def _said(self, instance: Instance, name: str) -> str:
        answer = instance.answers.get(name)
        if answer is None:
            return "not stated"
        return f"{answer.said} ({answer.detail})" if answer.detail else answer.said

    def _easiest(
        self, instance: Instance, attribute: Attribute, gaps: list[frozenset[str]]
    ) -> frozenset[str]:
        """The smallest, then easiest, set of facts that would settle this attribute."""
        options: list[tuple[int, int, int, frozenset[str]]] = []
        if attribute.given:
            answered = instance.answers.get(attribute.name)
            refused = 1 if answered and answered.said != "unknown" else 0
            own = frozenset({question_key(instance.id, attribute.name)})
            options.append((refused, 1, _EFFORT[attribute.ask], own))
        for number, gap in enumerate(gaps):
            if gap:
                options.append((0, len(gap), 10 + number, gap))
        return min(options, key=lambda one: one[:3])[3] if options else frozenset()

    def _direct(self, instance: Instance, attribute: Attribute) -> Iterable[Fact]:
        name = attribute.name
        readings = instance.readings.get(name, ())
        for reading in reversed(readings[-1:]):
            yield self._written(instance, attribute, reading)
        programmed = instance.settings.get(name)
        if programmed is not None:
            yield self._written(instance, attribute, programmed, programmed=True)
        written = instance.values.get(name)
        if written is not None:
            yield self._written(instance, attribute, written)

    def _written(
        self, instance: Instance, attribute: Attribute, value: Written, programmed: bool = False
    ) -> Fact:
        origin: Origin
        if isinstance(value, Reading):
            origin = Measured(
                self.build.file, value.place, value.text, value.instrument, value.time, value.who
            )
        else:
            origin = WrittenIn(self.build.file, value.place, value.text, programmed)
        return Fact(instance.id, attribute, value.value, origin)


def _differing(old: Build, new: Build) -> frozenset[Key] | None:
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
        if _links_of(one, ids) != _links_of(two, ids):
            return None
        for a, b in (
            (one.values, two.values),
            (one.readings, two.readings),
            (one.settings, two.settings),
            (one.answers, two.answers),
        ):
            found |= {(one.id, name) for name in a.keys() | b.keys() if a.get(name) != b.get(name)}
    return frozenset(found)


def _links_of(one: Instance, ids: set[str]) -> list[object]:
    role = one.values.get("role")
    named = [value.value for value in one.values.values() if value.value in ids]
    return [role.value if role else None, *named]
