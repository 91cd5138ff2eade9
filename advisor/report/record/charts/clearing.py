"""Chart: how fast the main device opens, against how long its thinnest conductor stands it."""

from __future__ import annotations

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes

from advisor.report.record.blocks import Block, figure, missing
from advisor.report.record.charts.paper import (
    GRID,
    INK,
    OVER,
    SOFT,
    label,
    sheet,
    style,
    written,
)
from advisor.report.record.told import Told
from advisor.units import show
from advisor.wiring.clearing import NEVER, Curve, curve_for, stands_for
from advisor.wiring.found import Found

NAME = "clearing"
TITLE = "Time-current curve of the main device against its conductor"
_ADIABATIC = 5.0
"""Seconds up to which no heat leaves the metal (IEC 60364-4-43); above it stands longer."""


def main_device(told: Told) -> str | None:
    """The one fuse or breaker in the main path, or None."""
    devices = [*told.all("fuse"), *told.all("breaker")]
    marked = [one for one in devices if told.facts.fact(one, "role") and _role(told, one) == "main"]
    return marked[0] if len(marked) == 1 else None


def _role(told: Told, part: str) -> str:
    found = told.fact(part, "role")
    return str(found.value) if found else ""


def conductors(told: Told, device: str) -> list[str]:
    """The thinnest run behind a device, and the thinnest in the traction circuit, if another.

    Of those whose size is known; the one that stands least comes first.
    """
    guarded: list[tuple[float, str, str]] = []
    for run in told.all("run"):
        guard = told.fact(run, "device_name")
        area = told.number(run, "conducting_area")
        if guard is not None and guard.value == device and area is not None:
            guarded.append((area, run, told.word(run, "circuit")))
    traction = [one for one in guarded if one[2] == "traction"]
    return list(dict.fromkeys(min(some)[1] for some in (guarded, traction) if some))


def draw_clearing(told: Told) -> Block:
    """The chart, or what is missing for it."""
    device = main_device(told)
    if device is None:
        return missing(NAME, TITLE, "Not drawn. Missing: one fuse or breaker with the role main.")
    curve = curve_for(told.facts, device)
    if isinstance(curve, Found):
        keys = ", ".join(sorted(curve.missing or ())) or f"{device}.curve"
        return missing(NAME, TITLE, f"Not drawn. Missing: {keys}.")
    runs = conductors(told, device)
    if not runs:
        words = f"Not drawn. Missing: a cable run behind {device} with its size."
        return missing(NAME, TITLE, words)
    return _drawn(told, device, curve, runs)


def _drawn(told: Told, device: str, curve: Curve, runs: list[str]) -> Block:
    fault = told.number(runs[0], "fault_current_least") or told.number(device, "fault_current")
    peak = told.fact(device, "current_peak")
    most = max(curve.currents[-1], fault or 0.0) * 1.3
    least = curve.currents[0] * 0.5
    amps = [float(one) for one in np.geomspace(least, most, 120)]
    opens = [min(curve.opening(one), NEVER) for one in amps]
    stands = {run: [stands_for(told.facts, run, Found(one)).value for one in amps] for run in runs}
    with mpl.rc_context(style(NAME)):
        paper, axes = sheet(4.1)
        axes.set_xscale("log")
        axes.set_yscale("log")
        known = [(a, t) for a, t in zip(amps, opens, strict=True) if t < NEVER]
        axes.plot(
            [a for a, _ in known],
            [t for _, t in known],
            color=INK,
            linewidth=2.2,
            label=label(f"{device} opens", 30),
        )
        for (run, times), dashes in zip(stands.items(), ("--", "-."), strict=False):
            _conductor(axes, amps, times, run, dashes)
        for value, words, line in (
            (peak.value if peak else None, "peak", ":"),
            (fault, "least short circuit", "-"),
        ):
            if isinstance(value, float) and least < value < most:
                named = f"{words} {show(value, 'A', told.system, 3)}"
                axes.axvline(value, color=OVER, linewidth=1.4, linestyle=line, label=named)
        axes.set_ylim(1e-3, 1e6)
        axes.set_xlim(least, most)
        axes.xaxis.set_major_formatter(lambda value, _: f"{value:g}")
        axes.xaxis.set_minor_formatter(lambda value, _: f"{value:g}" if _led(value) else "")
        axes.yaxis.set_major_formatter(lambda value, _: f"{value:g}" if value < 2e4 else "")
        axes.grid(visible=True, color=GRID, linewidth=0.6)
        axes.set_xlabel("current, A")
        axes.set_ylabel("time, s")
        axes.legend(loc="upper right", fontsize=8.5, frameon=False)
        picture = written(paper)
    note = _note(told, device, runs, amps, opens, stands[runs[0]])
    listed = zip(curve.currents, curve.times, strict=True)
    points = "; ".join(f"{a:.4g} A in {t:g} s" for a, t in listed)
    return figure(NAME, TITLE, picture, f"{note} {device} opens at {points}.", note)


def _led(value: float) -> bool:
    """Whether a number starts with 2 or 5, so that its name has room on the axis."""
    return f"{value:e}"[0] in "25"


def _note(
    told: Told,
    device: str,
    runs: list[str],
    amps: list[float],
    opens: list[float],
    stands: list[float],
) -> str:
    """What the picture shows, and at which currents the device is too slow up to 5 s."""
    own = told.word(device, "curve")
    basis = "its stated curve" if own else "the invented shape of its class: its datasheet decides"
    steps = zip(amps, opens, stands, strict=True)
    slower = [a for a, opened, stood in steps if opened > stood and stood <= _ADIABATIC]
    verdict = (
        f"Between {show(min(slower), 'A', told.system, 3)} and "
        f"{show(max(slower), 'A', told.system, 3)} the device is slower than "
        f"{runs[0]} stands."
        if slower
        else f"Up to 5 s the device opens before {runs[0]} is too hot, at every current drawn."
    )
    others = f"; {runs[1]}: the thinnest of the traction circuit" if runs[1:] else ""
    return (
        f"{device} by {basis}. {runs[0]}: the thinnest conductor behind it{others}. The thin end "
        f"of a line, above 5 s, leaves out that heat escapes; for long currents see the table of "
        f"cable runs. {verdict}"
    )


def _conductor(
    axes: Axes,
    amps: list[float],
    stands: list[float],
    run: str,
    dashes: str,
) -> None:
    """A conductor: a bold line up to 5 s, a thin one above."""
    short = [(a, t) for a, t in zip(amps, stands, strict=True) if t <= _ADIABATIC * 1.2]
    long = [(a, t) for a, t in zip(amps, stands, strict=True) if t >= _ADIABATIC]
    for some, width, named in ((short, 2.2, label(f"{run} stands", 30)), (long, 1.0, None)):
        axes.plot(
            [a for a, _ in some],
            [t for _, t in some],
            color=SOFT,
            linewidth=width,
            linestyle=dashes,
            label=named,
        )


__all__ = ["NAME", "conductors", "draw_clearing", "main_device"]
