"""A screening as JSON data: versioned, every number with its unit and its origin.

Adding a field raises the minor version; changing or removing one raises the major version. The
schema is `docs/report.schema.json`.
"""

from __future__ import annotations

from typing import Any

from advisor import __version__
from advisor.acceptance import Acceptance
from advisor.engine import Judgement
from advisor.facts import Facts
from advisor.facts.origins import (
    Assumed,
    Computed,
    Fact,
    Key,
    LookedUp,
    Measured,
    OnTrial,
    Origin,
    Unknown,
    WrittenIn,
    question_key,
)
from advisor.findings.questions import Question
from advisor.findings.report_model import Finding, Passed, Screening
from advisor.findings.risk import level_of
from advisor.findings.wording import fact_text
from advisor.report.marginal import marginal_data
from advisor.report.provenance import (
    book_fingerprints,
    rules_data,
    rulesets_data,
    tables_fingerprint,
    vocabulary_fingerprint,
)
from advisor.report.sentences import CAUTIONS, CONSULT, headline
from advisor.units import unit
from advisor.vocabulary import Kind

FORMAT = "conversion-advisor-screening"
VERSION = "1.1"


def as_data(screening: Screening, system: str) -> dict[str, Any]:
    """The whole screening as plain data for `json.dumps`."""
    origins = _Origins(screening.facts, system)
    build = screening.facts.build
    book = screening.book
    meaning, wording = book_fingerprints(book)
    data: dict[str, Any] = {
        "format": FORMAT,
        "version": VERSION,
        "program": {"version": __version__, "engine": screening.engine},
        "sheet": {"file": build.file, "title": build.title, "fingerprint": build.fingerprint},
        "rulesets": rulesets_data(book),
        "rules_fingerprint": book.fingerprint,
        "fingerprints": {
            "meaning": meaning,
            "wording": wording,
            "vocabulary": vocabulary_fingerprint(),
            "tables": tables_fingerprint(),
        },
        "rules": rules_data(book.rules),
        "pins": list(screening.pins),
        "stage": screening.stage,
        "headline": headline(screening),
        "counts": _counts(screening),
        "findings": [_finding(one, origins) for one in screening.findings],
        "notices": [_finding(one, origins) for one in screening.notices],
        "questions": [_question(one) for one in screening.questions],
        "later_questions": [_question(one) for one in screening.later],
        "undecided": [_undecided(one) for one in screening.undecided],
        "passed": [_passed(one, origins) for one in screening.passed],
        "marginal": [marginal_data(one, system) for one in screening.marginal],
        "figures": [origins.value(fact) for fact in screening.figures],
        "assumptions": [origins.value(fact) for fact in screening.assumptions],
        "disagreements": [
            {"used": origins.value(one.used), "other": origins.value(one.other)}
            for one in screening.disagreements
        ],
        "cautions": list(CAUTIONS),
    }
    data["origins"] = origins.table()
    return data


def _counts(screening: Screening) -> dict[str, int]:
    counts = screening.counts
    return {
        "total": counts.total,
        "violated": counts.violated,
        "satisfied": counts.satisfied,
        "satisfied_on_assumption": counts.satisfied_on_assumption,
        "undetermined": counts.undetermined,
        "later": counts.later,
        "not_asked": counts.not_asked,
        "not_applicable": counts.not_applicable,
    }


class _Origins:
    """The table of origins, filled as values are written out."""

    def __init__(self, facts: Facts, system: str) -> None:
        self.facts = facts
        self.system = system
        self._entries: dict[str, dict[str, Any]] = {}
        self._of: dict[str, Origin] = {}

    def table(self) -> dict[str, dict[str, Any]]:
        return dict(sorted(self._entries.items()))

    def value(self, fact: Fact | Unknown) -> dict[str, Any]:
        """A value as {value, unit, text, origin}; the value is in the stated unit."""
        if isinstance(fact, Unknown):
            return {"value": None, "unit": None, "text": "not stated", "origin": None}
        value: Any = fact.value
        spelling = None
        if isinstance(value, float) and fact.attribute.kind is Kind.QUANTITY:
            spelling = fact.attribute.unit or None
            if fact.attribute.unit:
                known = unit(fact.attribute.unit)
                value = float(f"{(value - known.offset) / known.factor:.12g}")
        return {
            "name": question_key(fact.instance, fact.attribute.name),
            "meaning": fact.attribute.meaning,
            "value": value,
            "unit": spelling,
            "text": fact_text(fact, self.system),
            "assumed": fact.assumed,
            "origin": self._origin(fact),
        }

    def _origin(self, fact: Fact) -> str:
        """The key of a fact's origin; values that disagree have keys of their own."""
        name = identity = question_key(*fact.key)
        number = 1
        while self._of.setdefault(identity, fact.origin) != fact.origin:
            number += 1
            identity = f"{name} ({number})"
        if identity not in self._entries:
            self._entries[identity] = {}  # before its inputs, so that a circle ends
            self._entries[identity] = _origin_data(fact.origin, self._inputs(fact.origin))
        return identity

    def _inputs(self, origin: Origin) -> list[dict[str, Any]]:
        if not isinstance(origin, Computed | Assumed):
            return []
        return [self._input(key) for key in dict.fromkeys(origin.inputs)]

    def _input(self, key: Key) -> dict[str, Any]:
        return self.value(self.facts.fact(*key))


