"""Characters as they may be printed: a control is shown by its code and commands nothing."""

from __future__ import annotations

import unicodedata

CONTROLS = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
"""General categories that have no picture of their own."""

KEPT = frozenset("\u200d\u200c\ufe0f")
"""Joiners and the emoji selector: part of words and of emoji; they reorder nothing."""

_LINES = frozenset("\n\t")


def coded(text: str) -> str:
    """Text with each control, bidi controls among them, as its code in brackets.

    Line ends and tabs stay. Source: Unicode Standard Annex 9 for what reorders text.
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(map(_coded, text))


def _coded(one: str) -> str:
    if one in KEPT or one in _LINES or unicodedata.category(one) not in CONTROLS:
        return one
    return f"[U+{ord(one):04X}]"


__all__ = ["CONTROLS", "KEPT", "coded"]
