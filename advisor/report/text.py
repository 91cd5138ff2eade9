"""A screening as plain text: readable at 80 columns, without colour, in a pipe."""

from __future__ import annotations

from collections.abc import Iterable

from advisor import __version__
from advisor.facts.origins import Assumed, Fact
from advisor.findings.questions import Question
from advisor.findings.report_model import Finding, Passed, Screening
from advisor.findings.risk import Level
from advisor.findings.wording import fact_text, part_text
from advisor.report.marginal import marginal_line, marginal_sentence
from advisor.report.page import Page
from advisor.report.provenance import basis_sentences
from advisor.report.sentences import CAUTIONS, CONSULT, asked, headline, says_more, source_text


def render(screening: Screening, system: str, width: int) -> str:
    """The whole report as text. `system` is "si" or "us"; `width` in columns."""
    page = Page(width)
    build = screening.facts.build
    page.para(build.title or build.file)
    page.para(f"{build.file}, judged for the stage `{screening.stage}`")
    page.line()
    page.para(headline(screening))
    _counts(page, screening)
    if screening.findings:
        page.heading("What is wrong")
        for finding in screening.findings:
            _finding(page, finding, system)
    if screening.notices:
        page.heading("Good to know")
        for finding in screening.notices:
            _notice(page, finding, system)
    if screening.disagreements:
        page.heading("Values that do not agree")
        _disagreements(page, screening, system)
    if screening.questions:
        page.heading("Questions to answer, the most serious first")
        _questions(page, screening.questions)
    unasked = screening.unasked()
    if unasked:
        page.heading("Undecided, and no single value of the sheet decides it")
        for judgement in unasked:
            reasons = "; ".join(judgement.reasons) or "it needs more facts"
            part = part_text(screening.facts, judgement.case)
            page.para(
                f"{judgement.rule.title} ({judgement.rule.name} on {part}): {reasons}", 2, "*"
            )
    if screening.only_assumed():
        page.heading("Too serious to be only assumed at handoff")
        for judgement in screening.only_assumed():
            part = part_text(screening.facts, judgement.case)
            decides = ", ".join(sorted(judgement.missing)) or "the values assumed below"
            page.para(
                f"{judgement.rule.title}: not so, but only on an assumption "
                f"({judgement.rule.name} on {part}). State {decides}.",
                2,
                "*",
            )
    if screening.later:
        page.line()
        page.para(
            f"{len(screening.later)} more questions belong to a later stage; "
            "`--stage wiring` or `--stage handoff` shows them."
        )
    if screening.marginal:
        page.heading("Changes its verdict within a stated tolerance")
        for one in screening.marginal:
            page.para(marginal_line(one, screening.facts, system), 2, "*")
    if screening.passed:
        page.heading("What passed only just, the closest first")
        _passed(page, screening.passed, system)
    if screening.figures:
        page.heading("The build in numbers")
        _figures(page, screening, system)
    if screening.assumptions:
        page.heading("Assumed, because nobody said otherwise")
        _assumptions(page, screening, system)
    page.heading("Before you act on this")
    for caution in CAUTIONS:
        page.para(caution, 2, "*")
    page.line()
    _footer(page, screening)
    return "\n".join(page.lines) + "\n"


def _counts(page: Page, screening: Screening) -> None:
    counts = screening.counts
    page.line()
    told = len([one for one in screening.all_findings() if one.level is Level.NOTICE])
    rows = (
        (counts.violated - told, "violated"),
        (told, "only good to know"),
        (counts.undetermined, "cannot be decided yet"),
        (counts.satisfied, "satisfied"),
        (counts.satisfied_on_assumption, "satisfied only on an assumption"),
        (counts.not_applicable, "do not apply"),
        (counts.later, "are due at a later stage"),
        (counts.not_asked, "cannot be decided and are not asked (rarely published)"),
    )
    page.para("checks, of which", 2, f"{counts.total:4d}")
    for number, words in rows:
        if number:
            page.para(words, 2, f"{number:4d}")


def _finding(page: Page, finding: Finding, system: str, indent: int = 0) -> None:
    page.line()
    label = f"{finding.number:2d}." if not indent else f"{finding.number}."
    level = finding.level.word.upper()
    page.para(f"{finding.signal} - {finding.rule.title} ({level} risk)", indent, label)
    inner = indent + 4
    page.para(finding.text, inner)
    page.para(finding.rule.because, inner, "Why:")
    for number, fix in enumerate(finding.fixes):
        page.para(fix, inner, "Do: " if number == 0 else "Or: ")
    if finding.rule.no_fix:
        page.para(finding.rule.no_fix, inner, "Do: ")
    _rests_on(page, finding, system, inner)
    if finding.rule.wrong_when:
        page.para(finding.rule.wrong_when, inner, "Wrong if:")
    _accepted(page, finding, inner)
    for one in finding.milder:
        if says_more(one.text, finding.text):
            page.para(one.text, inner, "Also:")
    consult = CONSULT.get(finding.rule.consult, "")
    if consult:
        page.para(consult, inner, "Ask:")
    page.para(_rule(finding), inner, "Rule:")
    if finding.follows:
        page.line()
        page.para("What follows from it:", inner)
        for one in finding.follows:
            _finding(page, one, system, inner)


