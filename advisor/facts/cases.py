"""Cases for the rules: which instances a rule is judged on, and the value of a name for each."""

from __future__ import annotations

import math
from collections.abc import Sequence

from advisor.facts.graph import Facts
from advisor.facts.origins import Fact, Key, Unknown
from advisor.rules.values import Known, Missing
from advisor.vocabulary import VOCABULARY, Name


class BuildCases:
    """The cases of one build.

    A kind of part that the sheet does not mention still gives one case, named like the kind, on
    which everything is unknown: so no rule about it is forgotten, and it asks one question.
    """

    def __init__(self, facts: Facts) -> None:
        self.facts = facts
        self._kept: dict[tuple[str, str, str], Known | Missing] = {}

    def cases(self, subject: str) -> Sequence[str]:
        """Ids of the cases of a subject."""
        listed = self.facts.instances(subject)
        if listed:
            return listed
        kind = "pack" if subject == "bms" else subject
        if not VOCABULARY.subjects[kind].many or self.facts.mentioned(kind):
            return ()
        return (subject,)

    def related(self, case: str, subject: str) -> str | None:
        """The one instance of another subject that belongs to a case."""
        return self.facts.related(case, subject)

    def value(self, case: str, name: Name) -> Known | Missing:
        """The value of a rule's name for a case."""
        key = (case, name.reach, name.attribute.name)
        found = self._kept.get(key)
        if found is None:
            found = self._kept[key] = self._value(case, name)
        return found

    def fact(self, case: str, name: Name) -> Fact | Unknown:
        """The fact behind a name, with its origin."""
        if name.reach == "self":
            return self.facts.fact(case, name.attribute.name)
        return self.facts.named(case, name.reach, name.attribute.name)

    def key(self, case: str, name: Name) -> Key | None:
        """The value that a name means as seen from a case; None where that is of no part."""
        part = case if name.reach == "self" else self.facts.meant(case, name.reach)
        return None if part is None else (part, name.attribute.name)

    def _value(self, case: str, name: Name) -> Known | Missing:
        return value_of(self.fact(case, name))


def value_of(fact: Fact | Unknown) -> Known | Missing:
    """A fact as the rules read it."""
    if isinstance(fact, Unknown):
        return Missing(fact.facts, fact.reason)
    if isinstance(fact.value, float) and not math.isfinite(fact.value):
        return Missing(fact.settles, "not a finite number")
    return Known(fact.value, fact.assumed, fact.settles)
