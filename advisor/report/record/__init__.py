"""The record of a handoff: one HTML file, one PDF, and labels to print and cut.

It needs the extra `report` (jinja2, typst, matplotlib).

    text = record_html(review, "us")
"""

from __future__ import annotations

from advisor.report.record.page import record_html

__all__ = ["record_html"]
