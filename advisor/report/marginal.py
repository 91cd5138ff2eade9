"""Checks that come out otherwise within a tolerance which the sheet states, in words."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from advisor.facts import Facts
from advisor.facts.origins import question_key
from advisor.findings.tolerances import Marginal
from advisor.findings.wording import part_text, value_text
from advisor.vocabulary import VOCABULARY


def at_the_end(one: Marginal, system: str) -> str:
    """The verdict at an end of a tolerance, and where that is written."""
    attribute = VOCABULARY.attributes[f"{one.subject}.{one.key[1]}"]
    end = value_text(attribute, one.at, system)
    return f"{one.corner} at {end}, an end of `{one.written.text}` on line {one.written.place.line}"


def marginal_sentence(listed: Iterable[Marginal], system: str) -> str:
    """That a check is marginal, with every end that says so; empty where none does."""
    ends = "; ".join(at_the_end(one, system) for one in listed)
    return f"it is marginal, by a tolerance that the sheet states: {ends}." if ends else ""


def marginal_line(one: Marginal, facts: Facts, system: str) -> str:
    """A marginal check with its verdict as written."""
    judgement = one.judgement
    part = part_text(facts, judgement.case)
    return (
        f"{judgement.rule.title} ({judgement.rule.name} on {part}, {one.level.word}): "
        f"{judgement.verdict} as written, {at_the_end(one, system)}."
    )


def marginal_data(one: Marginal, system: str) -> dict[str, Any]:
    """A marginal check as data."""
    attribute = VOCABULARY.attributes[f"{one.subject}.{one.key[1]}"]
    return {
        "rule": one.judgement.rule.name,
        "about": one.judgement.case,
        "level": one.level.word,
        "value": question_key(*one.key),
        "written": one.written.text,
        "line": one.written.place.line,
        "verdict": str(one.judgement.verdict),
        "at": value_text(attribute, one.at, system),
        "verdict_there": str(one.corner),
    }


__all__ = ["at_the_end", "marginal_data", "marginal_line", "marginal_sentence"]
