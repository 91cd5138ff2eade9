"""Chart: what is asked of each part as a share of what it may carry."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import matplotlib as mpl

from advisor.report.record.blocks import Block, figure, missing
from advisor.report.record.charts.paper import INK, bar, label, rows_on, sheet, style, written
from advisor.report.record.told import Told

NAME = "currents"
TITLE = "Currents asked for, as a share of what may flow"
_MOST_RUNS = 8
_MOST = 26
_END = 1.5
"""The axis ends here; a bar that reaches further has an arrow."""


@dataclass(frozen=True, slots=True)
class Demand:
    """A current (A) that is asked for, and its limit."""

    name: str
    asked: float
    limit: float
    assumed: bool

    @property
    def share(self) -> float:
        return self.asked / self.limit


_BATTERY = (
    ("battery, for long", "demand_continuous", "discharge_continuous"),
    ("battery, peak", "demand_peak", "discharge_peak"),
)
_PARTS = (
    ("fuse", "current_continuous", "rating"),
    ("breaker", "current_continuous", "rating"),
    ("disconnect", "current_carried", "current_rating"),
    ("contactor", "current_carried", "continuous_current"),
    ("key_switch", "current_carried", "current_rating"),
    ("bus_bar", "current_carried", "current_rating"),
    ("connector", "current_carried", "current_rating"),
    ("inlet", "current_carried", "current_rating"),
    ("converter", "load_continuous", "output_current"),
)


def demands(told: Told) -> list[Demand]:
    """Every known pair of demand and limit, the tightest first; of the cable runs a few."""
    found = list(_pairs(told))
    runs = [
        one
        for part in told.all("run")
        if (one := _pair(told, part, (part, "current_carried"), (part, "ampacity")))
    ]
    found += sorted(runs, key=lambda one: -one.share)[:_MOST_RUNS]
    return sorted(found, key=lambda one: (-one.share, one.name))


def _pairs(told: Told) -> Iterator[Demand]:
    for name, asked, limit in _BATTERY:
        if one := _pair(told, name, ("battery", asked), ("battery", limit)):
            yield one
    for part in told.all("charger"):
        for name, limit in (
            (f"{part} into battery", "charge_current_max"),
            (f"{part}, cold", "charge_current_max_cold"),
        ):
            if one := _pair(told, name, (part, "current_max"), ("battery", limit)):
                yield one
    for part in told.all("controller"):
        pair = _pair(
            told,
            f"{part}, braking into battery",
            (part, "regen_current_max"),
            ("battery", "regen_current_allowed"),
        )
        if pair and told.yes(part, "regen_enabled") is not False:
            yield pair
    for subject, asked, limit in _PARTS:
        for part in told.all(subject):
            if one := _pair(told, part, (part, asked), (part, limit)):
                yield one


def _pair(told: Told, name: str, asked: tuple[str, str], limit: tuple[str, str]) -> Demand | None:
    first, second = told.fact(*asked), told.fact(*limit)
    if first is None or second is None:
        return None
    if not isinstance(first.value, float) or not isinstance(second.value, float):
        return None
    if second.value <= 0 or first.value < 5e-4:
        return None
    return Demand(name, first.value, second.value, first.assumed or second.assumed)


def draw_currents(told: Told) -> Block:
    """The chart, or what is missing for it."""
    everything = _alike(demands(told))
    found = everything[:_MOST]
    if not found:
        return missing(NAME, TITLE, "Not drawn. Missing: any current together with its limit.")
    with mpl.rc_context(style(NAME)):
        paper, axes = sheet(0.8 + 0.25 * len(found))
        for row, one in enumerate(found):
            over = one.share > 1 + 1e-9
            words = f"{one.asked:.3g} of {one.limit:.4g} A" + (" *" if one.assumed else "")
            words += f", {one.share * 100:.0f} %" + (" OVER" if over else "")
            length = min(one.share, _END)
            bar(axes, row, length, label(words, 44), over=over, at=max(1.0, length))
        axes.axvline(1.0, color=INK, linewidth=2.2)
        axes.set_xlim(0, max(1.0, *(min(one.share, _END) for one in found)) + 1.2)
        axes.set_xticks([0, 0.5, 1.0], ["0", "50", "100 %"])
        rows_on(axes, [one.name for one in found])
        axes.set_xlabel("share of the limit (bold line)")
        picture = written(paper)
    return figure(NAME, TITLE, picture, _alt(found), _note(len(everything) - len(found)))


def _alike(found: list[Demand]) -> list[Demand]:
    """Demands with the same current and limit as one."""
    groups: dict[tuple[float, float, bool], list[Demand]] = {}
    for one in found:
        groups.setdefault((round(one.asked, 2), one.limit, one.assumed), []).append(one)
    return [
        first if not others else replace(first, name=f"{first.name} + {len(others)} alike")
        for first, *others in groups.values()
    ]


def _note(left: int) -> str:
    more = f" {left} more are further from their limits." if left > 0 else ""
    return (
        "Each line: what is asked for, of what may flow. A hatched bar past the bold line is over "
        f"the limit. *: on an assumption.{more}"
    )


def _alt(found: list[Demand]) -> str:
    lines = [f"{one.name} {one.asked:.3g} A of {one.limit:.4g} A" for one in found]
    over = [one.name for one in found if one.share > 1 + 1e-9]
    end = f"Over the limit: {', '.join(over)}." if over else "None is over its limit."
    return f"{'; '.join(lines)}. {end}"


__all__ = ["NAME", "Demand", "demands", "draw_currents"]
