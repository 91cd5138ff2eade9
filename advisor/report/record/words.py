"""Text of the sheet made safe to show: nothing in it can reorder or hide what stands around it."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from advisor.report.letters import KEPT, coded

_FIRST, _POP = "\u2068", "\u2069"  # first-strong isolate, and its end
_RIGHT = {"R", "AL", "AN"}
_LONG = re.compile(r"[^\s-]{31,}")  # at a hyphen it is broken anyway
_ZERO_SPACE = "\u200b"


def safe(text: str) -> str:
    """One line as it may be shown.

    Control characters, bidi controls among them, become their code in brackets. A run of letters
    from right to left is put into an isolate, so that digits and signs beside it stay in place
    (Unicode Standard Annex 9). White space becomes single spaces.
    """
    line = " ".join(text.split())
    if line.isascii() and line.isprintable():
        return line
    return _isolated(coded(line))


def _isolated(text: str) -> str:
    """Text with each run from right to left inside an isolate of its own."""
    kinds = [unicodedata.bidirectional(one) for one in text]
    if not any(one in _RIGHT for one in kinds):
        return text
    out: list[str] = []
    place = 0
    while place < len(text):
        if kinds[place] not in _RIGHT:
            out.append(text[place])
            place += 1
            continue
        end = last = place
        while end < len(text):  # only words side by side: other signs may part two texts
            if kinds[end] in _RIGHT or kinds[end] == "NSM":
                last = end
            elif kinds[end] != "WS":
                break
            end += 1
        out.append(_FIRST + text[place : last + 1] + _POP)
        place = last + 1
    return "".join(out)


def drawn(text: str, known: Iterable[int]) -> str:
    """Text with the characters that a font has; others become their code in brackets."""
    have = known if isinstance(known, set | frozenset | dict) else set(known)
    kept = {_FIRST, _POP, _ZERO_SPACE}
    return "".join(
        one if ord(one) in have or one in kept else "" if one in KEPT else f"[U+{ord(one):04X}]"
        for one in text
    )


def broken(text: str) -> str:
    """Text in which a very long word may be broken, for a typesetter that would not."""
    return _LONG.sub(lambda found: _split(found.group()), text)


def _split(word: str) -> str:
    return _ZERO_SPACE.join(word[n : n + 10] for n in range(0, len(word), 10))


def short(text: str, most: int = 60) -> str:
    """Text of at most some characters, for a label that has no room."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def sentence(text: str) -> str:
    """A text that starts with a capital letter and ends with a full stop."""
    kept = text.strip()
    if not kept:
        return ""
    return kept[0].upper() + kept[1:] + ("" if kept[-1] in ".?!" else ".")


__all__ = ["broken", "drawn", "safe", "sentence", "short"]
