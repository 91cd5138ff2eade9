"""Figures without a screen: made, written as SVG, and cleaned so that they fit into a page."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable
from typing import Any

from matplotlib.axes import Axes
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from advisor.report.record.fonts import FAMILY, printable
from advisor.report.record.words import short

WIDTH = 5.0
"""Width of every chart in inches; a phone shows it at about 90 % of its size."""

INK, SOFT, GRID, BAND, BAR, OVER, PAPER = (
    "#1b1b1b",
    "#555555",
    "#cccccc",
    "#bcd3e8",
    "#5b7f9f",
    "#a83a1c",
    "#fefefe",
)
_ROLES = {
    INK: "ink",
    SOFT: "soft",
    GRID: "grid",
    BAND: "band",
    BAR: "bar",
    OVER: "over",
    PAPER: "paper",
}
_STYLE = {
    "svg.fonttype": "none",
    "font.family": FAMILY,
    "font.size": 9.5,
    "axes.edgecolor": SOFT,
    "axes.labelcolor": INK,
    "text.color": INK,
    "xtick.color": INK,
    "ytick.color": INK,
    "hatch.color": INK,
    "hatch.linewidth": 0.8,
    "axes.linewidth": 0.8,
    "figure.facecolor": "none",
    "axes.facecolor": "none",
}
_FONT = re.compile(r"font(?:-family)?: (?:[^;\"]*? )?'DejaVu Sans'[^;\"]*")
_NUMBER = re.compile(r"(?<=[ \"=(,])(-?\d+\.\d{3,})")


def sheet(height: float) -> tuple[Figure, Axes]:
    """A figure of one panel, `height` inches high."""
    figure = Figure(figsize=(WIDTH, height), layout="constrained")
    FigureCanvasSVG(figure)
    axes: Axes = figure.subplots()
    for side in ("top", "right"):
        axes.spines[side].set_visible(False)
    return figure, axes


def style(name: str) -> dict[Any, Any]:
    """What every chart is drawn with; `name` fixes the ids inside it."""
    return {**_STYLE, "svg.hashsalt": name}


def written(figure: Figure) -> str:
    """The figure as an SVG element: the same text each time, without ids that a page has twice."""
    out = io.BytesIO()
    figure.savefig(out, format="svg", metadata={"Date": None, "Creator": None})
    text = out.getvalue().decode("utf-8")
    text = text[text.index("<svg") :]
    text = re.sub(r"<metadata>.*?</metadata>", "", text, flags=re.DOTALL)
    text = re.sub(r"<style.*?</style>", "", text, flags=re.DOTALL)
    text = re.sub(r"<g id=\"[^\"]*\"\s*/>", "", text)
    text = re.sub(r"<g id=\"[^\"]*\">", "<g>", text)
    text = re.sub(r" transform=\"rotate\(-?0 [^\"]*\"", "", text)
    text = _FONT.sub(f"font-family: {FAMILY}", text)
    text = _NUMBER.sub(lambda found: f"{float(found[1]):.2f}", text)
    return re.sub(r"\s*\n\s*", " ", text).strip()


def themed(picture: str) -> str:
    """The same element for a page: its colours follow light and dark, its font that of the page."""
    for colour, role in _ROLES.items():
        picture = picture.replace(colour, f"var(--chart-{role})")
    return picture.replace(f"font-family: {FAMILY}", "font-family: var(--chart-font)")


def label(text: str, most: int = 34) -> str:
    """A text for a chart: a dollar sign starts a formula in the plotting library."""
    return short(printable(text), most).replace("$", r"\$")


def bar(axes: Axes, row: int, length: float, words: str, *, over: bool, at: float) -> None:
    """A bar in a row with its words from `at` on; one that is over its limit is hatched."""
    axes.barh(
        row,
        length,
        height=0.6,
        facecolor="none" if over else BAR,
        edgecolor=OVER if over else INK,
        linewidth=1.4 if over else 0.8,
        hatch="////" if over else None,
    )
    axes.annotate(
        words,
        (at, row),
        xytext=(4, 0),
        textcoords="offset points",
        va="center",
        fontsize=8.5,
    )


def rows_on(axes: Axes, names: Iterable[str]) -> None:
    """Names of rows at the left, the first at the top."""
    listed = [label(one) for one in names]
    axes.set_yticks(range(len(listed)), listed)
    axes.set_ylim(len(listed) - 0.4, -0.6)
    axes.tick_params(axis="y", length=0)
    axes.grid(visible=True, axis="x", color=GRID, linewidth=0.6)
    axes.set_axisbelow(True)


__all__ = [
    "BAND",
    "BAR",
    "GRID",
    "INK",
    "OVER",
    "PAPER",
    "SOFT",
    "bar",
    "label",
    "rows_on",
    "sheet",
    "style",
    "themed",
    "written",
]
