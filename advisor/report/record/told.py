"""Facts for sentences: a value in words when it is known, and whether it was only assumed."""

from __future__ import annotations

from advisor.facts import Facts
from advisor.facts.origins import Assumed, Computed, Fact, LookedUp, Unknown
from advisor.findings.wording import fact_text, value_text
from advisor.units import show
from advisor.vocabulary import VOCABULARY

ASK = "Ask the builder."
_ICE_POINT = 273.15


class Told:
    """The facts of a build in the units of a reader, for sentences that guess nothing."""

    def __init__(self, facts: Facts, system: str) -> None:
        self.facts = facts
        self.system = system

    def fact(self, part: str, name: str) -> Fact | None:
        """A known value, also an assumed one; None where the part has no such value."""
        instance = self.facts.instance(part)
        if instance is None or f"{instance.subject}.{name}" not in VOCABULARY.attributes:
            return None
        found = self.facts.fact(part, name)
        return None if isinstance(found, Unknown) else found

    def sure(self, part: str, name: str) -> Fact | None:
        """A value that rests on no assumption, or None."""
        found = self.fact(part, name)
        return None if found is None or found.assumed else found

    def number(self, part: str, name: str) -> float | None:
        """A value that rests on no assumption as a number in SI units, or None."""
        found = self.sure(part, name)
        value = found.value if found else None
        return float(value) if isinstance(value, float | int) and found else None

    def yes(self, part: str, name: str) -> bool | None:
        """Yes or no, or None where it is not known or only assumed."""
        found = self.sure(part, name)
        return found.value if found is not None and isinstance(found.value, bool) else None

    def word(self, part: str, name: str) -> str:
        """A known word or text, or nothing."""
        found = self.sure(part, name)
        return str(found.value) if found is not None and isinstance(found.value, str) else ""

    def said(self, part: str, name: str) -> str:
        """A value that rests on no assumption in words, or nothing."""
        found = self.sure(part, name)
        return "" if found is None else fact_text(found, self.system)

    def about(self, part: str, name: str, figures: int = 2) -> str:
        """A value with few figures, marked where it rests on an assumption; or nothing."""
        found = self.fact(part, name)
        if found is None:
            return ""
        words = value_text(found.attribute, found.value, self.system, figures)
        return f"{words} (partly assumed)" if found.assumed else words

    def shown(self, part: str, name: str) -> str:
        """A value in words with a mark where it rests on an assumption; `?` where unknown."""
        found = self.fact(part, name)
        if found is None:
            return "?"
        words = fact_text(found, self.system)
        return f"{words} (assumed)" if found.assumed else words

    def general(self, fact: Fact) -> bool:
        """True when a value is that of a kind of part, from a table, and not of this very part."""
        below = fact.origin.inputs if isinstance(fact.origin, Computed | Assumed) else ()
        found = [self.facts.fact(*key) for key in below]
        return isinstance(fact.origin, LookedUp) or any(
            isinstance(one, Fact) and self.general(one) for one in found
        )

    def all(self, subject: str) -> tuple[str, ...]:
        return self.facts.instances(subject)

    def named(self, part: str) -> str:
        """The id of a part, with what the sheet calls it."""
        name = self.word(part, "name")
        return f"{part} ({name})" if name and name != part else part

    def both_degrees(self, kelvin: float) -> str:
        """A temperature in both scales, the reader's first."""
        first, second = ("us", "si") if self.system == "us" else ("si", "us")
        near = round(kelvin - _ICE_POINT, 1) + _ICE_POINT
        return f"{show(near, 'degC', first, 3)} ({show(near, 'degC', second, 3)})"


def several(words: list[str], joint: str = "and") -> str:
    """`a`, `a and b`, `a, b and c`."""
    return f" {joint} ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]


def counted(number: float, one: str, many: str = "") -> str:
    return f"{number:.0f} {one if number == 1 else many or one + 's'}"


__all__ = ["ASK", "Told", "counted", "several"]
