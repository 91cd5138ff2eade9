"""Proposed sizes of cables and devices as text."""

from __future__ import annotations

from advisor.findings.sizing import Sizing
from advisor.report.page import Page, table_rows
from advisor.report.sentences import CAUTIONS

_HEADS = ("part", "in the sheet", "smallest", "fits the rest", "why no smaller")


def render_sizing(sizing: Sizing, title: str, width: int) -> str:
    """The proposals as text, `width` columns wide."""
    page = Page(width)
    page.para(title)
    page.heading("Smallest standard sizes that meet every rule")
    rows = [_HEADS]
    for one in sizing.sizes:
        kept = one.fitting if one.changes else "as it is"
        rows.append((one.part, one.written or "-", one.smallest, kept, one.reason))
    for text in table_rows(rows, (0, 1, 2, 3, 4)):
        page.row(text)
    if sizing.undecided:
        page.heading("Not decided by a size")
        for part, words in sizing.undecided.items():
            page.para(f"{part}: {words}", label="-")
    if sizing.left:
        page.heading("What sizes do not mend")
        for left in sizing.left:
            page.para(f"{left.rule.title} ({left.rule.name}): {left.case}", label="-")
    page.heading("How to read this")
    for text in (
        "Smallest is not best: a larger cable runs cooler and loses less. Fits the rest keeps what "
        "the sheet has where that is large enough; it is what `--write NEW` puts into a new sheet. "
        "Where a length is missing, the voltage lost in the cable was not judged.",
        "Only current, temperature, drop, short circuits and protection are looked at. Voltage and "
        "interrupting rating of a device, strain, vibration and the terminals it fits are not.",
        *CAUTIONS,
    ):
        page.para(text)
        page.line()
    return page.text()
