"""The trees of the rule language: as parsed, and as checked against the vocabulary.

A parsed tree is what the words say. A checked tree has every name resolved and every comparison
typed; conditions in it are only: a comparison of numbers, a choice among words, a flag, a test
whether a value is known, and `and`, `or`, `not` over these.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from advisor.vocabulary import Name


@dataclass(frozen=True, slots=True)
class Parsed:
    """A node as written. `at` is its offset in the text, from 0.

    Kinds: number (`number` in SI, `unit` as printed), name, word, true, false; negative, + - * /,
    min, max; == != < <= > >=, in, known, unknown; not, and, or.
    """

    kind: str
    at: int = field(compare=False)
    parts: tuple[Parsed, ...] = ()
    text: str = ""
    number: float = 0.0
    unit: str = ""

    def __str__(self) -> str:
        if self.kind == "number":
            return f"{self.number!r} {self.unit}".rstrip()
        if not self.parts:
            return self.text or self.kind
        return f"({self.kind} {' '.join(str(part) for part in self.parts)})"


# -- numbers ---------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Number:
    """A literal in SI, with the unit it is printed in."""

    value: float
    unit: str = ""


@dataclass(frozen=True, slots=True)
class Read:
    """The value of a name."""

    name: Name


@dataclass(frozen=True, slots=True)
class Negative:
    """Minus a number."""

    of: Figure


@dataclass(frozen=True, slots=True)
class Arithmetic:
    """`left op right` with op one of + - * /."""

    op: str
    left: Figure
    right: Figure


@dataclass(frozen=True, slots=True)
class Extreme:
    """The least (`min`) or the greatest (`max`) of some numbers."""

    which: str
    items: tuple[Figure, ...]


Figure = Number | Read | Negative | Arithmetic | Extreme

# -- conditions ------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Compare:
    """`left op right` with op one of == != < <= > >=.

    `scale` is the least denominator of its margin; `fixed_scale` takes it alone (a temperature on a
    scale has no meaningful ratio to zero kelvin).
    """

    op: str
    left: Figure
    right: Figure
    scale: float = 1e-9
    fixed_scale: bool = False


@dataclass(frozen=True, slots=True)
class Among:
    """The word of a choice is one of some words."""

    name: Name
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Holds:
    """A flag or a conclusion is true."""

    name: Name


@dataclass(frozen=True, slots=True)
class IsKnown:
    """A value is known without assumptions."""

    name: Name


@dataclass(frozen=True, slots=True)
class Not:
    """The opposite of a condition."""

    of: Condition


@dataclass(frozen=True, slots=True)
class All:
    """Every condition holds."""

    items: tuple[Condition, ...]


@dataclass(frozen=True, slots=True)
class Any:
    """At least one condition holds."""

    items: tuple[Condition, ...]


Condition = Compare | Among | Holds | IsKnown | Not | All | Any
Tree = Condition | Figure


def names_in(tree: Tree) -> Iterator[Name]:
    """Every name a tree reads, in written order, with repetitions."""
    match tree:
        case Read() | Among() | Holds() | IsKnown():
            yield tree.name
        case Negative() | Not():
            yield from names_in(tree.of)
        case Arithmetic() | Compare():
            yield from names_in(tree.left)
            yield from names_in(tree.right)
        case Extreme() | All() | Any():
            for item in tree.items:
                yield from names_in(item)
        case Number():
            return
