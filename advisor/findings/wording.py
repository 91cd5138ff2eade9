"""Values and facts in words, in the reader's units."""

from __future__ import annotations

from advisor.facts import Facts
from advisor.facts.origins import Fact, Unknown, Value, WrittenIn
from advisor.units import DIMENSIONS, show
from advisor.vocabulary import VOCABULARY, Attribute, Kind

NOT_STATED = "not stated"


_VOLTAGE = DIMENSIONS["voltage"]
ICE_POINT = 273.15
"""0 °C in kelvin; temperatures are printed to a tenth of a degree."""


def value_text(attribute: Attribute, value: Value, system: str, figures: int = 4) -> str:
    """One value as a reader expects it: `58.4 V`, `2`, `yes`, `bolt on strip`."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return value.replace("-", " ") if attribute.kind is Kind.CHOICE else value
    if attribute.kind is Kind.COUNT or not attribute.unit:
        return f"{value:.4g}"
    if attribute.dimension.absolute and system == "si":
        value = round(value - ICE_POINT, 1) + ICE_POINT
    return show(value, attribute.unit, system, figures)


def fact_text(fact: Fact | Unknown, system: str) -> str:
    """A fact's value in words; an unknown one prints `not stated`.

    What was written, and every voltage, with four figures; what was computed with three.
    """
    if isinstance(fact, Unknown):
        return NOT_STATED
    exact = isinstance(fact.origin, WrittenIn) or fact.attribute.dimension == _VOLTAGE
    return value_text(fact.attribute, fact.value, system, 4 if exact else 3)


def advice_text(fact: Fact | Unknown, system: str) -> str:
    """A fact's value in advice such as "at least 11.25 A": with four figures, whatever it is."""
    return (
        NOT_STATED if isinstance(fact, Unknown) else value_text(fact.attribute, fact.value, system)
    )


def part_text(facts: Facts, identity: str) -> str:
    """A part as a reader knows it: its id, or the plain word for a singleton or a missing kind."""
    instance = facts.instance(identity)
    if instance is None or identity == instance.subject:
        subject = VOCABULARY.subjects.get(identity)
        return subject.meaning if subject else identity
    if instance.subject == "bms":
        return f"the management of {identity.removesuffix('.bms')}"
    return identity
