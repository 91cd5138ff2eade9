"""Values that the plan of the cables gives; they stand where a derivation would."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.facts.origins import Computed, Fact, Key, Value
from advisor.vocabulary import Attribute


@dataclass(frozen=True, slots=True)
class Traced:
    """A value (SI) read off the plan, with what it rests on.

    None: the plan shows that there is no such value, and no derivation may stand in for it;
    `missing` are then the keys a person could supply.
    """

    value: Value | None
    words: str
    source: str = "the plan of the cables"
    inputs: tuple[Key, ...] = ()
    assumed: bool = False
    settles: frozenset[str] = frozenset()
    missing: frozenset[str] = frozenset()

    def fact(self, identity: str, attribute: Attribute) -> Fact | None:
        """The value as a fact of an instance."""
        if self.value is None:
            return None
        origin = Computed(self.words, self.inputs, self.source)
        return Fact(identity, attribute, self.value, origin, self.assumed, self.settles)
