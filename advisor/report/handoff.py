"""The review before handoff as text and as JSON data, and a record that is verified later."""

from __future__ import annotations

from collections import Counter
from typing import Any

from advisor.acceptance import Acceptance
from advisor.commissioning.guide import Standing, Step
from advisor.findings.risk import Level
from advisor.handoff.closing import how_text
from advisor.handoff.evidence import evidence
from advisor.handoff.model import Condition, Obstacle, Outcome, Review, gathered
from advisor.handoff.verifying import Verification
from advisor.report.page import Page
from advisor.report.sentences import CAUTIONS

OUTCOME_WORDS = {
    Outcome.READY: "READY: nothing found that stands in the way.",
    Outcome.CONDITIONS: "READY WITH CONDITIONS: the new owner has to know what stands below.",
    Outcome.NOT_READY: "NOT READY: do not hand it over.",
}
OBSTACLE_WORDS = {
    "risk": "Mend these",
    "undecided": "Find these out",
    "assumed": "State these: they hold only because something was assumed",
}
CONDITION_WORDS = {
    "accepted": "Accepted by name",
    "risk": "Milder risks that stay",
    "undecided": "Milder checks that nobody decided",
    "step": "Steps that were not done",
}


def render_review(review: Review, width: int) -> str:
    """The review as text; it never says safe."""
    page = Page(width)
    build = review.build
    page.para(build.title or build.file)
    page.para(f"{build.file}, review before handoff")
    page.line()
    page.para(OUTCOME_WORDS[review.outcome])
    page.line()
    for number, words in _numbers(review):
        page.para(words, 2, f"{number:4d}")
    for kind, words in OBSTACLE_WORDS.items():
        found = [one for one in review.obstacles if one.kind == kind]
        if found:
            page.heading(f"{words} ({len(found)})")
            for obstacle, parts in gathered(found):
                _item(page, obstacle, parts)
    for kind, words in CONDITION_WORDS.items():
        conditions = [one for one in review.conditions if one.kind == kind]
        if conditions:
            page.heading(f"{words} ({len(conditions)})")
            for condition, parts in gathered(conditions):
                _item(page, condition, parts)
    _closed(page, review)
    _readings(page, review)
    page.heading("Before you act on this")
    for caution in CAUTIONS:
        page.para(caution, 2, "*")
    page.line()
    screening = review.screening
    page.para(
        f"Fingerprints: rules {screening.book.fingerprint}, sheet {build.fingerprint}. "
        f"Program {review.program_version}. Judged by {screening.engine}."
    )
    return page.text()


def _numbers(review: Review) -> list[tuple[int, str]]:
    counts = review.screening.counts
    taken = [one for one in review.guide.steps if one.readings]
    wanted = [one for one in review.guide.steps if one.key is not None]
    found = [
        (len(review.obstacles), "in the way"),
        (len(review.conditions), "conditions"),
        (len(review.acceptances), "risks accepted by name"),
        (counts.total, "checks in all"),
    ]
    if wanted:
        found.append((len(taken), f"readings taken, of {len(wanted)} that the guide asks for"))
    ticked = sum(1 for one in review.guide.steps if one.standing is Standing.DONE)
    others = len(review.guide.steps) - len(wanted)
    if others:
        found.append((ticked, f"steps without a reading said to be done, of {others}"))
    return found


def _item(page: Page, one: Obstacle | Condition, parts: tuple[str, ...]) -> None:
    page.line()
    level = "" if one.level is Level.NOTICE else f" ({one.level.word} risk)"
    page.para(f"{one.text}{level}", 2, "*")
    if isinstance(one, Condition) and one.acceptance is not None:
        page.para(_who(one.acceptance), 4)
    elif one.ask:
        page.para(one.ask, 4, "Do:")
    number = f"finding {one.number}, " if one.number else ""
    page.para(
        f"{number}{one.rule} on {', '.join(parts)}", 4, "Rule:" if one.kind != "step" else "Step:"
    )


def _who(one: Acceptance) -> str:
    return f"Accepted by {one.who} on {one.date}: {one.reason}"


def _closed(page: Page, review: Review) -> None:
    """What was found on earlier sheets, and how each finding was closed."""
    if not review.earlier:
        return
    page.heading(f"Earlier findings, and how each was closed ({len(review.closed)})")
    page.para(f"Earlier sheets: {', '.join(one.file for one in review.earlier)}.")
    for one in review.closed:
        page.line()
        page.para(f"{one.title}. {one.text} ({one.level.word} risk)", 2, "*")
        page.para(f"{how_text(one)}.", 4, "Now:")
        page.para(f"{one.rule} on {one.part}, in {one.file}", 4, "Rule:")


