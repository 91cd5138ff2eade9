"""The pages about rules in `docs/rules/`: one for each ruleset, and indexes."""

from __future__ import annotations

from advisor.report.rules import ORDERS, grouped, level_word, sections
from advisor.rules.rule import Rule, RuleBook, Ruleset

MADE = "<!-- made by python -m tests.make_docs; do not edit -->"
_INDEX_TITLES = {
    "part": "Rules by the part they are about",
    "hazard": "Rules by hazard",
    "source": "Rules by source",
    "stage": "Rules by the stage at which they must be answerable",
}


def rule_pages(book: RuleBook) -> dict[str, str]:
    """Every page by its name in `docs/`."""
    pages = {"rules/index.md": _index(book)}
    pages |= {f"rules/{one.name}.md": _family(book, one) for one in book.rulesets}
    pages |= {f"rules/by-{by}.md": _by(book, by) for by in ORDERS if by != "family"}
    return pages


def _index(book: RuleBook) -> str:
    checks = [rule for rule in book.rules if rule.hazard is not None]
    lines = [
        "# Rules",
        "",
        MADE,
        "",
        f"{len(book.rules)} rules in {len(book.rulesets)} families: {len(checks)} checks, and "
        f"{len(book.rules) - len(checks)} that only settle a statement for others.",
        "`advisor rules show NAME` prints one as a page.",
        "",
        "By family below; also [by part](by-part.md), [by hazard](by-hazard.md),",
        "[by source](by-source.md) and [by stage](by-stage.md).",
        "",
        "Risk is the level of MIL-STD-882E from severity and probability; *concludes* marks a rule",
        "that only settles a statement. Names of rules that are gone stand in",
        "[retired.yaml](../../rulesets/retired.yaml).",
        "",
    ]
    for ruleset in book.rulesets:
        lines += [
            f"## {_plain(ruleset.title)}",
            "",
            f"[{ruleset.name}]({ruleset.name}.md) {ruleset.version}, {len(ruleset.rules)} rules",
            "",
            *_table(ruleset.rules),
            "",
        ]
    return "\n".join(lines)


def _by(book: RuleBook, by: str) -> str:
    lines = [f"# {_INDEX_TITLES[by]}", "", MADE, "", "[All rules by family](index.md)", ""]
    for heading, rules in grouped(book, by):
        title = _plain(heading[:1].upper() + heading[1:])
        lines += [f"## {title}", "", *_table(rules), ""]
    return "\n".join(lines)


def _table(rules: list[Rule] | tuple[Rule, ...]) -> list[str]:
    rows = ["| rule | what it finds | about | risk | stage |", "| --- | --- | --- | --- | --- |"]
    for rule in rules:
        about = ", ".join(rule.about)
        link = f"[{rule.name}]({rule.ruleset}.md#{rule.name})"
        risk = level_word(rule)
        rows.append(f"| {link} | {_plain(rule.title)} | {about} | {risk} | {rule.stage} |")
    return rows


def _family(book: RuleBook, ruleset: Ruleset) -> str:
    lines = [
        f"# {_plain(ruleset.title)}",
        "",
        MADE,
        "",
        f"Ruleset `{ruleset.name}` {ruleset.version} of {ruleset.issued}. [All rules](index.md)",
        "",
    ]
    for rule in ruleset.rules:
        lines += [f"## {rule.name}", ""]
        for section in sections(book, rule):
            lines += [f"### {section.heading}", ""]
            for text in section.paragraphs:
                lines += [_plain(text), ""]
            lines += [f"- {_plain(text)}" for text in section.items]
            if section.items:
                lines.append("")
    lines += ["## Changes of the ruleset", ""]
    lines += [f"- {one.version}: {_plain(one.note)}" for one in ruleset.changes]
    return "\n".join([*lines, ""])


def _plain(text: str) -> str:
    """Text that is only text in Markdown, on one line."""
    clean = " ".join(text.split())
    for sign in ("\\", "|", "*", "[", "]"):
        clean = clean.replace(sign, f"\\{sign}")
    return clean.replace("<", "&lt;")
