"""The graph of derivations, walked on demand: every fact of a build with its origin."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from advisor.facts.choosing import chosen
from advisor.facts.derivation import Derivation
from advisor.facts.links import Links, without
from advisor.facts.listed import Listed, differing
from advisor.facts.origins import (
    Disagreement,
    Fact,
    Key,
    OnTrial,
    Unknown,
    Value,
    question_key,
)
from advisor.facts.stated import answered, easiest, stated
from advisor.facts.traced import Traced
from advisor.facts.working import worked
from advisor.sheet.build import Build
from advisor.vocabulary import VOCABULARY, Ask

Survey = Callable[["Facts"], Mapping[Key, Traced]]
"""Reads the plan of the cables of a build, over its facts without that plan."""


class Facts(Listed):
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
        super().__init__(build, like)
        self._derivations = derivations
        self._survey = survey
        self._trial = dict(trial or {})
        self._like = like
        self._other = frozenset(other)
        self._traced: Mapping[Key, Traced] | None = None
        self._below: Facts | None = None
        self._asked: set[Key] | None = None
        self._noted: set[Key] = set()
        self._found: dict[Key, Fact | Unknown] = {}
        self._links = Links()
        self._open: dict[Key, None] = {}
        self._rings: dict[Key, frozenset[Key]] = {}
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
        other = differing(self.build, build)
        if other is None:
            return Facts(build, self._derivations, self._trial)
        return Facts(build, self._derivations, self._trial, None, self, other)

    def with_survey(self, survey: Survey | None) -> Facts:
        """The same build with another reading of its plan and its trips."""
        found = Facts(self.build, self._derivations, self._trial, survey, self)
        found._asked = self._asked
        return found

    def noting(self, asked: set[Key]) -> Facts:
        """The same facts; every value that is asked for, or looked for in vain, goes into a set.

        What is found is found for both.
        """
        traced = self.traced()
        found = Facts(self.build, self._derivations, self._trial, lambda _: traced, self)
        found._traced, found._like, found._changed = traced, None, frozenset()
        found._found, found._links, found._rings = self._found, self._links, self._rings
        found.disagreements = self.disagreements
        found._asked = asked
        return found

    def count_as_asked(self, keys: Iterable[Key]) -> None:
        """Note some values as if they had been asked for here."""
        if self._asked is not None:
            self._asked.update(keys)

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

    def changed_and_asked(self) -> frozenset[Key] | None:
        """The values that `changed` tells, and those that they asked for here."""
        changed = self.changed()
        return None if changed is None else changed | self._links.asked_for(changed)

    def traced(self) -> Mapping[Key, Traced]:
        """What the plan of the cables gives; read when first asked for."""
        if self._traced is None:
            self._traced = self._read() if self._survey is not None else {}
            self._take_over(self._traced)
        return self._traced

    def _read(self) -> Mapping[Key, Traced]:
        """The plan and the trips, read over the facts without them."""
        assert self._survey is not None
        like = None
        if self._like is not None:
            self._like.traced()
            like = self._like._below
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
            was = before.get
            other.update(
                key for key, now in traced.items() if (then := was(key)) is not now and then != now
            )
            other.update(before.keys() - traced.keys())
        changed = self._changed = like._links.resting_on(other)
        self._links = like._links.without(changed)
        self._rings = dict(like._rings)
        self._found = without(like._found, changed)
        self.disagreements = without(like.disagreements, changed)

    # -- values --------------------------------------------------------------------------------

    def named(self, identity: str, subject: str, attribute: str) -> Fact | Unknown:
        """The value of `subject.attribute` as seen from an instance."""
        part = self.meant(identity, subject)
        if part is not None:
            return self.fact(part, attribute)
        if attribute == "present":
            return self.presence(subject)
        return self.which(subject)

    def fact(self, identity: str, name: str) -> Fact | Unknown:
        """The value of an attribute of an instance, from the best source there is."""
        if self._traced is None:
            self.traced()
        key = (identity, name)
        links = self._links
        links.asked(key)
        known = self._found.get(key)
        if known is None or (self._open and self._circular(key)):
            known = self._sought(key)
        if self._asked is not None and links.at_top and key not in self._noted:
            links.note_under(key, self._noted)
            self._asked |= self._noted
        return known

    def presence(self, subject: str) -> Fact | Unknown:
        """Whether a kind of part is fitted, or said so on trial."""
        found = super().presence(subject)
        if isinstance(found, Fact) and found.key in self._trial:
            value, reason = self._trial[found.key]
            return Fact(found.instance, found.attribute, value, OnTrial(reason))
        return found

    def _sought(self, key: Key) -> Fact | Unknown:
        if key in self._open:
            self._looped.add(key)
            ring = list(self._open)
            ring = ring[ring.index(key) :]
            for one in ring:
                self._rings[one] = self._rings.get(one, frozenset()).union(ring)
            return Unknown(frozenset(), "needs itself")
        self._open[key] = None
        outer = self._links.enter(key)
        try:
            found = self._find(key)
        finally:
            del self._open[key]
            self._links.leave(outer)
        self._looped.discard(key)
        if not self._looped:
            self._found[key] = found
        return found

    def _circular(self, key: Key) -> bool:
        """A value was found from one that is being sought now; found anew it does without it."""
        ring = self._rings.get(key)
        return ring is not None and not ring.isdisjoint(self._open)

    def _find(self, key: Key) -> Fact | Unknown:
        identity, name = key
        subject = self.subject_of(identity)
        if name == "present":
            return self.presence(subject)
        instance = self._instances.get(identity)
        if instance is None:
            return Unknown(frozenset({question_key(subject, "present")}), "not mentioned")
        attribute = VOCABULARY.attributes[f"{subject}.{name}"]
        if key in self._trial:
            value, reason = self._trial[key]
            return Fact(identity, attribute, value, OnTrial(reason))
        direct = list(stated(self.build.file, instance, attribute))
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
        if direct and attribute.ask is Ask.DRIVE and not attribute.worse:
            firm = [one for one in firm if not one.assumed]  # a prediction is no second reading
        candidates = [*direct, *firm]
        if candidates:
            best, apart = chosen(candidates)
            if apart is not None:
                self.disagreements[key] = apart
            if best.assumed:
                options = [*gaps, best.settles] if best.settles else gaps
                best = replace(best, settles=easiest(instance, attribute, options))
            return best
        return Unknown(easiest(instance, attribute, gaps), answered(instance, name))