def _readings(page: Page, review: Review) -> None:
    taken = [one for one in review.guide.steps if one.readings]
    if not taken:
        return
    page.heading("Readings against what is expected")
    for step in taken:
        page.para(_reading_text(step), 2, "*")
    counts = Counter(one.standing for one in taken)
    page.line()
    page.para(", ".join(f"{counts[one]} {one.value}" for one in Standing if counts[one]) + ".")


def _reading_text(step: Step) -> str:
    last = step.readings[-1]
    expected = f", expected {step.expectation.text}" if step.expectation else ""
    by = ", ".join(word for word in (last.instrument, last.time, last.who) if word)
    return (
        f"{step.part_text}, {step.title}: {last.text}{expected}: {step.standing.value}"
        f"{f' ({by})' if by else ''}"
    )


def review_data(review: Review) -> dict[str, Any]:
    """The review as plain data: what stands in the way, and what it rests on."""
    return {
        **evidence(review),
        "obstacles": [_obstacle(one) for one in review.obstacles],
        "conditions": [
            {
                **_obstacle(one),
                "acceptance": _acceptance(one.acceptance) if one.acceptance else None,
            }
            for one in review.conditions
        ],
        "earlier": [
            {"file": one.file, "title": one.title, "fingerprint": one.fingerprint}
            for one in review.earlier
        ],
        "closed": [
            {
                "file": one.file,
                "level": one.level.word,
                "rule": one.rule,
                "part": one.part,
                "text": one.text,
                "how": one.how,
                "changes": [
                    {"value": each.meaning, "then": each.then, "now": each.now}
                    for each in one.changes
                ],
            }
            for one in review.closed
        ],
        "acceptances": [_acceptance(one) for one in review.acceptances],
        "readings": [
            {
                "step": step.name,
                "part": step.part,
                "standing": step.standing.value,
                "expected": step.expectation.text if step.expectation else None,
                "read": [
                    {
                        "text": one.text,
                        "instrument": one.instrument,
                        "time": one.time,
                        "who": one.who,
                    }
                    for one in step.readings
                ],
            }
            for step in review.guide.steps
            if step.key is not None
        ],
        "cautions": list(CAUTIONS),
    }


def _obstacle(one: Obstacle | Condition) -> dict[str, Any]:
    return {
        "kind": one.kind,
        "level": one.level.word,
        "rule": one.rule,
        "part": one.part,
        "text": one.text,
        "do": one.ask,
        "finding": one.number or None,
    }


def _acceptance(one: Acceptance) -> dict[str, Any]:
    return {
        "rule": one.rule,
        "about": one.about or None,
        "who": one.who,
        "date": one.date,
        "reason": one.reason,
    }


def render_verification(found: Verification, record: str, sheet: str, width: int) -> str:
    """What a record says against what the same review says now."""
    page = Page(width)
    page.para(f"{record} against {sheet}")
    page.line()
    then, now = found.outcome
    if found.same:
        page.para(f"SAME: all {found.compared} checks and the outcome ({now}) come out as then.")
    else:
        outcome = f"the outcome is {now}" if then == now else f"it was {then} and is {now}"
        page.para(
            f"DIFFERENT: {len(found.verdicts)} of {found.compared} checks come out differently; "
            f"{outcome}."
        )
    if found.inputs:
        page.heading("What is not as it was")
        for words in found.inputs:
            page.para(words, 2, "*")
    if found.verdicts:
        page.heading("Checks that differ, the most serious first")
        for one in found.verdicts:
            mark = "; the rule means something else now" if one.rule_changed else ""
            page.para(
                f"{one.rule} on {one.part} ({one.level.word}): was {one.then}, is {one.now}{mark}",
                2,
                "*",
            )
    return page.text()


def verification_data(found: Verification) -> dict[str, Any]:
    """The same as plain data."""
    return {
        "format": "conversion-advisor-verification",
        "version": "1.0",
        "same": found.same,
        "outcome": {"then": found.outcome[0], "now": found.outcome[1]},
        "inputs": list(found.inputs),
        "compared": found.compared,
        "verdicts": [
            {
                "rule": one.rule,
                "part": one.part,
                "level": one.level.word,
                "then": one.then,
                "now": one.now,
                "rule_changed": one.rule_changed,
            }
            for one in found.verdicts
        ],
    }


__all__ = [
    "OUTCOME_WORDS",
    "render_review",
    "render_verification",
    "review_data",
    "verification_data",
]
