"""For the technician: what was found and how it stands, what is open, who accepted what."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.facts.origins import Fact, Measured
from advisor.findings.report_model import Finding, Passed, Screening
from advisor.findings.risk import Level
from advisor.findings.wording import fact_text, part_text
from advisor.handoff.model import Condition, Obstacle, Review
from advisor.report.record.blocks import Block, notice, table, text
from advisor.report.record.outcome import KINDS
from advisor.report.sentences import CONSULT, source_text

_HEADS = ("Rule and part", "Level", "Why it stands here", "What", "What settles it")


def obstacles(review: Review) -> list[Block]:
    """Everything in the way, the worst first."""
    if not review.obstacles:
        return [text("Nothing stands in the way.")]
    return [table("In the way", _HEADS, [_row(one) for one in review.obstacles])]


def conditions(review: Review) -> list[Block]:
    """Everything to know, watch or do; accepted risks have a table of their own."""
    rows = [_row(one) for one in review.conditions if one.acceptance is None]
    return [table("Conditions", _HEADS, rows)] if rows else [text("There are no open conditions.")]


def _row(one: Obstacle | Condition) -> tuple[str, ...]:
    number = f", finding {one.number}" if one.number else ""
    return (f"{one.rule} on {one.part}{number}", one.level.word, KINDS.get(one.kind, one.kind),
            one.text, one.ask or "-")  # fmt: skip


def accepted(review: Review) -> list[Block]:
    """Accepted risks with name, date and reason."""
    rows = [
        (one.rule, one.about or "every part", one.who, one.date, one.reason)
        for one in review.acceptances
    ]
    if not rows:
        return [text("Nobody accepted a risk.")]
    heads = ("Rule", "Part", "Who", "Date", "Reason")
    return [table("Accepted risks", heads, rows, "A risk that is accepted is still there.")]


def findings(review: Review) -> list[Block]:
    """Every finding with its signal word, its sources, and how it stands now."""
    blocks: list[Block] = []
    for one in review.screening.findings:
        blocks.append(_finding(one, review))
        blocks += [_finding(other, review) for other in one.follows]
    if not blocks:
        blocks.append(text("No check came out as violated."))
    rows = [(f"{one.number}", one.rule.title, one.part, one.text)
            for one in review.screening.notices]  # fmt: skip
    if rows:
        blocks.append(table("Good to know", ("Number", "What", "Part", "Details"), rows))
    return blocks


def _finding(one: Finding, review: Review) -> Block:
    title = f"{one.number}. {one.rule.title} ({one.level.word} risk)"
    lines = [f"Why: {one.rule.because}"]
    lines += [f"{'Or' if n else 'Do'}: {fix}" for n, fix in enumerate(one.fixes)]
    if one.rule.no_fix:
        lines.append(f"Do: {one.rule.no_fix}")
    if one.judgement.on_assumption:
        lines.append(f"It rests on assumptions: {', '.join(sorted(_names(one)))}.")
    if one.rule.wrong_when:
        lines.append(f"It would be wrong when {one.rule.wrong_when}")
    if consult := CONSULT.get(one.rule.consult):
        lines.append(f"Ask: {consult}")
    lines += [f"Also: {other.text}" for other in one.milder]
    lines += [source_text(one.rule), f"State: {state(one, review)}"]
    words = f"{one.text} [{one.rule.name} on {one.part}]"
    return notice(one.signal, title, words, lines)


def _names(one: Finding) -> Iterator[str]:
    for fact in one.rests_on:
        yield f"{fact.instance}.{fact.attribute.name}"


def state(one: Finding, review: Review) -> str:
    """How a finding stands at this review: accepted by whom, in the way, or a condition."""
    for other in review.conditions:
        if (other.rule, other.part) == (one.rule.name, one.part) and other.acceptance is not None:
            given = other.acceptance
            return f"accepted by {given.who} on {given.date}: {given.reason}"
    if any((other.rule, other.part) == (one.rule.name, one.part) for other in review.obstacles):
        return "open, and in the way of the handoff"
    return "open, a condition of the handoff" if one.level > Level.NOTICE else "for information"


def closed(screening: Screening, system: str) -> list[Block]:
    """Checks that a reading on the vehicle settled: with what value."""
    rows = [
        (f"{one.judgement.rule.name} on {one.part}", one.level.word, values)
        for one in screening.passed
        if (values := "; ".join(_measured(one, screening, system)))
    ]
    if not rows:
        return [text("No check rests on a reading yet.")]
    heads = ("Check and part", "Level of its risk", "Closed by the reading")
    return [table("Checks that a reading closed", heads, rows)]


def _measured(one: Passed, screening: Screening, system: str) -> Iterator[str]:
    for fact in one.names.values():
        if isinstance(fact, Fact) and isinstance(fact.origin, Measured):
            about = ", ".join(part for part in (fact.origin.time, fact.origin.who) if part)
            words = f"{part_text(screening.facts, fact.instance)}, {fact.attribute.meaning}: "
            yield words + fact_text(fact, system) + (f" ({about})" if about else "")


__all__ = ["accepted", "closed", "conditions", "findings", "obstacles", "state"]
