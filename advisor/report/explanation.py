"""An explanation as text, as Markdown or as data."""

from __future__ import annotations

import textwrap
from collections.abc import Callable
from typing import Any

from advisor.engine import Judgement
from advisor.explain.tree import Node
from advisor.explain.verdicts import Explained
from advisor.findings.risk import level_of
from advisor.report.letters import coded
from advisor.report.sentences import CAUTIONS, CONSULT

FORMAT = "conversion-advisor-explanation"
VERSION = "1.1"
VERDICTS = {
    "violated": "is violated",
    "satisfied": "is satisfied",
    "undetermined": "cannot be decided yet",
    "not-applicable": "does not apply",
}
_MANY = 9
"""So many values under one are not listed a second time."""
_HOW = {
    "written": "written",
    "programmed": "programmed",
    "measured": "measured",
    "table": "from a table",
    "computed": "computed",
    "assumed": "ASSUMED",
    "trial": "on trial",
    "unknown": "not known",
}


class Lines:
    """Lines of text or Markdown; `shown` are the values listed so far."""

    def __init__(self, width: int, *, markdown: bool) -> None:
        self.width = width
        self.markdown = markdown
        self.lines: list[str] = []
        self.shown: set[str] = set()

    def heading(self, text: str) -> None:
        if self.lines:
            self.lines.append("")
        self.lines += [f"## {text}", ""] if self.markdown else [text, "-" * len(text)]

    def para(self, text: str, depth: int = 0, bullet: bool = False) -> None:
        clean = " ".join(_plain(text).split())
        lead = "  " * depth + ("- " if bullet else "")
        rest = " " * len(lead)
        self.lines += textwrap.wrap(
            clean, self.width, initial_indent=lead, subsequent_indent=rest, break_on_hyphens=False
        ) or [lead]

    def text(self) -> str:
        return "\n".join(self.lines) + "\n"


def _plain(text: str) -> str:
    return coded(text)


def render_check(
    one: Explained,
    width: int,
    *,
    markdown: bool,
    more: Callable[[Lines], None] = lambda page: None,
) -> str:
    """A check explained: in plain words first, then every number down to where it came from."""
    page = Lines(width, markdown=markdown)
    verdict = str(one.judgement.verdict)
    page.heading(f"{one.rule.title}: {one.part}")
    page.para(f"The check {one.rule.name} {VERDICTS[verdict]}{_how_far(one)}.")
    if one.judgement.on_assumption:
        page.para("The verdict rests on an assumption; look for ASSUMED below.")
    if verdict == "violated":
        page.heading("What is wrong, and why it matters")
        page.para(one.text)
        page.para(one.rule.because)
        page.heading("What to do")
        for fix in one.fixes or (one.rule.no_fix,):
            page.para(fix, 0, bullet=True)
        for accepted in one.accepted:
            page.para(accepted.sentence())
    elif verdict == "undetermined":
        page.heading("What would decide it")
        for key in sorted(one.judgement.missing) or ["no single value of the sheet"]:
            page.para(key, 0, bullet=True)
    else:
        page.heading("What it looks for")
        page.para(one.rule.because)
    page.heading("The condition")
    if one.rule.applies_text:
        page.para(f"It applies where: {one.rule.applies_text}")
    page.para("It is violated when:" if one.condition else "")
    for line in one.condition:
        answer = {True: "yes", False: "no", None: "nobody knows"}[line.holds]
        page.para(f"{line.words}: {answer}", line.depth, bullet=True)
    page.para(f"In the words of the rule: {one.rule.when_text}")
    page.heading("The numbers, down to where they came from")
    for name, node in one.values:
        _node(page, node, 0, name)
    if not one.values:
        page.para("It reads only what other checks concluded.")
    if verdict == "violated" and one.also:
        page.heading("The other numbers named above")
        for name, node in one.also:
            _node(page, node, 0, name)
    for below in one.because_of:
        page.heading(f"It builds on: {below.rule.title} ({below.rule.name}, {below.part})")
        page.para(f"That check {VERDICTS[str(below.judgement.verdict)]}. {below.rule.because}")
        page.para(f"It is violated when: {below.rule.when_text}")
        for name, node in below.values:
            _node(page, node, 0, name)
        for deeper in below.because_of:
            page.para(f"and that on {deeper.rule.name}, {deeper.part}", 0, bullet=True)
    more(page)
    _ending(page, one)
    return page.text()


