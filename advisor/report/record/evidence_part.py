"""The evidence in words: what was judged by which rules, on which sources and assumptions."""

from __future__ import annotations

from collections import Counter

from advisor.facts.origins import Assumed
from advisor.findings.report_model import Screening
from advisor.findings.wording import fact_text, part_text
from advisor.handoff.model import Review
from advisor.report.record.blocks import Block, Part, Section, bullets, pairs, table, text
from advisor.report.sentences import CAUTIONS
from advisor.rules.rule import Rule, Source
from advisor.rules.values import Verdict

_READ = {
    "read": "read",
    "secondary": "as quoted by another",
    "computed": "computed from it",
    "memory": "from memory, not verified",
}
_ORDER = (Verdict.VIOLATED, Verdict.UNDETERMINED, Verdict.SATISFIED, Verdict.NOT_APPLICABLE)


def prints(review: Review) -> tuple[tuple[str, str], ...]:
    """What identifies this record: the same in every form of it."""
    screening = review.screening
    return (
        ("Sheet", f"{review.build.title or review.build.file}"),
        ("Fingerprint of the sheet", review.build.fingerprint),
        ("Fingerprint of the rules", screening.book.fingerprint),
        ("Program", f"conversion-advisor {review.program_version}"),
        ("Evaluators", screening.engine),
        ("Stage", screening.stage),
        ("Outcome", review.outcome.value),
    )


def evidence_part(review: Review, system: str) -> Part:
    """The part for whoever doubts the rest."""
    screening = review.screening
    sections = (
        Section(
            "identity",
            "What was judged",
            (
                pairs(prints(review)),
                _counts(screening),
                text(
                    "`advisor verify RECORD SHEET` judges a sheet again and says what differs from "
                    "the HTML file of this record."
                ),
                *_pins(screening),
            ),
        ),
        Section("rulesets", "Rules", (_rulesets(screening), _rules(screening))),
        Section("sources", "Sources", (_sources(screening),)),
        Section("assumptions", "Assumptions", (_assumptions(screening, system),)),
        Section("limits", "What this is not", (bullets(CAUTIONS),)),
    )
    lead = "By which rules, from which sources, and on which assumptions this was judged."
    return Part("evidence", "The evidence", lead, sections)


def _pins(screening: Screening) -> list[Block]:
    return [bullets(screening.pins, "Versions that the sheet expects")] if screening.pins else []


def _counts(screening: Screening) -> Block:
    counts = screening.counts
    rows = [
        ("violated", str(counts.violated)),
        ("cannot be decided yet", str(counts.undetermined)),
        ("satisfied", str(counts.satisfied)),
        ("satisfied only on an assumption", str(counts.satisfied_on_assumption)),
        ("do not apply", str(counts.not_applicable)),
        ("due at a later stage", str(counts.later)),
        ("cannot be decided and are not asked (rarely published)", str(counts.not_asked)),
        ("all checks", str(counts.total)),
    ]
    return table("Checks", ("Came out as", "Number"), rows)


def _rulesets(screening: Screening) -> Block:
    rows = [(one.name, one.version) for one in screening.book.rulesets]
    return table("Rulesets", ("Name", "Version"), rows)


def _judged(screening: Screening) -> dict[str, tuple[Rule, Counter[Verdict]]]:
    found: dict[str, tuple[Rule, Counter[Verdict]]] = {}
    for one in screening.judgements:
        _, counter = found.setdefault(one.rule.name, (one.rule, Counter()))
        counter[one.verdict] += 1
    return dict(sorted(found.items(), key=lambda item: (item[1][0].ruleset, item[0])))


def _rules(screening: Screening) -> Block:
    rows = [
        (rule.name, rule.ruleset, rule.meaning, *(str(counter[one] or "-") for one in _ORDER))
        for rule, counter in _judged(screening).values()
    ]
    heads = (
        "Rule",
        "Ruleset",
        "Fingerprint of its meaning",
        "Violated",
        "Undecided",
        "Satisfied",
        "Does not apply",
    )
    return table("Rules judged, with their verdicts over all parts", heads, rows)


def _sources(screening: Screening) -> Block:
    cited: dict[str, tuple[Source, set[str], int]] = {}
    practice = 0
    for rule, _ in _judged(screening).values():
        practice += rule.common_practice
        for one in rule.sources:
            source, clauses, number = cited.get(one.key, (one, set(), 0))
            cited[one.key] = (source, clauses | ({one.clause} - {""}), number + 1)
    rows = [
        (
            source.title,
            source.edition or "-",
            source.publisher or "-",
            "; ".join(sorted(clauses)) or "-",
            _READ.get(source.read, source.read),
            str(number),
        )
        for source, clauses, number in sorted(cited.values(), key=lambda one: one[0].title)
    ]
    heads = ("Source", "Edition", "Publisher", "Clauses", "How it was read", "Rules")
    note = f"{practice} rules rest, also or only, on common practice without a source."
    return table("Sources of the rules", heads, rows, note)


def _assumptions(screening: Screening, system: str) -> Block:
    rows = []
    for fact in screening.assumptions:
        origin = fact.origin
        reason, source = (origin.reason, origin.source) if isinstance(origin, Assumed) else ("", "")
        settles = ", ".join(sorted(fact.settles)) or "-"
        rows.append(
            (
                part_text(screening.facts, fact.instance),
                fact.attribute.meaning,
                fact_text(fact, system),
                reason,
                source or "-",
                settles,
            )
        )
    if not rows:
        return text("No verdict rests on an assumption.")
    heads = ("Part", "Value", "Assumed", "Because", "Source", "Would replace it")
    return table("Assumed, because nobody said otherwise", heads, rows)


__all__ = ["evidence_part", "prints"]
