"""The paper a drawing needs so that its letters can be read in print."""

from __future__ import annotations

from advisor.report.diagram.labels import SIZE

LEAST_LETTER = 1.8
"""Least height (mm) of a capital letter in a technical drawing (ISO 3098-1, from memory)."""

_CAPITAL = 0.72
"""Height of a capital letter over the size of usual sans-serif letters."""
_MARGIN = 10.0
# Sizes in mm (ISO 216).
_PAPERS = {
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "A2": (420.0, 594.0),
    "A1": (594.0, 841.0),
    "A0": (841.0, 1189.0),
}


def letter_on(paper: str, width: float, height: float) -> float:
    """Height (mm) of a capital letter of a drawing (in its own units) that fills a sheet."""
    short, long = (side - 2 * _MARGIN for side in _PAPERS[paper])
    upright = min(short / width, long / height)
    across = min(long / width, short / height)
    return _CAPITAL * SIZE * max(upright, across)


def paper_for(width: float, height: float) -> str:
    """The smallest sheet on which the letters are large enough; the largest there is if none."""
    fits = (one for one in _PAPERS if letter_on(one, width, height) >= LEAST_LETTER)
    return next(fits, "A0")


def advice(width: float, height: float) -> str:
    """What to print on, as a sentence under the drawing."""
    paper = paper_for(width, height)
    small = letter_on("A4", width, height)
    if paper == "A4":
        return "Print on A4 or larger."
    return f"Print on {paper}; on A4 the letters are only {small:.1f} mm high."


__all__ = ["LEAST_LETTER", "advice", "letter_on", "paper_for"]