def _rule(finding: Finding) -> str:
    """The rule, its part, its sources, and the fingerprints of what it judges and says."""
    rule = finding.rule
    return (
        f"{rule.name} on {finding.part}. {source_text(rule)} "
        f"Meaning {rule.meaning}, wording {rule.wording}."
    )


def _accepted(page: Page, finding: Finding, indent: int) -> None:
    """Who looked at it; also at a milder one that is told with it."""
    for one in (finding, *finding.milder):
        for accepted in one.accepted:
            which = "" if one is finding else f"{one.rule.name}: "
            page.para(f"{which}{accepted.sentence()}", indent, "Note:")


def _rests_on(page: Page, finding: Finding, system: str, indent: int) -> None:
    if finding.judgement.on_assumption:
        words = "; ".join(_assumed(fact, system) for fact in finding.rests_on)
        page.para(f"this rests on an assumption: {words}", indent, "But:")
    for one in (finding, *finding.milder):
        words = marginal_sentence(one.marginal, system)
        which = "" if one is finding else f"{one.rule.name}: "
        if words:
            page.para(f"{which}{words}", indent, "But:")


def _assumed(fact: Fact, system: str) -> str:
    reason = fact.origin.reason if isinstance(fact.origin, Assumed) else "assumed"
    value = fact_text(fact, system)
    return f"{fact.attribute.meaning} {value} ({reason})"


def _notice(page: Page, finding: Finding, system: str) -> None:
    page.line()
    page.para(finding.text, 0, f"{finding.number:2d}.")
    for number, fix in enumerate(finding.fixes):
        page.para(fix, 4, "Do: " if number == 0 else "Or: ")
    _rests_on(page, finding, system, 4)
    _accepted(page, finding, 4)
    page.para(_rule(finding), 4, "Rule:")
    for one in finding.follows:
        _notice(page, one, system)


def _disagreements(page: Page, screening: Screening, system: str) -> None:
    for one in screening.disagreements:
        used, other = one.used, one.other
        page.para(
            f"{part_text(screening.facts, used.instance)}, {used.attribute.meaning}: "
            f"{fact_text(used, system)} counts, but another source gives "
            f"{fact_text(other, system)}. Find out which is right.",
            2,
            "*",
        )


def _questions(page: Page, questions: Iterable[Question]) -> None:
    for number, one in enumerate(questions, 1):
        if one.attribute is None:
            page.para(f"{one.text} ({one.how})", 0, f"{number:3d}.")
        else:
            page.para(
                f"{one.part}: {asked(one)} {one.how[:1].upper()}{one.how[1:]}.", 0, f"{number:3d}."
            )
        if one.answered:
            page.para(f"so far: {one.answered}", 5)
        names = [judgement.rule.name for judgement in one.waits]
        more = f" and {len(names) - 3} more" if len(names) > 3 else ""
        weight = "notice" if one.level is Level.NOTICE else f"{one.level.word} risk"
        page.para(f"{weight} waits: {', '.join(names[:3])}{more}", 5)


CLOSE = 0.25
"""Margins below this are printed; the rest are counted, and are all in the JSON report."""


def _passed(page: Page, passed: Iterable[Passed], system: str) -> None:
    far = 0
    for one in passed:
        if one.margin is None:
            continue
        if one.margin >= CLOSE:
            far += 1
            continue
        mark = " (on an assumption)" if one.judgement.on_assumption else ""
        page.para(f"{one.part}: {_numbers(one, system)}{mark}", 1, f"{one.margin * 100:6.1f} %")
        page.para(f"({one.judgement.rule.name})", 10)
    if far:
        page.para(f"{far} more passed by {CLOSE:.0%} or more; `--json` lists them.", 2)


def _numbers(one: Passed, system: str) -> str:
    """The numbers a check compared, in the order it reads them."""
    read = {name.written for name in one.judgement.rule.reads}
    shown = [
        f"{fact.attribute.meaning} {fact_text(fact, system)}"
        for name, fact in one.names.items()
        if name in read and isinstance(fact, Fact) and isinstance(fact.value, float)
    ]
    return "; ".join(shown[:3])


def _figures(page: Page, screening: Screening, system: str) -> None:
    for fact in screening.figures:
        mark = " (rests on an assumption)" if fact.assumed else ""
        several = len(screening.facts.instances(fact.attribute.subject)) > 1
        part = f"{part_text(screening.facts, fact.instance)}, " if several else ""
        page.para(f"{part}{fact.attribute.meaning}: {fact_text(fact, system)}{mark}", 2, "*")


def _assumptions(page: Page, screening: Screening, system: str) -> None:
    for fact in screening.assumptions:
        origin = fact.origin
        reason = f"{origin.reason} ({origin.source})" if isinstance(origin, Assumed) else ""
        page.para(
            f"{part_text(screening.facts, fact.instance)}, {fact.attribute.meaning}: "
            f"{fact_text(fact, system)}; {reason}",
            2,
            "*",
        )


def _footer(page: Page, screening: Screening) -> None:
    for line in basis_sentences(screening.book):
        page.para(line)
    for pin in screening.pins:
        page.para(pin)
    page.para(
        f"Sheet {screening.facts.build.fingerprint}. Program {__version__}. "
        f"Judged by {screening.engine}."
    )
