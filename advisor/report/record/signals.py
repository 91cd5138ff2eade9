"""How a signal word looks: the colours that the cited standard names, as values for a screen."""

from __future__ import annotations

from dataclasses import dataclass

from advisor.tables.reader import table

_VALUES = {
    "red": "#c8201c",
    "orange": "#f18a00",
    "yellow": "#ffd100",
    "blue": "#0b5fa5",
    "white": "#ffffff",
    "black": "#000000",
}
"""Screen values for the colour names of ANSI Z535.4 and ISO 3864-2. The values are chosen near the
safety colours of ANSI Z535.1 (from memory) and so that the lettering has a contrast of 4.5 to 1."""


@dataclass(frozen=True, slots=True)
class Signal:
    """A signal word with its panel and lettering; `symbol` is the alert symbol or nothing."""

    word: str
    panel: str
    lettering: str
    symbol: str


def signals() -> tuple[Signal, ...]:
    """Every signal word of the table, the gravest first. NOTICE has no alert symbol.

    Source: ANSI Z535.4 as quoted in the table `signal-words`; the symbol warns of injury only.
    """
    found = []
    for word in ("danger", "warning", "caution", "notice"):
        panel = table("signal-words").value(word, "panel")
        lettering = table("signal-words").value(word, "lettering")
        assert panel is not None and lettering is not None
        symbol = "" if word == "notice" else "⚠"
        found.append(
            Signal(word.upper(), _VALUES[str(panel.value)], _VALUES[str(lettering.value)], symbol)
        )
    return tuple(found)


__all__ = ["Signal", "signals"]
