"""Chart: how far it goes on one charge, warm and in the cold, against a usual day."""

from __future__ import annotations

import matplotlib as mpl

from advisor.facts.origins import Unknown
from advisor.report.record.blocks import Block, figure, missing
from advisor.report.record.charts.paper import (
    BAR,
    INK,
    SOFT,
    rows_on,
    sheet,
    style,
    written,
)
from advisor.report.record.told import Told

NAME = "ranges"
TITLE = "Way on one charge, warm and in the coldest use"
_MILE = 1609.344
_ROWS = (("warm", "range_warm"), ("coldest use", "range_cold"))


def draw_ranges(told: Told) -> Block:
    """The chart, or what is missing for it."""
    found = [
        (words, fact) for words, name in _ROWS if (fact := told.fact("battery", name)) is not None
    ]
    if not found:
        return missing(NAME, TITLE, f"Not drawn. {_lacking(told)}")
    per, unit = (_MILE, "mi") if told.system == "us" else (1000.0, "km")
    day = told.number("use", "distance_per_day")
    lines = []
    with mpl.rc_context(style(NAME)):
        paper, axes = sheet(0.75 + 0.36 * len(found))
        most = 0.0
        for row, (words, fact) in enumerate(found):
            way = float(fact.value) / per
            most = max(most, way)
            shown = f"{way:.3g} {unit}" + (" *" if fact.assumed else "")
            lines.append(f"{words} {shown.removesuffix(' *')}")
            axes.barh(
                row,
                way,
                height=0.6,
                color=BAR,
                edgecolor=INK,
                linewidth=0.8,
                hatch="..." if row else None,
            )
            axes.annotate(shown, (way, row), xytext=(4, 0), textcoords="offset points", va="center")
        if day is not None:
            axes.axvline(day / per, color=SOFT, linewidth=2.0, linestyle="--")
            lines.append(f"a usual day {day / per:.3g} {unit}")
            most = max(most, day / per)
        axes.set_xlim(0, most * 1.25)
        rows_on(axes, [words for words, _ in found])
        axes.set_xlabel(f"way, {unit}")
        picture = written(paper)
    dashes = f" Dashes: a usual day, {day / per:.3g} {unit}." if day is not None else ""
    note = f"Driven by the trips of the sheet, down to the reserve.{dashes} *: on an assumption."
    return figure(NAME, TITLE, picture, f"Way on one charge: {'; '.join(lines)}.", note)


def _lacking(told: Told) -> str:
    found = told.facts.fact("battery", "range_warm")
    keys = sorted(found.facts) if isinstance(found, Unknown) else []
    if not told.all("trip"):
        return "Missing: trips, and what driving them needs (see the build sheet's page)."
    return (
        f"Missing: {', '.join(keys)}." if keys else "Missing: a trip that can be driven to its end."
    )


__all__ = ["NAME", "draw_ranges"]
