"""Chart: the voltages at which each part works, against those of the battery."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import matplotlib as mpl
from matplotlib.axes import Axes

from advisor.report.record.blocks import Block, figure, missing
from advisor.report.record.charts.paper import (
    BAND,
    BAR,
    INK,
    OVER,
    PAPER,
    SOFT,
    label,
    rows_on,
    sheet,
    style,
    written,
)
from advisor.report.record.told import Told, several

NAME = "windows"
TITLE = "Voltage windows of the parts against that of the battery"
_FULL = 1.75
"""The axis ends here, in full battery voltages; what reaches further has an arrow."""
_NOTE = (
    "The band is the battery from empty to full. Each frame is where a part works; a bold line is "
    "where it is destroyed; an arrow says that it reaches further. A hatched frame is too low."
)


@dataclass(frozen=True, slots=True)
class Window:
    """Least and highest voltage (V) of a part; `ruin` is the voltage that destroys it."""

    names: tuple[str, ...]
    low: float
    high: float
    ruin: float | None


def windows(told: Told) -> list[Window]:
    """Windows of all parts on the traction battery; parts that are alike share one."""
    found: dict[tuple[float, float, float | None], list[str]] = {}
    for part, low, high, ruin in _all(told):
        if high is not None:
            found.setdefault((low or 0.0, high, ruin), []).append(part)
    return [Window(tuple(names), *key) for key, names in found.items()]


_Line = tuple[str, float | None, float | None, float | None]


def _all(told: Told) -> Iterator[_Line]:
    number = told.number
    for one in told.all("controller"):
        low = number(one, "input_min") or number(one, "nominal_voltage_min")
        high = number(one, "input_max") or number(one, "absolute_max")
        yield one, low, high, number(one, "absolute_max")
    for one in told.all("converter"):
        yield one, number(one, "input_min"), number(one, "input_max"), number(one, "absolute_max")
    for one in told.all("monitor"):
        yield one, number(one, "voltage_min"), number(one, "voltage_max"), None
    for one in told.all("charger"):
        yield one, number(one, "start_voltage_min"), number(one, "voltage_highest"), None
    for one in told.all("load"):
        if told.word(one, "bus") in ("traction", "tap"):
            yield one, number(one, "voltage_min"), number(one, "voltage_max"), None
    yield from _rated(told)


def _rated(told: Told) -> Iterator[_Line]:
    """Parts that only have a highest voltage."""
    for subject, rating, kind, low_side in (
        ("contactor", "contact_dc_voltage", "role", ("auxiliary",)),
        ("disconnect", "voltage_rating", "circuit", ("auxiliary", "control")),
        ("fuse", "dc_voltage_known", "role", ("converter-output", "branch")),
        ("breaker", "dc_voltage_known", "role", ("converter-output", "branch")),
        ("key_switch", "voltage_rating", "", ()),
        ("bus_bar", "voltage_rating", "circuit", ("auxiliary",)),
        ("connector", "voltage_rating", "circuit", ("auxiliary",)),
        ("inlet", "voltage_rating", "", ()),
    ):
        for one in told.all(subject):
            if not (kind and told.word(one, kind) in low_side):
                yield one, None, told.number(one, rating), None


def draw_windows(told: Told) -> Block:
    """The chart, or what is missing for it."""
    full, empty = told.number("battery", "full_voltage"), told.number("battery", "empty_voltage")
    found = windows(told)
    if full is None or empty is None or not found:
        lacking = [
            words
            for words, value in (
                ("the full voltage of the battery", full),
                ("its empty voltage", empty),
                ("the voltages of any part", found or None),
            )
            if value is None
        ]
        return missing(NAME, TITLE, f"Not drawn. Missing: {several(lacking)}.")
    with mpl.rc_context(style(NAME)):
        paper, axes = sheet(0.9 + 0.29 * (len(found) + 1))
        most = full * _FULL
        axes.axvspan(empty, full, color=BAND, zorder=0)
        _battery(axes, told, empty, full)
        for row, one in enumerate(found, 1):
            _bar(axes, row, one, most, full)
        rows_on(axes, ["battery", *(_named(one) for one in found)])
        axes.set_xlim(0, most * 1.02)
        axes.set_xlabel("voltage, V")
        picture = written(paper)
    return figure(NAME, TITLE, picture, _alt(found, empty, full), _NOTE)


def _named(one: Window) -> str:
    first, *others = one.names
    return f"{first} + {len(others)} alike" if others else first


def _battery(axes: Axes, told: Told, empty: float, full: float) -> None:
    axes.barh(0, full - empty, left=empty, height=0.55, color=BAR, edgecolor=INK, linewidth=0.8)
    axes.annotate(f"{empty:.4g} to {full:.4g} V ", (empty, 0), ha="right", va="center", color=INK)
    nominal = told.number("battery", "nominal_voltage")
    if nominal is not None:
        axes.plot([nominal, nominal], [-0.27, 0.27], color=PAPER, linewidth=1.4)


def _bar(axes: Axes, row: int, one: Window, most: float, full: float) -> None:
    """A part: white bar of its window, a bold line where it is destroyed, numbers inside."""
    end = min(one.high, most)
    short_of = one.high < full * (1 - 1e-9)
    colour = OVER if short_of else SOFT
    axes.barh(
        row,
        end - one.low,
        left=one.low,
        height=0.5,
        facecolor="none",
        edgecolor=colour,
        linewidth=1.6,
        hatch="////" if short_of else None,
    )
    if one.ruin is not None and one.ruin <= most:
        axes.plot([one.ruin, one.ruin], [row - 0.36, row + 0.36], color=INK, linewidth=2.6)
    words = f"{one.low:.4g} to {one.high:.4g} V" if one.low else f"to {one.high:.4g} V"
    if short_of:
        words += ", TOO LOW"
    arrow = " →" if one.high > most else ""
    beside = max(one.high, one.ruin or 0.0) if short_of else one.low  # not over the hatching
    axes.annotate(
        label(words + arrow, 40),
        (beside + 0.015 * most, row),
        va="center",
        fontsize=8.5,
        color=INK,
    )


def _alt(found: list[Window], empty: float, full: float) -> str:
    low = [name for one in found if one.high < full * (1 - 1e-9) for name in one.names]
    lines = [
        f"{', '.join(one.names)}: {one.low:.4g} to {one.high:.4g} V"
        + (f", destroyed at {one.ruin:.4g} V" if one.ruin else "")
        for one in found
    ]
    end = (
        f"Too low for the full battery: {', '.join(low)}."
        if low
        else ("Each of them reaches at least the voltage of the full battery.")
    )
    return f"Battery {empty:.4g} to {full:.4g} V. {'; '.join(lines)}. {end}"


__all__ = ["NAME", "Window", "draw_windows", "windows"]
