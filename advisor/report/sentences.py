"""Sentences that every form of report shares: the verdict line, cautions, pointers, sources."""

from __future__ import annotations

import re

from advisor.findings.questions import Question
from advisor.findings.report_model import Screening
from advisor.findings.risk import Level
from advisor.rules.rule import Rule
from advisor.vocabulary import Kind

_NUMBER = re.compile(r"[0-9]+(?:\.[0-9]+)?")

CAUTIONS = (
    "This screens a build on paper. It does not certify it. Local electrical and road codes and "
    "licensed practice decide.",
    "A short circuit of a traction battery burns and throws metal at any voltage. Take off "
    "jewelry, use insulated tools, wear eye protection, cover what you are not working on.",
    "Have a qualified technician inspect the main fuse, the disconnect, the precharge, every "
    "traction joint, the charge path and the brakes before anybody drives.",
    "Put out of use any lithium pack that is swollen, wet, dented or hot. Keep it outdoors, away "
    "from buildings, and ask its maker or the fire service.",
)

CONSULT = {
    "qualified-technician": "a qualified technician checks this before it is used.",
    "licensed-electrician": "a licensed electrician; the local electrical code decides.",
    "maker": "the maker or seller, in writing.",
    "local-authority": "the local authority; the law of the place decides.",
}


def headline(screening: Screening) -> str:
    """The verdict in one line. It never says safe."""
    counts = screening.counts
    by_level = {
        level: sum(1 for one in screening.all_findings() if one.level is level)
        for level in (Level.HIGH, Level.SERIOUS, Level.MEDIUM, Level.LOW)
    }
    found = [f"{number} {level.word}" for level, number in by_level.items() if number]
    waiting = counts.undetermined
    if screening.questions:
        asked_for = _questions(len(screening.questions))
        open_part = f"{_checks(waiting)} cannot be decided until {asked_for} answered"
    elif waiting:
        open_part = f"{_checks(waiting)} cannot be decided"
    else:
        open_part = "nothing that is due at this stage is undecided"
    assumed = len(screening.only_assumed())
    if assumed:
        open_part += f"; {_checks(assumed)} of serious risk or more only assumed to hold"
    unsure = waiting or counts.satisfied_on_assumption or counts.later or counts.not_asked
    if by_level[Level.HIGH] or by_level[Level.SERIOUS]:
        word = "STOP: "
    elif found:
        word = "MEND: "
    elif unsure:
        word = "OPEN: "
    else:
        word = "NOTHING FOUND: "
    what = f"{listed(found)} risk found" if found else "no hazard found so far"
    if not found and unsure:
        what += ", which is not an all-clear"
    return f"{word}{what}; {open_part}."


def listed(words: list[str]) -> str:
    """`a`, `a and b`, `a, b and c`."""
    return " and ".join([", ".join(words[:-1]), words[-1]]) if len(words) > 1 else words[0]


def says_more(text: str, beside: str) -> bool:
    """True when a text holds a number or a quantity that the one beside it does not."""
    numbers = set(_NUMBER.findall(text))
    return not numbers or not numbers <= set(_NUMBER.findall(beside))


def _checks(number: int) -> str:
    return "1 check" if number == 1 else f"{number} checks"


def _questions(number: int) -> str:
    return "1 question is" if number == 1 else f"{number} questions are"


def asked(question: Question) -> str:
    """A question in words, with the unit or the words that answer it."""
    attribute = question.attribute
    if attribute is None:
        return question.text
    if attribute.kind is Kind.FLAG:
        return f"is it true that {question.text}? (yes or no)"
    if attribute.choices:
        return f"{question.text}? ({', '.join(attribute.choices)})"
    unit = f" (in {attribute.unit})" if attribute.unit else ""
    return f"{question.text}?{unit}"


def question_words(question: Question) -> str:
    """A question with its part, and where the answer is found."""
    if question.attribute is None:
        return f"{question.text} {question.how[:1].upper()}{question.how[1:]}"
    return f"{question.part}: {asked(question)} {question.how[:1].upper()}{question.how[1:]}."


def source_text(rule: Rule) -> str:
    """The sources of a rule in one sentence."""
    cited = []
    for source in rule.sources:
        clause = f", {source.clause}" if source.clause else ""
        memory = " (from memory)" if source.read == "memory" else ""
        cited.append(f"{source.title}{clause}{memory}")
    text = f"Source: {'; '.join(cited)}." if cited else ""
    practice = "Common practice, no source." if rule.common_practice else ""
    return f"{text} {practice}".strip()
