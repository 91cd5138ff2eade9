"""Names of steps: in a guide with the part where it is needed, and found by what a person wrote."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import get_close_matches

from advisor.problems import shown

Named = tuple[str, str]
"""The name of a step in a guide, and the part it is about."""


def names_of(steps: Sequence[Named]) -> list[str]:
    """The names in a guide of some written steps: with the part where one is there for several."""
    number: dict[str, int] = {}
    for name, _ in steps:
        number[name] = number.get(name, 0) + 1
    return [name if number[name] == 1 else f"{name}@{part}" for name, part in steps]


def find(name: str, steps: Sequence[Named]) -> str | tuple[str, str]:
    """The name in the guide for a name that somebody wrote, or what is wrong and what to write.

    `step@part` may also stand where a guide has the step once.
    """
    plain, _, part = name.partition("@")
    for known, about in steps:
        if name == known or (known == plain and part == about):
            return known
    several = [known for known, _ in steps if known.partition("@")[0] == name]
    if several:
        problem = f"{shown(name)} is there for {len(several)} parts"
        return problem, f"write one of: {', '.join(several)}"
    known_names = [known for known, _ in steps]
    close = get_close_matches(name, known_names, n=3, cutoff=0.5)
    close = close or get_close_matches(plain, known_names, n=3, cutoff=0.5)
    advice = f"did you mean {' or '.join(close)}" if close else "advisor commission lists the steps"
    return f"{shown(name)} is no step of this vehicle", advice


__all__ = ["Named", "find", "names_of"]
