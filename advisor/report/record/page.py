"""The record as one HTML file: nothing in it runs, and nothing is fetched."""

from __future__ import annotations

import jinja2
from markupsafe import Markup

from advisor.handoff.embedded import embedded
from advisor.handoff.evidence import evidence
from advisor.handoff.model import Review
from advisor.report.record.blocks import Record
from advisor.report.record.charts.paper import themed
from advisor.report.record.content import record_of
from advisor.report.record.signals import signals

_PAGES = jinja2.Environment(
    loader=jinja2.PackageLoader("advisor.report.record", "templates"),
    autoescape=True,
    undefined=jinja2.StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def _picture(svg: str) -> Markup:
    """A picture that this program drew, as an element of the page."""
    return Markup(themed(svg))


_PAGES.filters["picture"] = _picture


def page(template: str, **values: object) -> str:
    """A template of this package filled in; every text in it is escaped."""
    source = _PAGES.loader
    assert source is not None
    style = Markup(source.get_source(_PAGES, "record.css")[0])
    return _PAGES.get_template(template).render(style=style, signals=signals(), **values)


def record_html(review: Review, system: str, made: Record | None = None) -> str:
    """The record as HTML, with its evidence inside.

    `system` is `si` or `us`. `made` is what `record_of` gives for the same review, where another
    form of it was made before: the charts are drawn once.
    """
    proof = Markup(embedded(evidence(review)))
    return page("record.html.j2", record=made or record_of(review, system), evidence=proof)


__all__ = ["page", "record_html"]
