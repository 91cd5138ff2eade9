"""An explanation as data."""

from __future__ import annotations

from typing import Any

from advisor.engine import Judgement
from advisor.explain.tree import Node
from advisor.explain.verdicts import Explained
from advisor.report.explanation import plain_texts
from advisor.report.marginal import marginal_data
from advisor.report.plain_words import risk_data, terms_in

FORMAT = "conversion-advisor-explanation"
VERSION = "1.2"


def check_data(one: Explained) -> dict[str, Any]:
    """A check explained as data; `values`, `also` and `because_of` are trees."""
    return {"format": FORMAT, "version": VERSION, **_check(one)}


def _check(one: Explained) -> dict[str, Any]:
    return {
        "rule": one.rule.name,
        "title": one.rule.title,
        "risk": risk_data(one.rule),
        "terms": terms_in(plain_texts(one)),
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
        "marginal": [marginal_data(end, "si") for end in one.marginal],
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
