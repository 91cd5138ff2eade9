"""Parts of a catalogue tried in a build, as text and as data."""

from __future__ import annotations

from typing import Any

from advisor.catalogue import Catalogue
from advisor.fixing.quickly import Risk
from advisor.fixing.replacing import Replacement, Replacements
from advisor.report.explanation import Lines
from advisor.report.fixing import named_checks, pairs
from advisor.report.sentences import CAUTIONS
from advisor.units import show

FORMAT = "conversion-advisor-replacements"
VERSION = "1.0"
_MOST = 20


def render_replacements(
    title: str, found: Replacements, catalogue: Catalogue, system: str, width: int
) -> str:
    """The replacements that leave less risk, what harms last, and the rows that were left out."""
    page = Lines(width, markdown=False)
    page.heading(f"Parts tried in: {title}")
    page.para(
        f"As it is: {_risk(found.before)}. {found.tried} builds were judged with "
        f"{len(catalogue.entries)} parts of the catalogue, singly and in pairs."
    )
    if not found.complete:
        page.para("The time was over before all were tried; --seconds gives more.")
    good = [one for one in found.found if not one.harms]
    bad = [one for one in found.found if one.harms]
    if not good:
        page.para("No part of the catalogue, nor two, leave less without breaking as much.")
    for heading, listed in (
        ("These leave less", good),
        ("These break something as bad; think twice", bad),
    ):
        if listed:
            page.heading(f"{heading} ({len(listed)})")
        for one in listed[:_MOST]:
            _replacement(page, one, system)
        if len(listed) > _MOST:
            page.para(f"and {len(listed) - _MOST} more")
    if catalogue.problems:
        page.heading(f"Left out of the catalogue ({len(catalogue.problems)})")
        for problem in catalogue.problems:
            page.para(str(problem), 0, bullet=True)
    page.heading("How to go on")
    page.para(
        "Least risk first, then fewest parts, price and mass. What belongs to the place of a part, "
        "such as its role and where it is connected, was kept, and so were the settings. Check "
        "size, plugs and mounting yourself, write the part into the sheet and screen it."
    )
    page.para(CAUTIONS[0])
    return page.text()


def _risk(risk: Risk) -> str:
    return f"{risk[0]} of high risk, {risk[1]} serious, {risk[2]} medium, open ones counted"


def _replacement(page: Lines, one: Replacement, system: str) -> None:
    words = [
        f"{choice.entry.title} ({choice.entry.id}) for {' and '.join(choice.slot)}"
        for choice in one.choices
    ]
    page.para("; ".join(words), 0, bullet=True)
    price = "price not known" if one.price is None else f"price {one.price}"
    mass = f", {show(one.mass, 'kg', system, 3)}" if one.mass else ""
    page.para(f"leaves {_risk(one.risk)}; {price}{mass}", 1)
    page.para(f"clears {named_checks(one.cleared)}", 1)
    if one.broken:
        page.para(f"BREAKS {named_checks(one.broken)}", 1)
    if one.opened:
        page.para(f"leaves open {named_checks(one.opened)}", 1)


def replacements_data(found: Replacements, catalogue: Catalogue) -> dict[str, Any]:
    """The same as data."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "before": list(found.before),
        "tried": found.tried,
        "complete": found.complete,
        "problems": [str(one) for one in catalogue.problems],
        "replacements": [
            {
                "parts": [
                    {"for": list(choice.slot), "id": choice.entry.id, "title": choice.entry.title}
                    for choice in one.choices
                ],
                "risk": list(one.risk),
                "harms": one.harms,
                "price": None if one.price is None else str(one.price),
                "mass": one.mass,
                "cleared": pairs(one.cleared),
                "broken": pairs(one.broken),
                "opened": pairs(one.opened),
            }
            for one in found.found
        ],
    }


__all__ = ["render_replacements", "replacements_data"]
