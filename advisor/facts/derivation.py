"""The declaration that stands beside every formula: what it gives, what it needs, its source."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal


@dataclass(frozen=True, slots=True)
class Worded:
    """A result that says in words what was done for these very inputs: table, row, factors."""

    value: float
    words: str


Result = float | str | bool | Worded | None
Formula = Callable[..., Result]


@dataclass(frozen=True, slots=True)
class Need:
    """One input of a derivation.

    `each` means the values of all instances of `subject`, as a list in sheet order (None where an
    optional one is unknown). `optional` inputs are None when unknown, and so is such a list where
    nobody mentions the kind of part. `time` means when the value was read on the vehicle, as
    written; empty where it was not, or no time stands there.
    """

    subject: str
    attribute: str
    each: bool
    optional: bool
    time: bool = False


@dataclass(frozen=True, slots=True)
class Derivation:
    """How one attribute is computed, looked up or assumed.

    The formula takes the needed values in order and returns the value, or None when these inputs
    do not decide it. `fallback` derivations are used only when nothing better is known and never
    compete with a written value.
    """

    subject: str
    attribute: str
    kind: Literal["computed", "table", "assumed"]
    needs: tuple[Need, ...]
    formula: Formula
    words: str
    source: str
    fallback: bool = False
    table: tuple[str, str] | None = None


def need(written: str) -> Need:
    """A need from its short form: `pack.capacity`, `pack[].mass`, `load[].count?`, `pack.mass@?`.

    The last one is when the mass was read.
    """
    optional = written.endswith("?")
    subject, _, attribute = written.removesuffix("?").partition(".")
    each = subject.endswith("[]")
    name = attribute.removesuffix("@")
    return Need(subject.removesuffix("[]"), name, each, optional, name != attribute)


def derive(
    gives: str,
    needs: str,
    formula: Formula,
    words: str,
    source: str = "definition",
    *,
    fallback: bool = False,
) -> Derivation:
    """A computed attribute. `needs` is one text with spaces; `words` says the formula in words."""
    subject, _, attribute = gives.partition(".")
    wanted = tuple(need(one) for one in needs.split())
    return Derivation(subject, attribute, "computed", wanted, formula, words, source, fallback)


def assume(gives: str, needs: str, formula: Formula, reason: str, source: str) -> Derivation:
    """An attribute that is assumed, with the reason, unless something better is known."""
    subject, _, attribute = gives.partition(".")
    wanted = tuple(need(one) for one in needs.split())
    return Derivation(subject, attribute, "assumed", wanted, formula, reason, source, True)


def look_up(gives: str, row: str, table: str, column: str, *, fallback: bool = False) -> Derivation:
    """An attribute looked up in a published table, by the row that the value of `row` names."""
    subject, _, attribute = gives.partition(".")

    def formula(_row: Any) -> Result:  # the graph reads the table itself, to keep its source
        raise NotImplementedError

    words = f"table {table}, column {column}"
    return Derivation(
        subject, attribute, "table", (need(row),), formula, words, table, fallback, (table, column)
    )
