"""Rules as a list and as pages. Every page has the same headings in the same order."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass

from advisor.findings.risk import Level, is_quiet, level_of
from advisor.findings.wording import value_text
from advisor.problems import Place, Problem, ProblemsFoundError, nearest, shown
from advisor.report.sentences import CONSULT, source_text
from advisor.rules.examples import examples_of
from advisor.rules.rule import COMMON_PRACTICE, HAZARD_KINDS, STAGES, Example, Rule, RuleBook
from advisor.rules.texts import Template
from advisor.rules.words import describe
from advisor.vocabulary import VOCABULARY

HEADINGS = (
    "What it checks",
    "Why it matters",
    "When it is silent",
    "Examples",
    "What to do",
    "Sources",
    "History",
)
ORDERS = ("family", "part", "hazard", "source", "stage")


@dataclass(frozen=True, slots=True)
class Section:
    """One heading of a rule's page: paragraphs, then the items of a list."""

    heading: str
    paragraphs: tuple[str, ...]
    items: tuple[str, ...] = ()


def list_rules(book: RuleBook, by: str = "family") -> str:
    """All rules in groups: level, stage, name, title."""
    lines = []
    for heading, rules in grouped(book, by):
        lines.append(heading)
        for rule in rules:
            lines.append(f"  {level_word(rule):9} {rule.stage:8} {rule.name}")
            lines.append(f"{'':21}{rule.title}")
        lines.append("")
    return "\n".join(lines)


def level_word(rule: Rule) -> str:
    """The risk level of a rule, or that it only concludes."""
    return level_of(rule).word if rule.hazard else "concludes"


def grouped(book: RuleBook, by: str) -> Iterator[tuple[str, list[Rule]]]:
    """The rules in groups with headings; a rule about two parts stands in two groups."""
    if by == "family":
        for one in book.rulesets:
            yield f"{one.title} ({one.name} {one.version})", list(one.rules)
        return
    groups: dict[str, list[Rule]] = {}
    for rule in book.rules:
        for key in _KEYS[by](rule):
            groups.setdefault(key, []).append(rule)
    order = [key for key in _ORDER[by](book) if key in groups]
    for key in order:
        yield _NAMED[by](book, key), groups[key]


def _hazard(rule: Rule) -> tuple[str, ...]:
    if rule.hazard is None:
        return ("concludes",)
    return ("notice",) if level_of(rule) is Level.NOTICE else (rule.hazard.kind,)


def _sources(rule: Rule) -> tuple[str, ...]:
    keys = tuple(dict.fromkeys(one.key for one in rule.sources))
    return (*keys, COMMON_PRACTICE) if rule.common_practice else keys


_KEYS: dict[str, Callable[[Rule], tuple[str, ...]]] = {
    "part": lambda rule: rule.about,
    "hazard": _hazard,
    "source": _sources,
    "stage": lambda rule: (rule.stage,),
}
_ORDER: dict[str, Callable[[RuleBook], Iterable[str]]] = {
    "part": lambda _: VOCABULARY.subjects,
    "hazard": lambda _: (*HAZARD_KINDS, "notice", "concludes"),
    "source": lambda book: (*book.sources, COMMON_PRACTICE),
    "stage": lambda _: STAGES,
}
_HAZARD_WORDS = {"notice": "notices, which only inform", "concludes": "rules that only conclude"}
_NAMED: dict[str, Callable[[RuleBook, str], str]] = {
    "part": lambda _, key: VOCABULARY.subjects[key].meaning,
    "hazard": lambda _, key: _HAZARD_WORDS.get(key, key.replace("-", " ")),
    "source": lambda book, key: book.sources[key]["title"] if key in book.sources else key,
    "stage": lambda _, key: key,
}


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
    """One rule as a page of text."""
    rule = find_rule(book, name)
    lines: list[str] = [rule.name, "=" * len(rule.name), ""]
    for section in sections(book, rule):
        lines.append(section.heading)
        for text in (*section.paragraphs, *(f"- {one}" for one in section.items)):
            lines += textwrap.wrap(
                " ".join(text.split()),
                width,
                initial_indent="  ",
                subsequent_indent="  ",
                break_on_hyphens=False,
            )
        lines.append("")
    return "\n".join(lines)


def sections(book: RuleBook, rule: Rule) -> list[Section]:
    """The page of a rule. `book` tells which rules cover it, and the history of its ruleset."""
    parts = {
        "What it checks": _checks(rule),
        "Why it matters": ((rule.because,), _concluded(rule)),
        "When it is silent": _silent(book, rule),
        "Examples": ((), [_example(rule, one) for one in examples_of(rule)]),
        "What to do": _to_do(rule),
        "Sources": ((source_text(rule),), []),
        "History": _history(book, rule),
    }
    return [
        Section(heading, tuple(parts[heading][0]), tuple(parts[heading][1])) for heading in HEADINGS
    ]


Part = tuple[tuple[str, ...], list[str]]


def _checks(rule: Rule) -> Part:
    about = " or ".join(one.replace("_", " ") for one in rule.about)
    texts = [
        f"{rule.title}.",
        f"{'It is violated' if rule.hazard else 'It holds'} when {describe(rule.when)}.",
        f"In the words of the rule: {rule.when_text}",
        f"It is about: {about}. It must be answerable from the stage `{rule.stage}` on.",
    ]
    if rule.hazard:
        hazard = rule.hazard
        texts.append(
            f"Risk: {level_word(rule)}; {hazard.kind.replace('-', ' ')}, {hazard.severity} and "
            f"{hazard.probability} (MIL-STD-882E)."
        )
    return tuple(texts), []


def _concluded(rule: Rule) -> list[str]:
    return [f"Other rules read what it concludes: `{rule.concludes}`."] if rule.concludes else []


def _silent(book: RuleBook, rule: Rule) -> Part:
    items = []
    if rule.applies is not None:
        words = f"It applies only when {describe(rule.applies)}."
        items.append(f"{words} In the words of the rule: {rule.applies_text}")
    if rule.quiet_when_unknown:
        before = "It" if is_quiet(rule, "handoff") else "Before the handoff it"
        items.append(f"{before} is not asked when unknown: {rule.quiet_when_unknown}")
    covering = [other.name for other in book.rules if rule.name in other.covers]
    if covering:
        items.append(f"It is told with {', '.join(covering)} where that is violated, too.")
    if rule.hazard is not None:
        items.append(f"It would be wrong if: {rule.wrong_when or 'no case is known.'}")
    return ("As long as a value it needs is not known, it is undecided, never satisfied.",), items


def _to_do(rule: Rule) -> Part:
    texts = []
    if CONSULT.get(rule.consult):
        texts.append(f"Ask: {CONSULT[rule.consult]}")
    if rule.hazard is None:
        texts.append("Nothing here: it only settles a statement that other rules read.")
    items = [_in_words(fix.do) for fix in rule.fixes] or ([rule.no_fix] if rule.no_fix else [])
    return tuple(texts), items


def _history(book: RuleBook, rule: Rule) -> Part:
    ruleset = next(one for one in book.rulesets if one.name == rule.ruleset)
    own = ", added by --rules" if ruleset.own else ""
    told = [f"{one.version}: {one.note}." for one in ruleset.changes if rule.name in one.note]
    return (
        f"Ruleset {ruleset.name} {ruleset.version} of {ruleset.issued}{own}. "
        f"Fingerprints: meaning {rule.meaning}, wording {rule.wording}.",
    ), told


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
    return f"{example.verdict.replace('-', ' ')}{limit}: {', '.join(given) or 'no facts'}"
