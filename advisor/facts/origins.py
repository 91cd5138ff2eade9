"""Facts and where they come from. Facts never change; trial values are overlays."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.problems import Place
from advisor.vocabulary import Attribute

Value = float | str | bool
Key = tuple[str, str]
"""(instance id, attribute name)."""


@dataclass(frozen=True, slots=True)
class WrittenIn:
    """Written in the sheet at a place, as this text."""

    file: str
    place: Place
    text: str
    programmed: bool = False


@dataclass(frozen=True, slots=True)
class Measured:
    """Read on the vehicle: with which instrument, when, by whom."""

    file: str
    place: Place
    text: str
    instrument: str
    time: str
    who: str


@dataclass(frozen=True, slots=True)
class LookedUp:
    """Taken from a published table."""

    table: str
    row: str
    column: str
    source: str
    confidence: str


@dataclass(frozen=True, slots=True)
class Computed:
    """Derived by a formula from other facts."""

    formula: str
    inputs: tuple[Key, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Assumed:
    """A stated default, because nobody said otherwise."""

    reason: str
    inputs: tuple[Key, ...]
    source: str


@dataclass(frozen=True, slots=True)
class OnTrial:
    """A value put in to see what would change."""

    reason: str


Origin = WrittenIn | Measured | LookedUp | Computed | Assumed | OnTrial


@dataclass(frozen=True, slots=True)
class Fact:
    """A value of one attribute of one instance, SI, with its origin.

    `assumed` is true when an assumption stands anywhere underneath; `settles` then holds the keys
    a person could supply to replace it. `rivals` are the values that lost against this one.
    """

    instance: str
    attribute: Attribute
    value: Value
    origin: Origin
    assumed: bool = False
    settles: frozenset[str] = frozenset()
    rivals: tuple[Fact, ...] = ()

    @property
    def key(self) -> Key:
        return (self.instance, self.attribute.name)


@dataclass(frozen=True, slots=True)
class Unknown:
    """No value, because of `facts`: the smallest set of keys a person could supply instead."""

    facts: frozenset[str]
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two sources give values further apart than the attribute's tolerance."""

    used: Fact
    other: Fact


def question_key(instance: str, attribute: str) -> str:
    """How a missing fact is named: `pack-a.capacity`, or `contactor.present` for a kind of part."""
    return f"{instance}.{attribute}"
