"""The graph of derivations, walked on demand: every fact of a build with its origin."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from advisor.facts.derivation import Derivation, Need, Worded
from advisor.facts.origins import (
    Assumed,
    Computed,
    Disagreement,
    Fact,
    Key,
    LookedUp,
    Measured,
    OnTrial,
    Origin,
    Unknown,
    Value,
    WrittenIn,
    question_key,
)
from advisor.facts.traced import Traced
from advisor.sheet.build import Build, Instance, Reading, Written
from advisor.tables.reader import table
from advisor.vocabulary import TRAITS, VOCABULARY, Ask, Attribute, Kind

Survey = Callable[["Facts"], Mapping[Key, Traced]]
"""Reads the plan of the cables of a build, over its facts without that plan."""

_EFFORT = {ask: number for number, ask in enumerate(Ask)}


class Facts:
    """All facts of one build. Values are found when asked for, and kept."""

    def __init__(
        self,
        build: Build,
        derivations: Mapping[Key, tuple[Derivation, ...]],
        trial: Mapping[Key, tuple[Value, str]] | None = None,
        survey: Survey | None = None,
        asked: set[Key] | None = None,
    ) -> None:
        self.build = build
        self._derivations = derivations
        self._survey = survey
        self._traced: Mapping[Key, Traced] | None = None if survey else {}
        self._trial = dict(trial or {})
        self._asked = asked
        self._for_survey: set[Key] = set()
        self._instances: dict[str, Instance] = {one.id: one for one in build.instances}
        self._of: dict[str, list[str]] = {}
        for one in build.instances:
            self._of.setdefault(one.subject, []).append(one.id)
        self._found: dict[Key, Fact | Unknown] = {}
        self._open: set[Key] = set()
        self._looped: set[Key] = set()
        self.disagreements: dict[Key, Disagreement] = {}

    def with_values(self, reason: str, values: Mapping[Key, Value]) -> Facts:
        """The same build with some values put in on trial; this one stays as it is."""
        trial = self._trial | {key: (value, reason) for key, value in values.items()}
        return Facts(self.build, self._derivations, trial, self._survey)

    def with_survey(self, survey: Survey | None) -> Facts:
        """The same build with another reading of its plan and its trips."""
        return Facts(self.build, self._derivations, self._trial, survey, self._asked)

    def noting(self, asked: set[Key]) -> Facts:
        """The same facts; every value that is asked for, or looked for in vain, goes into a set."""
        traced = self.traced()
        return Facts(self.build, self._derivations, self._trial, lambda _: traced, asked)

    def asked_by_survey(self) -> frozenset[Key]:
        """Every value that the reading of the plan and the trips asked for, known or not."""
        self.traced()
        return frozenset(self._for_survey)

    def traced(self) -> Mapping[Key, Traced]:
        """What the plan of the cables gives; read when first asked for."""
        if self._traced is None and self._survey is not None:
            below = Facts(self.build, self._derivations, self._trial, asked=self._for_survey)
            self._traced = self._survey(below)
        return self._traced or {}

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

    def named(self, identity: str, subject: str, attribute: str) -> Fact | Unknown:
        """The value of `subject.attribute` as seen from an instance."""
        own = self.subject_of(identity)
        if subject == own or subject in ("", "self") or own in TRAITS.get(subject, ()):
            return self.fact(identity, attribute)
        other = self.related(identity, subject)
        if other is not None:
            return self.fact(other, attribute)
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
        key = (identity, name)
        if self._asked is not None:
            self._asked.add(key)
        known = self._found.get(key)
        if known is not None:
            return known
        if key in self._open:
            self._looped.add(key)
            return Unknown(frozenset(), "needs itself")
        self._open.add(key)
        try:
            found = self._find(key)
        finally:
            self._open.discard(key)
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
            result = self._apply(derivation, identity, attribute)
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
            best = self._choose(candidates)
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
            if attribute.ask is Ask.DRIVE:
                refused = 2  # what has to be driven is asked for only where nothing else helps
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

    def _choose(self, candidates: list[Fact]) -> Fact:
        """The value with the best origin, or the more dangerous one when they disagree."""
        best, *others = candidates
        attribute = best.attribute
        chosen = best
        for other in others:
            settled = isinstance(best.origin, WrittenIn) and best.origin.programmed
            if settled and not isinstance(other.origin, Computed | LookedUp):
                continue
            if self._apart(best, other):
                if attribute.worse and self._worse(attribute, chosen, other):
                    chosen = other
                self.disagreements[best.key] = Disagreement(chosen, best)
        if chosen is not best or others:
            rivals = tuple(one for one in candidates if one is not chosen)
            pair = self.disagreements.get(best.key)
            chosen = Fact(
                chosen.instance,
                attribute,
                chosen.value,
                chosen.origin,
                chosen.assumed,
                chosen.settles,
                rivals,
            )
            if pair is not None:
                far = max(rivals, key=lambda one: self._gap(chosen, one))
                self.disagreements[best.key] = Disagreement(chosen, far)
        return chosen

    def _apart(self, one: Fact, other: Fact) -> bool:
        if one.attribute.kind in (Kind.QUANTITY, Kind.COUNT):
            return self._gap(one, other) > one.attribute.tolerance
        return one.value != other.value

    def _gap(self, one: Fact, other: Fact) -> float:
        if not isinstance(one.value, float | int) or not isinstance(other.value, float | int):
            return 0.0 if one.value == other.value else math.inf
        largest = max(abs(one.value), abs(other.value), one.attribute.scale)
        if one.attribute.dimension.absolute:
            largest = one.attribute.scale / one.attribute.tolerance * 0.2
        return abs(one.value - other.value) / largest

    @staticmethod
    def _worse(attribute: Attribute, chosen: Fact, other: Fact) -> bool:
        if isinstance(chosen.value, str) or isinstance(other.value, str):
            return False
        if attribute.worse == "high":
            return other.value > chosen.value
        return other.value < chosen.value

    # -- derivations -----------------------------------------------------------------------------

    def _apply(self, derivation: Derivation, identity: str, attribute: Attribute) -> Fact | Unknown:
        values: list[Any] = []
        inputs: list[Key] = []
        missing: set[str] = set()
        assumed = derivation.kind == "assumed"
        settles: set[str] = set()
        reason = ""
        blocked = False
        left_out: list[frozenset[str]] = []
        for one in derivation.needs:
            gathered = self._gather(identity, one, left_out)
            if isinstance(gathered, Unknown):
                missing |= gathered.facts
                reason = reason or gathered.reason
                blocked = True
                continue
            found, facts = gathered
            values.append(found)
            for fact in facts:
                inputs.append(fact.key)
                assumed = assumed or fact.assumed
                settles |= fact.settles
        if blocked:
            return Unknown(frozenset(missing), reason)
        if derivation.table is not None:
            return self._look_up(derivation, identity, attribute, str(values[0]), inputs, assumed)
        result = derivation.formula(*values)
        words = result.words if isinstance(result, Worded) else derivation.words
        value = result.value if isinstance(result, Worded) else result
        if value is None or (isinstance(value, float) and not math.isfinite(value)):
            settling = min((one for one in left_out if one), key=len, default=frozenset())
            return Unknown(settling, "these values do not decide it")
        if not isinstance(value, str | bool):
            value = float(value)
        keys = tuple(inputs)
        origin: Origin = (
            Assumed(words, keys, derivation.source)
            if derivation.kind == "assumed"
            else Computed(words, keys, derivation.source)
        )
        return Fact(identity, attribute, value, origin, assumed, frozenset(settles))

    def _look_up(
        self,
        derivation: Derivation,
        identity: str,
        attribute: Attribute,
        row: str,
        inputs: list[Key],
        assumed: bool,
    ) -> Fact | Unknown:
        assert derivation.table is not None
        name, column = derivation.table
        entry = table(name).value(row, column)
        if entry is None:
            return Unknown(frozenset(), f"table {name} has no {column} for {row}")
        origin = LookedUp(entry.table, row, column, entry.source, entry.confidence)
        return Fact(identity, attribute, entry.value, origin, assumed)

    def _gather(
        self, identity: str, one: Need, left_out: list[frozenset[str]]
    ) -> tuple[Any, list[Fact]] | Unknown:
        """The value or values of a need; what an optional one lacks goes to `left_out`."""
        if not one.each:
            fact = self.named(identity, one.subject, one.attribute)
            if isinstance(fact, Unknown):
                if not one.optional:
                    return fact
                left_out.append(fact.facts)
                return None, []
            return fact.value, [fact]
        if not self.mentioned(one.subject):
            key = question_key(one.subject, "present")
            if one.optional:
                left_out.append(frozenset({key}))
                return None, []
            return Unknown(frozenset({key}), f"no {one.subject} is mentioned")
        values: list[Value | None] = []
        facts: list[Fact] = []
        missing: set[str] = set()
        for other in self.instances(one.subject):
            fact = self.fact(other, one.attribute)
            if isinstance(fact, Fact):
                values.append(fact.value)
                facts.append(fact)
            elif one.optional:
                left_out.append(fact.facts)
                values.append(None)
            else:
                missing |= fact.facts
        if missing or len(values) < len(self.instances(one.subject)):
            return Unknown(frozenset(missing), "not stated for every one")
        return values, facts
