"""Chart: how far the checks are from their limits, the tightest ones."""

from __future__ import annotations

from dataclasses import dataclass

import matplotlib as mpl

from advisor.findings.report_model import Screening
from advisor.findings.wording import part_text
from advisor.report.record.blocks import Block, figure, missing
from advisor.report.record.charts.paper import INK, bar, label, rows_on, sheet, style, written
from advisor.rules.values import Verdict

NAME = "margins"
TITLE = "Margins of the checks, the tightest of each rule"
_MOST = 24
_END = 1.0


@dataclass(frozen=True, slots=True)
class Margin:
    """How far a check is from its limit, as a share of it; below zero it is violated."""

    rule: str
    part: str
    share: float
    assumed: bool


def margins(screening: Screening) -> tuple[list[Margin], int]:
    """The tightest check of each rule that has a number, and how many checks have one in all."""
    tightest: dict[str, Margin] = {}
    number = 0
    for one in screening.judgements:
        if one.margin is None or one.rule.notice:
            continue
        if one.verdict not in (Verdict.VIOLATED, Verdict.SATISFIED):
            continue
        number += 1
        part = part_text(screening.facts, one.case)
        size = abs(one.margin)
        found = Margin(
            one.rule.name,
            part,
            -size if one.verdict is Verdict.VIOLATED else size,
            one.on_assumption,
        )
        kept = tightest.get(found.rule)
        if kept is None or found.share < kept.share:
            tightest[found.rule] = found
    listed = sorted(tightest.values(), key=lambda one: (one.share, one.rule))
    return listed, number


def draw_margins(screening: Screening) -> Block:
    """The chart, or what is missing for it."""
    listed, number = margins(screening)
    found = listed[:_MOST]
    if not found:
        return missing(NAME, TITLE, "Not drawn. Missing: a check that compares two numbers.")
    with mpl.rc_context(style(NAME)):
        paper, axes = sheet(0.9 + 0.25 * len(found))
        for row, one in enumerate(found):
            shown = max(-_END, min(one.share, _END))
            words = _share(one.share) + (" *" if one.assumed else "")
            bar(axes, row, shown, words, over=one.share < 0, at=max(shown, 0.0))
        axes.axvline(0.0, color=INK, linewidth=2.2)
        least = min(0.0, *(max(one.share, -_END) for one in found))
        most = max(0.1, *(min(one.share, _END) for one in found))
        axes.set_xlim(least * 1.05, most + (most - least) * 0.28)
        axes.xaxis.set_major_formatter(lambda value, _: f"{value * 100:.0f} %")
        rows_on(axes, [f"{label(one.rule, 38)}" for one in found])
        axes.set_xlabel("distance from the limit")
        picture = written(paper)
    return figure(NAME, TITLE, picture, _alt(found, number), _note(number, len(listed)))


def _note(number: int, rules: int) -> str:
    more = f" {rules - _MOST} more rules are further away." if rules > _MOST else ""
    return (
        f"{number} checks compare numbers. A hatched bar to the left is violated by so much of its "
        f"limit. *: on an assumption.{more}"
    )


def _share(share: float) -> str:
    """A margin in percent; where the limit is nothing, a share of it says nothing."""
    return f"{share * 100:+.0f} %" if abs(share) < 10 else "-1000 % or more"


def _alt(found: list[Margin], number: int) -> str:
    lines = [f"{one.rule} on {one.part} {_share(one.share)}" for one in found]
    return f"Of {number} checks with numbers, the tightest: {'; '.join(lines)}."


__all__ = ["NAME", "Margin", "draw_margins", "margins"]
