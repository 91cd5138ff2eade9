"""The record of a handoff: one HTML file, one PDF, and labels to print and cut.

It needs the extra `report` (jinja2, typst, matplotlib).

    made = record_of(review, "us")
    text = record_html(review, "us", made)
    pages = record_pdf(review, "us", made)
"""

from __future__ import annotations

from advisor.report.record.content import record_of
from advisor.report.record.labels import labels_html, labels_pdf
from advisor.report.record.page import record_html
from advisor.report.record.paper import record_pdf

__all__ = ["labels_html", "labels_pdf", "record_html", "record_of", "record_pdf"]
