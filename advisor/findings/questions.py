"""What is still unknown, grouped by the missing fact: the shopping list of questions."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from advisor.engine import Judgement
from advisor.facts import Facts
from advisor.findings.risk import Level, level_of
from advisor.findings.wording import part_text
from advisor.vocabulary import ASK_WORDS, TRAITS, VOCABULARY, Ask, Attribute


@dataclass(frozen=True, slots=True)
class Question:
    """One missing fact, where to find it, and the checks that wait for it.

    `answered` is what the person already said instead of a value ("not published", ...).
    """

    key: str
    part: str
    attribute: Attribute | None
    text: str
    how: str
    waits: tuple[Judgement, ...]
    level: Level
    answered: str


def questions(facts: Facts, waiting: Iterable[Judgement]) -> list[Question]:
    """One question for each missing fact, the one with the worst hazard behind it first."""
    by_key: dict[str, list[Judgement]] = {}
    for judgement in waiting:
        for key in judgement.missing:
            by_key.setdefault(key, []).append(judgement)
    found = [_question(facts, key, waits) for key, waits in by_key.items()]
    return sorted(found, key=lambda one: (-one.level, -len(one.waits), one.key))


def _question(facts: Facts, key: str, waits: list[Judgement]) -> Question:
    part, _, name = key.rpartition(".")
    subject = facts.subject_of(part)
    worst = max(level_of(one.rule) for one in waits)
    waits.sort(key=lambda one: (-level_of(one.rule), one.rule.name))
    if name == "present":
        members = TRAITS.get(subject, (subject,))
        kinds = " or ".join(VOCABULARY.subjects[one].meaning for one in members)
        article = "an" if kinds[0] in "aeiou" else "a"
        text = f"Is there {article} {kinds}, and which?"
        section = VOCABULARY.subjects[members[0]].section
        how = f"list it under {section}, or write `{section.rpartition('.')[2]}: none`"
        return Question(key, kinds, None, text, how, tuple(waits), worst, "")
    attribute = VOCABULARY.attribute(subject, name)
    instance = facts.instance(part)
    answer = instance.answers.get(name) if instance else None
    said = ""
    if answer is not None and answer.said != "unknown":
        said = f"{answer.said} ({answer.detail})" if answer.detail else answer.said
    meaning = attribute.meaning if attribute else name.replace("_", " ")
    how = ASK_WORDS[attribute.ask if attribute else Ask.OWNER]
    return Question(key, part_text(facts, part), attribute, meaning, how, tuple(waits), worst, said)
