"""Chart: how fast the main device opens, against how long its thinnest conductor stands it."""

from __future__ import annotations

from dataclasses import dataclass

import matplotlib as mpl
import numpy as np
from matplotlib.axes import Axes

from advisor.report.record.blocks import Block, figure, missing
from advisor.report.record.charts.paper import INK, OVER, SOFT, label, sheet, style, written
from advisor.report.record.told import Told
from advisor.wiring.clearing import NEVER, Curve, curve_for, stands_for
from advisor.wiring.found import Found

NAME = "clearing"
TITLE = "Time-current curve of the main device against its conductor"
_ADIABATIC = 5.0
"""Seconds up to which no heat leaves the metal; longer times are on the safe side. IEC 60364-4-43."""


@dataclass(frozen=True, slots=True)
class Pair:
    """A device with its curve, and the conductor behind it that stands least."""

    device: str
    curve: Curve
    run: str
    assumed: bool


def main_device(told: Told) -> str | None:
    """The one fuse or breaker in the main path, or None."""
    devices = [*told.all("fuse"), *told.all("breaker")]
    marked = [one for one in devices if told.facts.fact(one, "role") and _role(told, one) == "main"]
    return marked[0] if len(marked) == 1 else None


def _role(told: Told, part: str) -> str:
    found = told.fact(part, "role")
    return str(found.value) if found else ""


def thinnest(told: Told, device: str) -> str | None:
    """The run behind a device with the smallest conductor, of those whose size is known."""
    guarded = []
    for run in told.all("run"):
        guard = told.fact(run, "device_name")
        area = told.fact(run, "conducting_area")
        if guard is not None and guard.value == device and area is not None:
            guarded.append((float(area.value), run))
    return min(guarded)[1] if guarded else None


def draw_clearing(told: Told) -> Block:
    """The chart, or what is missing for it."""
    device = main_device(told)
    if device is None:
        return missing(NAME, TITLE, "Not drawn. Missing: one fuse or breaker with the role main.")
    curve = curve_for(told.facts, device)
    if isinstance(curve, Found):
        keys = ", ".join(sorted(curve.missing or ())) or f"{device}.curve"
        return missing(NAME, TITLE, f"Not drawn. Missing: {keys}.")
    run = thinnest(told, device)
    if run is None:
        words = f"Not drawn. Missing: a cable run behind {device} with its size."
        return missing(NAME, TITLE, words)
    return _drawn(told, device, curve, run)


def _drawn(told: Told, device: str, curve: Curve, run: str) -> Block:
    fault = told.number(run, "fault_current_least") or told.number(device, "fault_current")
    peak = told.fact(device, "current_peak")
    most = max(curve.currents[-1], fault or 0.0) * 1.3
    least = curve.currents[0] * 0.5
    amps = np.geomspace(least, most, 120)
    opens = [min(curve.opening(float(one)), NEVER) for one in amps]
    stands = [stands_for(told.facts, run, Found(float(one))).value for one in amps]
    known = [(float(a), t) for a, t in zip(amps, opens, strict=True) if t < NEVER]
    slower = [a for a, t, s in zip(amps, opens, stands, strict=True) if t > s and s <= _ADIABATIC]
    with mpl.rc_context(style(NAME)):
        paper, axes = sheet(3.9)
        axes.set_xscale("log")
        axes.set_yscale("log")
        axes.plot([a for a, _ in known], [t for _, t in known], color=INK, linewidth=2.2,
                  label=label(f"{device} opens", 30))  # fmt: skip
        _conductor(axes, amps, stands, run)
        for value, words, line in ((peak.value if peak else None, "peak", ":"),
                                   (fault, "least short circuit", "-.")):  # fmt: skip
            if isinstance(value, float) and least < value < most:
                axes.axvline(value, color=OVER, linewidth=1.4, linestyle=line,
                             label=f"{words} {value:.3g} A")  # fmt: skip
        axes.set_ylim(1e-3, 2e4)
        axes.set_xlim(least, most)
        axes.xaxis.set_major_formatter(lambda value, _: f"{value:g}")
        axes.yaxis.set_major_formatter(lambda value, _: f"{value:g}")
        axes.grid(visible=True, color="#cccccc", linewidth=0.6)
        axes.set_xlabel("current, A")
        axes.set_ylabel("time, s")
        axes.legend(loc="upper right", fontsize=8.5, frameon=False)
        picture = written(paper)
    stated = told.word(device, "curve")
    basis = (
        "its stated curve" if stated else "the invented shape of its class; its datasheet decides"
    )
    verdict = (
        f"Between {min(slower):.3g} and {max(slower):.3g} A the device is slower than the "
        "conductor stands." if slower
        else "Up to 5 s the device opens before the conductor is too hot, at every current drawn."
    )  # fmt: skip
    words = (f"{device} by {basis}. Conductor: {run}, the thinnest behind it; below 5 s without "
             f"heat leaving the metal. {verdict}")  # fmt: skip
    points = "; ".join(f"{a:.3g} A in {t:.3g} s" for a, t in zip(curve.currents, curve.times,
                                                                strict=True))  # fmt: skip
    return figure(NAME, TITLE, picture, f"{words} The device opens at {points}.")


def _conductor(axes: Axes, amps: np.ndarray, stands: list[float], run: str) -> None:
    short = [(a, t) for a, t in zip(amps, stands, strict=True) if t <= _ADIABATIC * 1.2]
    long = [(a, t) for a, t in zip(amps, stands, strict=True) if t >= _ADIABATIC]
    axes.plot([a for a, _ in short], [t for _, t in short], color=SOFT, linewidth=2.2,
              linestyle="--", label=label(f"{run} stands", 30))  # fmt: skip
    axes.plot([a for a, _ in long], [t for _, t in long], color=SOFT, linewidth=1.0,
              linestyle="--")  # fmt: skip


__all__ = ["NAME", "draw_clearing", "main_device", "thinnest"]
