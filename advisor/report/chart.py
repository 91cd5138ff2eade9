"""A trip drawn over its distance: speed, current, voltage, charge and heat, with their limits."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes
from matplotlib.figure import Figure

from advisor.driving.road import Driven, Road
from advisor.facts import Facts
from advisor.problems import Place, Problem, ProblemsFoundError, nearest, shown
from advisor.report.letters import coded
from advisor.wiring.found import chosen, read

_SIZE = (11.0, 12.0)  # inches
_ENDS = {
    "stalls": "stands still",
    "management_opens": "management opens",
    "device_opens": "main device opens",
    "runs_empty": "battery no longer drives it",
}
_ICE_POINT = 273.15


@dataclass(frozen=True, slots=True)
class _Panel:
    """One picture above another: its unit, its lines and its limits."""

    title: str
    unit: str
    lines: tuple[tuple[str, np.ndarray, str], ...]
    limits: tuple[tuple[str, float], ...]


def draw_trip(facts: Facts, road: Road, name: str | None, form: str, system: str) -> bytes:
    """The picture of a trip as the bytes of an SVG or PNG file. Raises ProblemsFoundError."""
    driven = _chosen(facts, road, name)
    trip = driven.trip.id
    with mpl.rc_context({"svg.hashsalt": "trip", "font.size": 9.0}):
        figure = Figure(figsize=_SIZE, layout="constrained")
        panels = _panels(facts, road, driven, system)
        axes: Sequence[Axes] = figure.subplots(len(panels), 1, sharex=True)
        way, unit = _distance(driven, system)
        title = f"{trip}: {chosen(facts, trip, 'name') or ''}".rstrip(": ")
        figure.suptitle(_plain(title), fontsize=12, fontweight="bold")
        for one, panel in zip(axes, panels, strict=True):
            _draw(one, panel, way, driven)
        axes[-1].set_xlabel(f"distance, {unit}")
        _parts(axes[0], driven, way)
        out = io.BytesIO()
        metadata = {"Date": None} if form == "svg" else {"Software": None}
        figure.savefig(out, format=form, dpi=120, metadata=metadata)
    return out.getvalue()


def _plain(text: str) -> str:
    """Text that is shown as it stands: a dollar sign starts a formula in the plotting library."""
    return coded(" ".join(text.split())).replace("$", r"\$")[:90]


def _chosen(facts: Facts, road: Road, name: str | None) -> Driven:
    def refuse(problem: str, advice: str) -> ProblemsFoundError:
        return ProblemsFoundError([Problem(facts.build.file, Place(), "trips", problem, advice)])

    if not road.driven:
        raise refuse("no trip can be driven yet", "run it without --chart to see what is missing")
    if name is None:
        failing = [one for one in road.driven.values() if one.ended]
        return (failing or list(road.driven.values()))[0]
    if name not in road.driven:
        advice = nearest(name, road.driven) or f"write one of: {', '.join(road.driven)}"
        raise refuse(f"there is no trip {shown(name)} that can be driven", advice)
    return road.driven[name]


def _distance(driven: Driven, system: str) -> tuple[np.ndarray, str]:
    metres = driven.trace.distance[:, 0]
    return (metres / 1609.344, "mi") if system == "us" else (metres / 1000.0, "km")


def _panels(facts: Facts, road: Road, driven: Driven, system: str) -> list[_Panel]:
    trace, course = driven.trace, driven.trace.course
    fast, speed_unit = (2.2369362920544, "mph") if system == "us" else (3.6, "km/h")
    inputs = driven.inputs
    air = inputs.air - _ICE_POINT
    most = inputs.insulation_limit - _ICE_POINT
    heat = air + trace.rise[:, 0]
    heat_unit = "°C"
    if system == "us":
        heat, most, heat_unit = heat * 1.8 + 32, most * 1.8 + 32, "°F"
    currents = (
        ("battery, for long", read(facts, "battery", "discharge_continuous")),
        ("battery, peak", read(facts, "battery", "discharge_peak")),
    )
    volts = (("drive stops", inputs.vehicle.cut_off),)
    reserve = read(facts, "battery", "reserve")
    return [
        _Panel(
            "speed",
            speed_unit,
            (
                ("wanted", course.speed * fast, "--"),
                ("reached", trace.speed[:, 0] * fast, "-"),
            ),
            (),
        ),
        _Panel(
            "battery current",
            "A",
            (("current", trace.current[:, 0], "-"),),
            tuple((words, one.value) for words, one in currents if one.known),
        ),
        _Panel("battery voltage", "V", (("voltage", trace.voltage[:, 0], "-"),), volts),
        _Panel(
            "charge",
            "%",
            (("charge", trace.charge[:, 0] * 100, "-"),),
            (("reserve", reserve.value * 100),) if reserve.known else (),
        ),
        _Panel("motor", heat_unit, (("motor", heat, "-"),), (("insulation", float(most)),)),
    ]


def _draw(axes: Axes, panel: _Panel, way: np.ndarray, driven: Driven) -> None:
    for label, values, style in panel.lines:
        known = values.copy()
        if driven.ended is not None and style == "-":  # what would come after it did not happen
            known[driven.steps :] = np.nan
        axes.plot(way, known, style, color="black", linewidth=1.1, label=label)
    for label, limit in panel.limits:
        axes.axhline(limit, color="0.35", linewidth=0.9, linestyle=":")
        axes.annotate(f"{label} {limit:.4g}", (0.995, limit), xycoords=("axes fraction", "data"),
                      ha="right", va="bottom", fontsize=8, color="0.25")  # fmt: skip
    if (first := driven.ended) is not None:
        at = float(way[first.step])
        axes.axvspan(at, float(way[-1]), color="0.88", zorder=0)
        axes.axvline(at, color="black", linewidth=1.6)
    axes.set_ylabel(f"{panel.title}, {panel.unit}")
    axes.margins(x=0, y=0.15)
    axes.grid(visible=True, color="0.9", linewidth=0.6)
    if len(panel.lines) > 1:
        axes.legend(loc="lower right", fontsize=8, frameon=False, ncols=2)


def _parts(axes: Axes, driven: Driven, way: np.ndarray) -> None:
    """Names of the parts above the first panel, and what ends the trip."""
    piece = driven.trace.course.piece
    for number, name in enumerate(driven.trip.parts):
        steps = np.nonzero(piece == number)[0]
        if len(steps) == 0:
            continue
        begin, end = float(way[steps[0] - 1]) if steps[0] else 0.0, float(way[steps[-1]])
        if end - begin > 0.04 * float(way[-1]):
            axes.annotate(_plain(name), ((begin + end) / 2, 1.03), fontsize=8, ha="center",
                          xycoords=("data", "axes fraction"), rotation=0)  # fmt: skip
        axes.axvline(end, color="0.8", linewidth=0.6)
    if (first := driven.ended) is not None:
        axes.annotate(
            f"{_ENDS[first.what]}: {_plain(driven.where(first))}", (0.01, 0.06),
            xycoords="axes fraction", fontsize=9, fontweight="bold",
        )  # fmt: skip
