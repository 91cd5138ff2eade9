"""For the technician: what was found and how it stands, and what readings have closed."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.facts.origins import Fact, Measured
from advisor.findings.report_model import Finding, Passed, Screening
from advisor.findings.risk import Level
from advisor.findings.wording import fact_text, part_text
from advisor.handoff.closing import how_text
from advisor.handoff.model import Review
from advisor.report.record.blocks import Block, notice, table, text
from advisor.report.sentences import CONSULT, source_text


def findings(review: Review) -> list[Block]:
    """Every finding with its signal word, its sources, and how it stands now; a rule once."""
    by_rule: dict[str, list[Finding]] = {}
    for one in review.screening.findings:
        for each in (one, *one.follows):
            by_rule.setdefault(each.rule.name, []).append(each)
    blocks = [_finding(some, review) for some in by_rule.values()]
    if not blocks:
        blocks.append(text("No check came out as violated."))
    rows = [
        (f"{one.number}", one.rule.title, one.part, one.text) for one in review.screening.notices
    ]
    if rows:
        blocks.append(table("Good to know", ("Number", "What", "Part", "Details"), rows))
    return blocks


def earlier(review: Review) -> list[Block]:
    """What was found on earlier sheets of the vehicle, and how each finding was closed."""
    if not review.earlier:
        return [text("No earlier sheet of the vehicle was given.")]
    if not review.closed:
        return [text("Every finding of the earlier sheets is still one, or there was none.")]
    rows = [
        (
            one.rule,
            one.part,
            one.level.word,
            one.text,
            how_text(one),
        )
        for one in review.closed
    ]
    heads = ("Rule", "Part", "Level", "What was found", "How it was closed")
    sheets = ", ".join(f"{one.title or one.file} ({one.fingerprint})" for one in review.earlier)
    return [table("Earlier findings", heads, rows, f"Earlier sheets: {sheets}.")]


def _finding(some: list[Finding], review: Review) -> Block:
    """The findings of one rule."""
    first, *others = some
    rule = first.rule
    numbers = ", ".join(str(one.number) for one in some)
    lines = [f"{one.number}, {one.part}: {one.text}" for one in others]
    lines.append(f"Why: {rule.because}")
    fixes = dict.fromkeys(fix for one in some for fix in one.fixes)
    lines += [f"{'Or' if n else 'Do'}: {fix}" for n, fix in enumerate(fixes)]
    if rule.no_fix:
        lines.append(f"Do: {rule.no_fix}")
    assumed = dict.fromkeys(name for one in some for name in sorted(_names(one)))
    if any(one.judgement.on_assumption for one in some):
        lines.append(f"Rests on assumptions: {', '.join(assumed)}.")
    if rule.wrong_when:
        lines.append(f"Wrong when: {rule.wrong_when}")
    if consult := CONSULT.get(rule.consult):
        lines.append(f"Ask: {consult}")
    lines += dict.fromkeys(f"Also: {other.text}" for one in some for other in one.milder)
    lines.append(source_text(rule))
    states = {one.number: state(one, review) for one in some}
    if len(set(states.values())) == 1:
        lines.append(f"State: {states[first.number]}.")
    else:
        lines += [f"State of {number}: {words}." for number, words in states.items()]
    title = f"{numbers}. {rule.title} ({first.level.word} risk)"
    words = f"{first.part}: {first.text} [{rule.name}]"
    return notice(first.signal, title, words, lines)


def _names(one: Finding) -> Iterator[str]:
    for fact in one.rests_on:
        yield f"{fact.instance}.{fact.attribute.name}"


def state(one: Finding, review: Review) -> str:
    """How a finding stands at this review: accepted by whom, in the way, or a condition."""
    for other in review.conditions:
        if (other.rule, other.part) == (one.rule.name, one.part) and other.acceptance is not None:
            given = other.acceptance
            return f"accepted by {given.who} on {given.date}: {given.reason.rstrip('.')}"
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


__all__ = ["closed", "findings", "state"]
