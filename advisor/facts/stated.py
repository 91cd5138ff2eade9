"""What a sheet says of an attribute of a part, and what would settle it where it says nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from advisor.facts.origins import Fact, Measured, Origin, WrittenIn, question_key
from advisor.sheet.build import Instance, Reading, Written
from advisor.vocabulary import Ask, Attribute

_EFFORT = {ask: number for number, ask in enumerate(Ask)}


def stated(file: str, instance: Instance, attribute: Attribute) -> Iterator[Fact]:
    """The last reading, the programmed setting and the written value, the best first."""
    name = attribute.name
    for reading in instance.readings.get(name, ())[-1:]:
        yield _written(file, instance, attribute, reading)
    programmed = instance.settings.get(name)
    if programmed is not None:
        yield _written(file, instance, attribute, programmed, programmed=True)
    written = instance.values.get(name)
    if written is not None:
        yield _written(file, instance, attribute, written)


def _written(
    file: str, instance: Instance, attribute: Attribute, value: Written, programmed: bool = False
) -> Fact:
    origin: Origin
    if isinstance(value, Reading):
        origin = Measured(file, value.place, value.text, value.instrument, value.time, value.who)
    else:
        origin = WrittenIn(file, value.place, value.text, programmed)
    return Fact(instance.id, attribute, value.value, origin)


def answered(instance: Instance, name: str) -> str:
    """Why a value is not known, in the words of the sheet."""
    answer = instance.answers.get(name)
    if answer is None:
        return "not stated"
    return f"{answer.said} ({answer.detail})" if answer.detail else answer.said


def easiest(
    instance: Instance, attribute: Attribute, gaps: Sequence[frozenset[str]]
) -> frozenset[str]:
    """The smallest, then easiest, set of facts that would settle an attribute."""
    options: list[tuple[int, int, int, frozenset[str]]] = []
    if attribute.given:
        answer = instance.answers.get(attribute.name)
        refused = 1 if answer and answer.said != "unknown" else 0
        if attribute.ask is Ask.DRIVE:
            refused = 2  # what has to be driven is asked for only where nothing else helps
        own = frozenset({question_key(instance.id, attribute.name)})
        options.append((refused, 1, _EFFORT[attribute.ask], own))
    for number, gap in enumerate(gaps):
        if gap:
            options.append((0, len(gap), 10 + number, gap))
    return min(options, key=lambda one: one[:3])[3] if options else frozenset()


__all__ = ["answered", "easiest", "stated"]
