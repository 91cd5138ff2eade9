"""An explanation as text, as Markdown or as data."""

from __future__ import annotations

import textwrap
from collections.abc import Callable

from advisor.engine import Judgement
from advisor.explain.tree import Node
from advisor.explain.verdicts import Explained
from advisor.findings.risk import level_of
from advisor.report.letters import coded
from advisor.report.marginal import marginal_sentence
from advisor.report.plain_words import risk_words, terms_in
from advisor.report.sentences import CAUTIONS, CONSULT, question_words

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
    system: str = "si",
    more: Callable[[Lines], None] = lambda page: None,
) -> str:
    """A check explained: in plain words first, then every number down to where it came from."""
    page = Lines(width, markdown=markdown)
    verdict = str(one.judgement.verdict)
    page.heading(f"{one.rule.title}: {one.part}")
    page.para(f"The check {one.rule.name} {VERDICTS[verdict]}{_how_far(one)}.")
    if one.judgement.on_assumption:
        page.para("The verdict rests on an assumption; look for ASSUMED below.")
    unsure = marginal_sentence(one.marginal, system)
    if unsure:
        page.para(unsure[0].upper() + unsure[1:])
    risk = risk_words(one.rule)
    if risk:
        page.para(risk if verdict == "violated" else f"When it is violated: {risk}")
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
        for each in one.questions:
            page.para(f"{question_words(each)} ({each.key})", 0, bullet=True)
        for reason in one.judgement.reasons if not one.questions else ():
            page.para(reason, 0, bullet=True)
        if not one.questions and not one.judgement.reasons:
            page.para("no single value of the sheet", 0, bullet=True)
        page.heading("What it looks for")
        page.para(one.rule.because)
    else:
        page.heading("What it looks for")
        page.para(one.rule.because)
    terms = terms_in(plain_texts(one))
    if terms:
        page.heading("Words used above")
    for term, means in terms.items():
        page.para(f"{term}: {means}", 0, bullet=True)
    page.heading("The condition")
    if one.rule.applies_text:
        page.para(f"It applies where: {one.rule.applies_text}")
    _condition(page, one)
    page.heading("The numbers, down to where they came from")
    for name, node in one.values:
        _node(page, node, 0, name)
    if not one.values:
        page.para("It reads only what other checks concluded.")
    if verdict == "violated" and one.also:
        page.heading("The other numbers named above")
        for name, node in one.also:
            _node(page, node, 0, name)
    _causes(page, one, {(one.rule.name, one.judgement.case)})
    more(page)
    _ending(page, one)
    return page.text()


def plain_texts(one: Explained) -> list[str]:
    """What an explanation says before its numbers."""
    verdict = str(one.judgement.verdict)
    said = [one.text, *one.fixes, one.rule.no_fix] if verdict == "violated" else []
    return [one.rule.title, one.rule.because, *said]


def _condition(page: Lines, one: Explained) -> None:
    if one.condition:
        page.para("It is violated when:")
    for line in one.condition:
        answer = {True: "yes", False: "no", None: "nobody knows"}[line.holds]
        page.para(f"{line.words}: {answer}", line.depth, bullet=True)
    page.para(f"In the words of the rule: {one.rule.when_text}")


def _causes(page: Lines, one: Explained, told: set[tuple[str, str]]) -> None:
    """The checks whose conclusions a check reads, and those behind them, each once."""
    for below in one.because_of:
        key = below.rule.name, below.judgement.case
        if key in told:
            continue
        told.add(key)
        page.heading(
            f"{one.rule.name} builds on: {below.rule.title} ({below.rule.name}, {below.part})"
        )
        page.para(f"That check {VERDICTS[str(below.judgement.verdict)]}{_how_far(below)}.")
        if below.rule.hazard is not None:
            page.para(below.text)
        page.para(below.rule.because)
        _condition(page, below)
        for name, node in below.values:
            _node(page, node, 0, name)
        _causes(page, below, told)


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
