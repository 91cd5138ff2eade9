"""Values that the plan of the cables gives; they stand where a derivation would."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.facts.origins import Computed, Fact, Key, Value
from advisor.vocabulary import Attribute


@dataclass(frozen=True, slots=True)
class Traced:
    """A value (SI) read off the plan, with what it rests on."""

    value: Value
    words: str
    source: str = "the plan of the cables"
    inputs: tuple[Key, ...] = ()
    assumed: bool = False
    settles: frozenset[str] = frozenset()

    def fact(self, identity: str, attribute: Attribute) -> Fact:
        """The value as a fact of an instance."""
        origin = Computed(self.words, self.inputs, self.source)
        return Fact(identity, attribute, self.value, origin, self.assumed, self.settles)
