"""The charts of a record, each as a block: a picture with its words, or what is missing for it."""

from __future__ import annotations

from advisor.findings.report_model import Screening
from advisor.report.record.blocks import Block
from advisor.report.record.charts.clearing import draw_clearing
from advisor.report.record.charts.currents import draw_currents
from advisor.report.record.charts.margins import draw_margins
from advisor.report.record.charts.ranges import draw_ranges
from advisor.report.record.charts.windows import draw_windows
from advisor.report.record.told import Told

__all__ = ["all_charts"]


def all_charts(screening: Screening, told: Told) -> dict[str, Block]:
    """Every chart by its name."""
    blocks = (
        draw_windows(told),
        draw_currents(told),
        draw_margins(screening),
        draw_ranges(told),
        draw_clearing(told),
    )
    return {one.name: one for one in blocks}
