"""What an attribute is: one definition that the sheet, the rules, the reports and the docs read."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum
from typing import Literal

from advisor.units import DIMENSIONS, Dimension, unit


class Kind(StrEnum):
    """What kind of value an attribute holds."""

    QUANTITY = "quantity"
    COUNT = "count"
    CHOICE = "choice"
    FLAG = "flag"
    TEXT = "text"
    REFERENCE = "reference"


class Ask(StrEnum):
    """Where a person finds a value; in order of effort."""

    NAMEPLATE = "nameplate"
    OWNER = "owner"
    DATASHEET = "datasheet"
    MEASURE = "measure"
    MAKER = "maker"
    DRIVE = "drive"
    COMPUTED = "computed"


ASK_WORDS = {
    Ask.NAMEPLATE: "read it on the part or its label",
    Ask.OWNER: "ask the owner or decide it yourself",
    Ask.DATASHEET: "look in the part's datasheet or manual",
    Ask.MEASURE: "measure it",
    Ask.MAKER: "ask the maker or seller in writing",
    Ask.DRIVE: "drive it and see, once it may be driven",
    Ask.COMPUTED: "it is computed from other values",
}

PURE = DIMENSIONS["pure"]


@dataclass(frozen=True, slots=True)
class Attribute:
    """One property of one subject.

    `unit` is the spelling used for printing and for examples; values are SI floats everywhere else.
    `at_least` and `at_most` bound what a person may write (SI). `worse` says which direction is the
    more dangerous one when two sources disagree by more than `tolerance` (relative; for absolute
    temperatures relative to `scale`). `scale` is the least denominator of a margin (SI).
    `programmable` values may also stand under `settings`. `settable` ones may be changed by a fix.
    """

    name: str
    kind: Kind
    meaning: str
    ask: Ask
    subject: str = ""
    unit: str = ""
    dimension: Dimension = PURE
    choices: tuple[str, ...] = ()
    at_least: float | None = None
    at_most: float | None = None
    worse: Literal["high", "low", ""] = ""
    tolerance: float = 0.02
    scale: float = 1e-9
    pair: str = ""
    programmable: bool = False
    settable: bool = False

    @property
    def path(self) -> str:
        """`subject.name`, the name rules use."""
        return f"{self.subject}.{self.name}"

    @property
    def given(self) -> bool:
        """True when a person can write it in a sheet."""
        return self.ask is not Ask.COMPUTED


@dataclass(frozen=True, slots=True)
class Subject:
    """A thing cases are about; `section` is where it stands in a sheet, `many` means a list."""

    name: str
    meaning: str
    section: str
    many: bool
    attributes: tuple[Attribute, ...] = field(default=())

    def __post_init__(self) -> None:
        own = tuple(replace(one, subject=self.name) for one in self.attributes)
        if self.many:
            present = Attribute(
                "present", Kind.FLAG, f"a {self.meaning} is fitted", Ask.COMPUTED, self.name
            )
            own = (present, *own)
        if self.many and self.section.startswith("parts."):
            meaning = "what one costs, such as 420 USD; nothing is converted"
            own = (*own, Attribute("price", Kind.TEXT, meaning, Ask.DATASHEET, self.name))
        object.__setattr__(self, "attributes", own)


def quantity(
    name: str,
    unit_spelling: str,
    meaning: str,
    ask: Ask = Ask.COMPUTED,
    *,
    at_least: float | None = 0.0,
    at_most: float | None = None,
    worse: Literal["high", "low", ""] = "",
    tolerance: float = 0.02,
    programmable: bool = False,
    settable: bool = False,
) -> Attribute:
    """An attribute with a unit. Bounds are in that unit; by default nothing below zero."""
    known = unit(unit_spelling)
    dimension = known.dimension
    absolute = dimension.absolute
    if absolute:
        at_least = -60.0 if at_least == 0.0 else at_least
        computed = ask is Ask.COMPUTED  # a fault heats copper far above what a person writes
        at_most = (1500.0 if computed else 150.0) if at_most is None else at_most

    def si(bound: float | None) -> float | None:
        return None if bound is None else bound * known.factor + known.offset

    return Attribute(
        name,
        Kind.QUANTITY,
        meaning,
        ask,
        unit=unit_spelling,
        dimension=dimension,
        at_least=si(at_least),
        at_most=si(at_most),
        worse=worse,
        tolerance=tolerance,
        scale=10.0 if absolute else 1e-9,
        programmable=programmable,
        settable=settable,
    )


def pair(
    name: str,
    unit_spelling: str,
    meaning: str,
    ask: Ask,
    *,
    at_least: float | None = 0.0,
    settable: bool = False,
) -> tuple[Attribute, Attribute]:
    """Two attributes, `name_min` and `name_max`, that a sheet may write as one range `a .. b`."""
    low = quantity(
        f"{name}_min",
        unit_spelling,
        f"lowest {meaning}",
        ask,
        at_least=at_least,
        settable=settable,
    )
    high = quantity(
        f"{name}_max",
        unit_spelling,
        f"highest {meaning}",
        ask,
        at_least=at_least,
        settable=settable,
    )
    return replace(low, pair=name), replace(high, pair=name)


def count(
    name: str, meaning: str, ask: Ask = Ask.COMPUTED, *, at_least: float = 0, at_most: float = 1000
) -> Attribute:
    """A whole number of things."""
    return Attribute(name, Kind.COUNT, meaning, ask, at_least=at_least, at_most=at_most, scale=1.0)


def ratio(name: str, meaning: str, ask: Ask = Ask.COMPUTED) -> Attribute:
    """A pure number above zero, such as a gear ratio."""
    return Attribute(name, Kind.QUANTITY, meaning, ask, at_least=0.0)


def choice(
    name: str, choices: str, meaning: str, ask: Ask = Ask.COMPUTED, *, settable: bool = False
) -> Attribute:
    """One of a closed list of kebab-case words, given as one text with spaces."""
    words = tuple(choices.split())
    return Attribute(name, Kind.CHOICE, meaning, ask, choices=words, settable=settable)


def flag(
    name: str,
    meaning: str,
    ask: Ask = Ask.COMPUTED,
    *,
    worse: Literal["high", "low", ""] = "",
    programmable: bool = False,
    settable: bool = False,
) -> Attribute:
    """Yes or no; `meaning` is the statement that is true when it is yes (the `high` one)."""
    return Attribute(
        name,
        Kind.FLAG,
        meaning,
        ask,
        worse=worse,
        programmable=programmable,
        settable=settable,
    )


def text(name: str, meaning: str, ask: Ask = Ask.OWNER) -> Attribute:
    """Free text: shown, never compared."""
    return Attribute(name, Kind.TEXT, meaning, ask)


def reference(name: str, meaning: str, ask: Ask = Ask.OWNER) -> Attribute:
    """The id of another part."""
    return Attribute(name, Kind.REFERENCE, meaning, ask)
