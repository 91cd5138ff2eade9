"""The one font of every form of the record: it comes with the plotting library."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import matplotlib as mpl
from matplotlib.ft2font import FT2Font

from advisor.report.record.words import broken, drawn

FAMILY = "DejaVu Sans"
FOLDER = Path(mpl.get_data_path()) / "fonts" / "ttf"


@cache
def _characters() -> frozenset[int]:
    return frozenset(FT2Font(str(FOLDER / "DejaVuSans.ttf")).get_charmap())


def printable(text: str) -> str:
    """Text with the characters that the font has; others become their code in brackets."""
    return text if text.isascii() else drawn(text, _characters())


def printed(text: str) -> str:
    """The same, and with places where a very long word may be broken."""
    return broken(printable(text))


__all__ = ["FAMILY", "FOLDER", "printable", "printed"]
