"""Statements built from other statements of which some may be unknown.

An `any` is true as soon as one part is true, and false only when all are false. Each way to decide
is a derivation of its own, so that a missing part asks for itself and for nothing else.
"""

from __future__ import annotations

from advisor.facts.derivation import Derivation, derive


def any_of(gives: str, needs: str, words: str, source: str = "definition") -> list[Derivation]:
    """`gives` is true when any of the needed statements is true."""
    ways = [
        derive(gives, name, lambda known: True if known is True else None, words, source)
        for name in needs.split()
    ]
    none_of_them = derive(
        gives,
        needs,
        lambda *known: False if all(one is False for one in known) else None,
        words,
        source,
    )
    return [*ways, none_of_them]
