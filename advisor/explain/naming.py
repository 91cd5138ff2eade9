"""Names that a person gives: a part of the sheet, a value of it; or what to write instead."""

from __future__ import annotations

from advisor.facts import Facts
from advisor.facts.origins import Fact, Key
from advisor.problems import Place, Problem, ProblemsFoundError, nearest, shown
from advisor.vocabulary import VOCABULARY


def refusal(facts: Facts, problem: str, advice: str) -> ProblemsFoundError:
    """The error of a wrong name, to be raised."""
    return ProblemsFoundError([Problem(facts.build.file, Place(), "", problem, advice)])


def part_named(facts: Facts, name: str) -> str:
    """The id of a part of the sheet. Raises ProblemsFoundError with the nearest names."""
    known = _parts(facts)
    if name not in known:
        parts = [one for one in known if one not in ("vehicle", "use", "supply")]
        near = nearest(name, known) or f"the sheet lists {', '.join(parts[:12])}"
        raise refusal(facts, f"there is no part {shown(name)} in the sheet", near)
    return name


def value_named(facts: Facts, text: str) -> Key:
    """The value of a text such as `battery.full_voltage`. Raises ProblemsFoundError."""
    part, _, name = text.rpartition(".")
    known = _parts(facts)
    if not part:
        raise refusal(facts, f"{shown(text)} is no value", _values_like(facts, text))
    if part not in known:
        near = nearest(part, known) or "write part.attribute, such as battery.full_voltage"
        raise refusal(facts, f"there is no part {shown(part)} in the sheet", near)
    subject = facts.subject_of(part)
    attributes = [one.name for one in VOCABULARY.subjects[subject].attributes]
    if name not in attributes:
        advice = nearest(name, attributes) or "docs/vocabulary.md lists them"
        raise refusal(facts, f"{shown(name)} is no value of a {subject}", advice)
    return part, name


def _values_like(facts: Facts, word: str) -> str:
    """What to write instead of a word alone: a value of that part, or the parts that have it."""
    parts = _parts(facts)
    if word in parts:
        names = [one.name for one in VOCABULARY.subjects[facts.subject_of(word)].attributes]
        stated = (one for one in names[1:] if isinstance(facts.fact(word, one), Fact))
        return f"write one of its values, such as {word}.{next(stated, names[0])}"
    having = [
        f"{part}.{word}"
        for part in parts
        if f"{facts.subject_of(part)}.{word}" in VOCABULARY.attributes
    ]
    return f"write {' or '.join(having[:6] or ['part.attribute, such as battery.full_voltage'])}"


def _parts(facts: Facts) -> list[str]:
    return [one.id for one in facts.build.instances]


__all__ = ["part_named", "refusal", "value_named"]
