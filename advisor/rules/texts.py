"""Texts of a rule with names in braces: `A full battery reaches {battery.full_voltage}`.

Only exact names in braces: no formats, no attributes of objects, nothing that `str.format` does.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from advisor.problems import nearest, shown
from advisor.rules.fields import split_advice
from advisor.vocabulary import SELF_TRAIT, TRAITS, Name

_BRACES = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class PartOf:
    """The name of a part: `self` for the case, else a subject reached from it."""

    reach: str


@dataclass(frozen=True, slots=True)
class Template:
    """A text with holes."""

    text: str
    parts: tuple[str | Name | PartOf, ...] = ()

    @property
    def names(self) -> tuple[Name, ...]:
        """The names whose values the text shows."""
        return tuple(part for part in self.parts if isinstance(part, Name))

    def fill(self, value_of: Callable[[Name], str], part_of: Callable[[str], str]) -> str:
        """The text with every hole filled: a value in words, or the id of a part.

        `part_of` gets "self" or the related subject.
        """
        return "".join(
            part
            if isinstance(part, str)
            else value_of(part)
            if isinstance(part, Name)
            else part_of(part.reach)
            for part in self.parts
        )


class TextError(ValueError):
    """A hole that cannot be filled: the problem and the advice."""

    def __init__(self, problem: str, advice: str) -> None:
        super().__init__(f"{problem}; {advice}")
        self.problem = problem
        self.advice = advice


def read_template(
    text: str, about: tuple[str, ...], related: frozenset[str], resolve: Callable[[str], Name]
) -> Template:
    """The template of a text. Raises TextError for a brace that holds no exact name."""
    parts: list[str | Name | PartOf] = []
    at = 0
    for match in _BRACES.finditer(text):
        parts.append(_plain(text[at : match.start()]))
        parts.append(_hole(match[1], about, related, resolve))
        at = match.end()
    parts.append(_plain(text[at:]))
    return Template(text, tuple(part for part in parts if part != ""))


def _plain(text: str) -> str:
    if "{" in text or "}" in text:
        raise TextError("a brace without its partner", "write {name} around one exact name")
    return text


def _hole(
    word: str, about: tuple[str, ...], related: frozenset[str], resolve: Callable[[str], Name]
) -> Name | PartOf:
    if "." in word:
        try:
            return resolve(word)
        except LookupError as error:
            problem, advice = split_advice(error)
            raise TextError(f"{{{shown(word)[1:-1]}}}: {problem}", advice) from error
    is_self = (
        about == (word,)
        or (word == SELF_TRAIT and len(about) > 1)
        or (word in TRAITS and set(about) <= set(TRAITS[word]))
    )
    if is_self:
        return PartOf("self")
    if word in related:
        return PartOf(word)
    own = about[0] if len(about) == 1 else SELF_TRAIT
    advice = nearest(word, [own, *related]) or f"write {{{own}}} or an exact name"
    raise TextError(f"{{{shown(word)[1:-1]}}} is no name and no part", advice)
