"""What can be checked over all rules at once without a solver."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.facts import DERIVATIONS
from advisor.findings.risk import level_of
from advisor.problems import Problem
from advisor.rules.rule import Rule, RuleBook
from advisor.vocabulary import VOCABULARY, Kind, Name

_NOT_COUNTED = (Kind.TEXT, Kind.REFERENCE)


def check_covers(book: RuleBook) -> list[Problem]:
    """Every `covers` that can have no effect: no part in common, or the covered one is graver."""
    found = []
    for rule in book.rules:
        for name in rule.covers:
            other = book.rule(name)
            if other is None:
                continue
            problem, advice = _useless(rule, other)
            if problem:
                path = f"{rule.name}.covers"
                found.append(Problem(rule.file, rule.place, path, problem, advice))
    return found


def _useless(rule: Rule, other: Rule) -> tuple[str, str]:
    if not set(rule.about) & set(other.about):
        return f"{other.name} is about another part", "cover a rule about the same part"
    if other.hazard is None or rule.hazard is None:
        return f"{other.name} or this rule only concludes", "cover a check with a check"
    if level_of(other) > level_of(rule):
        return (
            f"{other.name} outranks this rule ({level_of(other).word} against "
            f"{level_of(rule).word})",
            "let the graver one cover the milder",
        )
    return "", ""


def unused_sources(book: RuleBook) -> list[str]:
    """Keys of `sources.yaml` that no rule cites."""
    cited = {source.key for rule in book.rules for source in rule.sources}
    return [key for key in book.sources if key not in cited]


def unused_attributes(book: RuleBook) -> list[str]:
    """Attributes that no rule reads, shows or sets and no derivation needs.

    Texts, ids and the presence of parts are left out. The plan of the cables, the trips and the
    drawing may still read one.
    """
    used = {path for rule in book.rules for path in _paths_of(rule)}
    for derivations in DERIVATIONS.values():
        for derivation in derivations:
            for need in derivation.needs:
                used |= {f"{one}.{need.attribute}" for one in VOCABULARY.members(need.subject)}
    return [
        path
        for path, attribute in VOCABULARY.attributes.items()
        if path not in used and attribute.kind not in _NOT_COUNTED and attribute.name != "present"
    ]


def _paths_of(rule: Rule) -> Iterable[str]:
    names: list[Name] = list(rule.names)
    for fix in rule.fixes:
        for change in fix.changes:
            names.append(change.name)
            if isinstance(change.value, Name):
                names.append(change.value)
    for name in names:
        members = rule.about if name.reach == "self" else VOCABULARY.members(name.reach)
        yield from (f"{member}.{name.attribute.name}" for member in members)