def _how_far(one: Explained) -> str:
    """How far from its limit, as the rule's condition measures it: below zero it is past it."""
    margin = one.judgement.margin
    if margin is None or abs(margin) > 1e6:
        return ""
    if margin == 0:
        return ", exactly at its limit"
    if margin < -3:
        return f", about {1 - margin:.3g} times its limit"
    return f", {abs(margin):.1%} {'past' if margin < 0 else 'short of'} its limit"


def _ending(page: Lines, one: Explained) -> None:
    page.heading("When this would be wrong, and where it is from")
    page.para(one.rule.wrong_when)
    for source in one.rule.sources:
        clause = f", {source.clause}" if source.clause else ""
        page.para(f"{source.title}{clause} ({source.read})", 0, bullet=True)
    if one.rule.common_practice:
        page.para("common practice, no source", 0, bullet=True)
    consult = CONSULT.get(one.rule.consult)
    if consult:
        page.para(consult[0].upper() + consult[1:])
    page.para(f"Fingerprints: meaning {one.rule.meaning}, wording {one.rule.wording}.")
    page.para(CAUTIONS[0])


def _node(page: Lines, node: Node, depth: int, name: str = "") -> None:
    known = f"{name} is {node.name}" if name and name != node.name else node.name
    meaning = f" ({node.meaning})" if node.meaning else ""
    if node.how == "unknown":
        page.para(f"{known}{meaning} is not known; {node.words}", depth, bullet=True)
        return
    text = f"{known}{meaning} = {node.text}; {_HOW[node.how]}: {node.words}"
    if node.source and node.source != "definition":
        text += f". Source: {node.source}"
    page.shown.add(node.name)
    rests = {one.name for one in node.inputs}
    if len(rests) >= _MANY and rests <= page.shown:
        page.para(f"{text}; from values that are all shown above", depth, bullet=True)
        return
    page.para(f"{text}{'; shown above' if node.again else ''}", depth, bullet=True)
    for one in node.inputs:
        _node(page, one, depth + 1)


def render_value(node: Node, depending: list[Judgement], width: int, *, markdown: bool) -> str:
    """A value explained: where it comes from, and which checks rest on it."""
    page = Lines(width, markdown=markdown)
    page.heading(f"Where {node.name} comes from")
    _node(page, node, 0)
    page.heading("What depends on it")
    listed = sorted(depending, key=lambda one: (one.verdict != "violated", one.rule.name, one.case))
    for one in listed:
        level = level_of(one.rule).word if one.rule.hazard is not None else "a conclusion"
        words = f"{one.rule.name}, {one.case}: {VERDICTS[str(one.verdict)]} ({level})"
        page.para(words, 0, bullet=True)
    if not listed:
        page.para("No check reads it.")
    page.para(CAUTIONS[0])
    return page.text()


def check_data(one: Explained) -> dict[str, Any]:
    """A check explained as data; `values`, `also` and `because_of` are trees."""
    return {"format": FORMAT, "version": VERSION, **_check(one)}


def _check(one: Explained) -> dict[str, Any]:
    return {
        "rule": one.rule.name,
        "meaning": one.rule.meaning,
        "wording": one.rule.wording,
        "about": one.judgement.case,
        "verdict": str(one.judgement.verdict),
        "accepted": [
            {"who": each.who, "date": each.date, "reason": each.reason} for each in one.accepted
        ],
        "on_assumption": one.judgement.on_assumption,
        "margin": one.judgement.margin,
        "text": one.text,
        "because": one.rule.because,
        "fixes": list(one.fixes),
        "applies": one.rule.applies_text or None,
        "when": one.rule.when_text,
        "condition": [
            {"depth": line.depth, "words": line.words, "holds": line.holds}
            for line in one.condition
        ],
        "missing": sorted(one.judgement.missing),
        "values": [{"name": name, **_tree(node)} for name, node in one.values],
        "also": [{"name": name, **_tree(node)} for name, node in one.also],
        "because_of": [_check(below) for below in one.because_of],
    }


def value_data(node: Node, depending: list[Judgement]) -> dict[str, Any]:
    """A value explained as data."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "value": _tree(node),
        "depending": [
            {"rule": one.rule.name, "about": one.case, "verdict": str(one.verdict)}
            for one in depending
        ],
    }


def _tree(node: Node) -> dict[str, Any]:
    return {
        "key": node.name,
        "meaning": node.meaning,
        "text": node.text,
        "how": node.how,
        "words": node.words,
        "source": node.source,
        "assumed": node.assumed,
        "again": node.again,
        "inputs": [_tree(one) for one in node.inputs],
    }
