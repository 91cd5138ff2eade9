"""The commissioning guide as one page: to print and fill in, and to read on a phone.

Needs jinja2 (the extra `report`). Everything is in the one file; there is no script in it.
"""

from __future__ import annotations

from pathlib import Path

from jinja2 import Environment, FileSystemLoader, StrictUndefined

from advisor.commissioning.guide import Guide, Phase, Standing
from advisor.report.commissioning import (
    NOTE,
    Wanted,
    about_reading,
    headline,
    numbered,
    said_text,
    with_what,
)
from advisor.report.page import plain
from advisor.report.sentences import CAUTIONS

_TEMPLATES = Path(__file__).parent / "templates"


def render_page(guide: Guide, wanted: Wanted) -> str:
    """The page. Every text is escaped."""
    environment = Environment(
        loader=FileSystemLoader(_TEMPLATES),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    order = list(Phase)
    phases = [
        {"number": order.index(phase) + 1, "name": str(phase).capitalize(), "steps": steps}
        for phase, steps in numbered(guide, wanted)
    ]
    return environment.get_template("commissioning.html").render(
        title=plain(guide.title),
        warning=guide.warning,
        summary=headline(guide),
        note=NOTE,
        cautions=(*guide.cautions, *CAUTIONS),
        phases=phases,
        with_what=with_what,
        about_reading=about_reading,
        said_text=said_text,
        ticked=lambda step: step.standing is Standing.DONE,
        unknown=[one.text for one in guide.unknown],
    )


__all__ = ["render_page"]