def _origin_data(origin: Origin, inputs: list[dict[str, Any]]) -> dict[str, Any]:
    match origin:
        case WrittenIn():
            kind = "programmed" if origin.programmed else "sheet"
            return {
                "kind": kind,
                "file": origin.file,
                "line": origin.place.line,
                "column": origin.place.column,
                "text": origin.text,
            }
        case Measured():
            return {
                "kind": "measured",
                "file": origin.file,
                "line": origin.place.line,
                "column": origin.place.column,
                "text": origin.text,
                "instrument": origin.instrument,
                "time": origin.time,
                "who": origin.who,
            }
        case LookedUp():
            return {
                "kind": "table",
                "table": origin.table,
                "row": origin.row,
                "column": origin.column,
                "source": origin.source,
                "confidence": origin.confidence,
            }
        case Computed():
            return {
                "kind": "computed",
                "formula": origin.formula,
                "source": origin.source,
                "inputs": inputs,
            }
        case Assumed():
            return {
                "kind": "assumed",
                "reason": origin.reason,
                "source": origin.source,
                "inputs": inputs,
            }
        case OnTrial():
            return {"kind": "trial", "reason": origin.reason}


def _finding(one: Finding, origins: _Origins) -> dict[str, Any]:
    rule = one.rule
    hazard = rule.hazard
    assert hazard is not None
    return {
        "number": one.number,
        "rule": rule.name,
        "ruleset": rule.ruleset,
        "about": one.about,
        "level": one.level.word,
        "signal_word": one.signal,
        "hazard": {
            "kind": hazard.kind,
            "severity": hazard.severity,
            "probability": hazard.probability,
        },
        "title": rule.title,
        "text": one.text,
        "because": rule.because,
        "on_assumption": one.judgement.on_assumption,
        "rests_on": [origins.value(fact) for fact in one.rests_on],
        "margin": one.judgement.margin,
        "values": {name: origins.value(fact) for name, fact in one.names.items()},
        "fixes": list(one.fixes),
        "no_fix": rule.no_fix or None,
        "wrong_when": rule.wrong_when,
        "consult": CONSULT.get(rule.consult),
        "sources": [
            {"title": source.title, "clause": source.clause, "read": source.read}
            for source in rule.sources
        ],
        "accepted": [_accepted(each) for each in one.accepted],
        "milder": [
            {
                "rule": other.rule.name,
                "text": other.text,
                "accepted": [_accepted(each) for each in other.accepted],
            }
            for other in one.milder
        ],
        "follows": [_finding(other, origins) for other in one.follows],
    }


def _accepted(one: Acceptance) -> dict[str, str]:
    return {"who": one.who, "date": one.date, "reason": one.reason}


def _question(one: Question) -> dict[str, Any]:
    return {
        "key": one.key,
        "part": one.part,
        "question": one.text,
        "unit": (one.attribute.unit or None) if one.attribute else None,
        "choices": list(one.attribute.choices) if one.attribute else [],
        "how": one.how,
        "answered": one.answered or None,
        "level": one.level.word,
        "waits": [
            {"rule": judgement.rule.name, "about": judgement.case} for judgement in one.waits
        ],
    }


def _undecided(one: Judgement) -> dict[str, Any]:
    return {
        "rule": one.rule.name,
        "about": one.case,
        "level": level_of(one.rule).word,
        "missing": sorted(one.missing),
        "reasons": list(one.reasons),
    }


def _passed(one: Passed, origins: _Origins) -> dict[str, Any]:
    return {
        "rule": one.judgement.rule.name,
        "about": one.judgement.case,
        "level": one.level.word,
        "margin": one.margin,
        "on_assumption": one.judgement.on_assumption,
        "values": {name: origins.value(fact) for name, fact in one.names.items()},
    }
