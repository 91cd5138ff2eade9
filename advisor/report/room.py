"""How far values may move before a verdict flips, and what stands between two parts."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from advisor.engine import Judgement
from advisor.explain.between import Between
from advisor.explain.sensitivity import FARTHEST, Flip, Room, Sensitivity
from advisor.explain.turning import Turn
from advisor.facts.origins import Key
from advisor.findings.risk import level_of
from advisor.findings.wording import fact_text
from advisor.report.explanation import VERDICTS, Lines
from advisor.report.explanation_data import FORMAT, VERSION
from advisor.report.sentences import CAUTIONS
from advisor.rules.values import Verdict
from advisor.units import show

_ANSWERS = (
    ("violated", "Wrong between them"),
    ("undetermined", "Still open"),
    ("assumed", "Right, but on an assumption"),
    ("satisfied", "Right"),
    ("later", "To be decided at a later stage"),
)


def add_room(page: Lines, found: Sensitivity, system: str) -> None:
    """The part of an explanation about values that would flip the verdict."""
    page.heading("What would change the verdict")
    for one in found.rooms:
        page.para(_words(one, system), 0, bullet=True)
    for alike in _grouped(found.turns):
        page.para(_turned(alike, system), 0, bullet=True)
    if not found.looked_at and not found.left_out:
        page.para("It reads no value that could be another one.")
    elif not found.rooms and not found.turns:
        page.para(
            f"No single value flips it: no number moved by up to {FARTHEST:.0%} either way, and no "
            "other answer."
        )
    elif found.looked_at:
        page.para(f"Each alone, a number moved by up to {FARTHEST:.0%}; both sides were judged.")
    if found.left_out:
        names = ", ".join(f"{part}.{name}" for part, name in found.left_out[:8])
        more = " and others" if len(found.left_out) > 8 else ""
        page.para(f"There was no time to look at {names}{more}.")


def _words(one: Room, system: str) -> str:
    fact = one.fact
    unit = fact.attribute.unit
    assert isinstance(fact.value, float)
    now = show(fact.value, unit, system, 4)
    name = f"{fact.instance}.{fact.attribute.name}"
    sides = [
        f"{way} to {show(flip.beyond, unit, system, 4)} it {VERDICTS[str(flip.becomes)]}"
        for flip, way in ((one.down, "down"), (one.up, "up"))
        if flip is not None
    ]
    return f"{name} is {now}; {', and '.join(sides)}"


def _grouped(turns: Iterable[Turn]) -> list[list[Turn]]:
    """The turns of one value to one verdict together."""
    found: dict[tuple[Key, Verdict], list[Turn]] = {}
    for one in turns:
        found.setdefault((one.fact.key, one.becomes), []).append(one)
    return list(found.values())


def _turned(alike: list[Turn], system: str) -> str:
    fact = alike[0].fact
    then = VERDICTS[str(alike[0].becomes)]
    if fact.attribute.name == "present" and fact.value is True:
        return f"{fact.instance} is fitted; without it, it {then}"
    was, *to = (
        fact_text(one, system) for one in (fact, *(replace(fact, value=two.to) for two in alike))
    )
    name = f"{fact.instance}.{fact.attribute.name}"
    return f"{name} is {was}; were it {' or '.join(to)}, it {then}"


def room_data(found: Sensitivity) -> dict[str, Any]:
    """The same as data, SI."""
    return {
        "looked_at": found.looked_at,
        "left_out": [f"{part}.{name}" for part, name in found.left_out],
        "values": [
            {
                "key": f"{one.fact.instance}.{one.fact.attribute.name}",
                "now": one.fact.value,
                "down": _flip(one.down),
                "up": _flip(one.up),
            }
            for one in found.rooms
        ],
        "turns": [
            {
                "key": f"{one.fact.instance}.{one.fact.attribute.name}",
                "now": one.fact.value,
                "to": one.to,
                "becomes": str(one.becomes),
            }
            for one in found.turns
        ],
    }


def _flip(one: Flip | None) -> dict[str, Any] | None:
    if one is None:
        return None
    return {"last": one.last, "beyond": one.beyond, "becomes": str(one.becomes)}


def render_between(found: Between, width: int, *, markdown: bool) -> str:
    """Whether two parts can be used together, and every check that touches both."""
    page = Lines(width, markdown=markdown)
    page.heading(f"{found.first} and {found.second} together")
    page.para(found.answer)
    for kind, words in _ANSWERS:
        listed: tuple[Judgement, ...] = getattr(found, kind)
        if listed:
            page.heading(f"{words} ({len(listed)})")
        for one in listed:
            risk = "notice" if one.rule.notice else f"{level_of(one.rule).word} risk"
            page.para(f"{one.rule.title} ({one.rule.name}, {one.case}; {risk})", 0, bullet=True)
            if kind == "undetermined" and one.missing:
                page.para(f"would need {', '.join(sorted(one.missing))}", 1)
    page.para("Each can be asked for: advisor explain SHEET RULE --about PART.")
    page.para(CAUTIONS[0])
    return page.text()


def between_data(found: Between) -> dict[str, Any]:
    """The same as data."""
    lists = {
        kind: [
            {
                "rule": one.rule.name,
                "about": one.case,
                "title": one.rule.title,
                "margin": one.margin,
                "missing": sorted(one.missing),
            }
            for one in getattr(found, kind)
        ]
        for kind, _ in _ANSWERS
    }
    parts = [found.first, found.second]
    return {"format": FORMAT, "version": VERSION, "between": parts, "answer": found.answer, **lists}
