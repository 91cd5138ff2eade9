"""Statements built from other statements of which some may be unknown.

An `any` is true as soon as one part is true, and false only when all are false. Each way to decide
is a derivation of its own, so that a missing part asks for itself and for nothing else.
"""

from __future__ import annotations

from advisor.facts.derivation import Derivation, derive


def any_of(gives: str, needs: str, words: str, source: str = "definition") -> list[Derivation]:
    """`gives` is true when any of the needed statements is true."""
    names = needs.split()
    ways = [
        derive(gives, name, lambda known: True if known is True else None, words, source)
        for name in names
    ]
    return [*ways, derive(gives, needs, lambda *known: _all_are(known, False), words, source)]


def _all_are(known: tuple[object, ...], wanted: bool) -> bool | None:
    """The opposite of `wanted` never comes from here: False when all are False, else undecided."""
    return wanted if all(one is wanted for one in known) else None
