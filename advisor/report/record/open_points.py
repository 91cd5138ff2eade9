"""For the technician: what is in the way, what is open, who accepted what."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.handoff.model import Condition, Obstacle, Review, gathered
from advisor.report.record.blocks import Block, table, text
from advisor.report.record.outcome import KINDS

_HEADS = ("Rule", "Parts", "Level", "State", "What", "What settles it")
_FIND = "Find out: "


def obstacles(review: Review) -> list[Block]:
    """Everything in the way, the worst first."""
    if not review.obstacles:
        return [text("Nothing stands in the way.")]
    return [table("In the way", _HEADS, _grouped(review.obstacles, review))]


def conditions(review: Review) -> list[Block]:
    """Everything to know, watch or do; accepted risks have a table of their own."""
    others = [one for one in review.conditions if one.acceptance is None]
    rows = _grouped((one for one in others if one.kind != "step"), review)
    blocks = [table("Conditions", _HEADS, rows)] if rows else []
    steps = [one.rule for one in others if one.kind == "step"]
    if steps:
        words = "1 test was" if len(steps) == 1 else f"{len(steps)} tests were"
        blocks.append(
            text(
                f"{words} not done. `advisor commission SHEET` says how; what is expected stands "
                f"with the readings: {', '.join(steps)}."
            )
        )
    return blocks or [text("There are no open conditions.")]


def _grouped(listed: Iterable[Obstacle | Condition], review: Review) -> list[tuple[str, ...]]:
    """A row for each thing to do; parts of which a rule says the same share one.

    What several rules wait for stands first, in one row. What is a finding has its title here; its
    numbers and fixes stand with the findings.
    """
    titles = {one.number: one.rule.title for one in review.screening.all_findings()}
    listed = list(listed)
    rules: dict[str, set[str]] = {}
    for one in listed:
        if one.kind == "undecided":
            rules.setdefault(one.ask, set()).add(one.rule)
    shared = [one for one in listed if len(rules.get(one.ask, ())) > 1 and one.kind == "undecided"]
    rows: list[tuple[str, ...]] = [
        (one.rule, ", ".join(parts), one.level.word, KINDS[one.kind], one.text, _asked([one.ask]))
        for one, parts in gathered(shared)
    ]
    groups: dict[tuple[str, str, str], list[Obstacle | Condition]] = {}
    for one in listed:
        if one not in shared:
            words = f"{titles[one.number]}." if one.number in titles else one.text
            groups.setdefault((one.rule, one.kind, words), []).append(one)
    for (rule, kind, words), some in groups.items():
        parts = [f"{one.part} (finding {one.number})" if one.number else one.part for one in some]
        found = len(some) > 1 and any(one.number for one in some)
        settles = "See the findings of these numbers." if found else _asked(one.ask for one in some)
        level = max(one.level for one in some).word
        named = ", ".join(dict.fromkeys(parts))
        rows.append((rule, named, level, KINDS.get(kind, kind), words, settles))
    return rows


def _asked(asks: Iterable[str]) -> str:
    """What settles some things; a question that many parts share stands once."""
    whole: dict[str, None] = {}
    shared: dict[str, list[str]] = {}
    for ask in dict.fromkeys(asks):
        if not ask.startswith(_FIND):
            whole.setdefault(ask)
            continue
        for one in ask.removeprefix(_FIND).rstrip(".").split("; "):
            part, colon, question = one.partition(": ")
            shared.setdefault(question if colon else part, []).append(part if colon else "")
    for question, parts in shared.items():
        of = [one for one in dict.fromkeys(parts) if one]
        many = (
            f", of each ({len(of)} parts)" if len(of) > 2 else f" ({', '.join(of)})" if of else ""
        )
        whole.setdefault(f"Find out: {question}{many}.")
    return " ".join(one for one in whole if one) or "-"


def accepted(review: Review) -> list[Block]:
    """Accepted risks with name, date and reason."""
    rows: list[tuple[str, ...]] = [
        (one.rule, one.about or "every part", one.who, one.date, one.reason)
        for one in review.acceptances
    ]
    if not rows:
        return [text("Nobody accepted a risk.")]
    heads = ("Rule", "Part", "Who", "Date", "Reason")
    return [table("By whom, when and why", heads, rows, "A risk that is accepted is still there.")]


__all__ = ["accepted", "conditions", "obstacles"]
