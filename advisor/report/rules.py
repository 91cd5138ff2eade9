"""Rules as a list and as pages, in the terminal."""

from __future__ import annotations

import textwrap

from advisor.findings.risk import level_of
from advisor.findings.wording import value_text
from advisor.problems import Place, Problem, ProblemsFoundError, nearest, shown
from advisor.report.sentences import CONSULT, source_text
from advisor.rules.examples import examples_of
from advisor.rules.rule import Example, Rule, RuleBook
from advisor.rules.texts import Template
from advisor.rules.words import describe


def list_rules(book: RuleBook) -> str:
    """All rules by family: level, stage, name, title."""
    lines = []
    for ruleset in book.rulesets:
        lines.append(f"{ruleset.title} ({ruleset.name} {ruleset.version})")
        for rule in ruleset.rules:
            level = level_of(rule).word if rule.hazard else "concludes"
            lines.append(f"  {level:9} {rule.stage:8} {rule.name}")
            lines.append(f"{'':21}{rule.title}")
        lines.append("")
    return "\n".join(lines)


def find_rule(book: RuleBook, name: str) -> Rule:
    """The rule of that name. Raises ProblemsFoundError with the nearest name."""
    found = book.rule(name)
    if found is not None:
        return found
    names = [rule.name for rule in book.rules]
    advice = nearest(name, names) or "see: advisor rules list"
    raise ProblemsFoundError(
        [Problem("rules", Place(), "", f"there is no rule {shown(name)}", advice)]
    )


def show_rule(book: RuleBook, name: str, width: int) -> str:
    """One rule as a page."""
    rule = find_rule(book, name)
    lines: list[str] = [rule.name, "=" * len(rule.name), ""]

    def part(heading: str, *texts: str) -> None:
        lines.append(heading)
        for text in texts:
            lines.extend(
                textwrap.wrap(
                    " ".join(text.split()),
                    width,
                    initial_indent="  ",
                    subsequent_indent="  ",
                    break_on_hyphens=False,
                )
            )
        lines.append("")

    about = ", ".join(rule.about)
    applies = f"It applies when {describe(rule.applies)}." if rule.applies else ""
    part("What it checks", rule.title + ".", f"It is violated when {describe(rule.when)}.", applies)
    part("It is about", f"{about}; due from the stage `{rule.stage}`.")
    if rule.hazard:
        hazard = rule.hazard
        part(
            "Risk",
            f"{level_of(rule).word}: {hazard.kind.replace('-', ' ')}, {hazard.severity} and "
            f"{hazard.probability} (MIL-STD-882E).",
        )
    part("Why it matters", rule.because)
    if rule.concludes:
        part("It concludes", rule.concludes)
    if rule.quiet_when_unknown:
        part("It is not asked when unknown", rule.quiet_when_unknown)
    part("It would be wrong if", rule.wrong_when or "no case is known.")
    fixes = [f"- {_in_words(fix.do)}" for fix in rule.fixes] or [rule.no_fix or "none"]
    part("What to do", *fixes)
    part("Examples", *(_example(rule, one) for one in examples_of(rule)))
    part("Sources", source_text(rule))
    if CONSULT.get(rule.consult):
        part("Ask", CONSULT[rule.consult])
    part("From", f"ruleset {rule.ruleset}; meaning {rule.meaning}, wording {rule.wording}.")
    return "\n".join(lines)


def _in_words(text: Template) -> str:
    """A text with the meaning of each name where a build would put its value."""
    return text.fill(
        lambda name: f"the {name.attribute.meaning}",
        lambda reach: "it" if reach == "self" else f"the {reach.replace('_', ' ')}",
    )


def _example(rule: Rule, example: Example) -> str:
    attributes = {name.written: name.attribute for name in rule.names}
    given = [
        f"{name} {value_text(attributes[name], value, 'si')}"
        for name, value in example.given.items()
    ]
    limit = " (at the limit)" if example.boundary else ""
    return f"- {example.verdict.replace('-', ' ')}{limit}: {', '.join(given) or 'no facts'}"
