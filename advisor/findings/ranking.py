"""The order of findings: risk, gravest harm, how far past the limit, what hangs on them."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.findings.causes import Causes
from advisor.findings.report_model import Finding
from advisor.findings.risk import Level
from advisor.rules.rule import SEVERITIES


def arrange(found: Iterable[Finding], causes: Causes) -> tuple[list[Finding], list[Finding]]:
    """Findings and notices in printed order, numbered.

    A cause is printed once: a milder check that a graver one on the same case covers is folded into
    it, and a finding that reads what another concluded stands under it. A notice from which
    something worse follows is a finding.
    """
    kept = _fold_milder(list(found))
    tops = _hang_consequences(kept, causes)
    notices = sorted(
        (one for one in tops if one.worst is Level.NOTICE), key=lambda one: one.rule.name
    )
    findings = sorted((one for one in tops if one.worst is not Level.NOTICE), key=_rank)
    number = 0
    for one in (*findings, *notices):
        number += 1
        one.number = number
        one.follows.sort(key=_rank)
        for consequence in one.follows:
            number += 1
            consequence.number = number
    return findings, notices


def _rank(finding: Finding) -> tuple[float, float, int, float, int, str, str]:
    margin = finding.judgement.margin
    hazard = finding.rule.hazard
    return (
        -finding.worst,
        -finding.level,
        SEVERITIES.index(hazard.severity) if hazard else len(SEVERITIES),
        margin if margin is not None else 0.0,
        -len(finding.follows),
        finding.rule.name,
        finding.about,
    )


def _fold_milder(found: list[Finding]) -> list[Finding]:
    """Put milder findings under the one that covers them, the gravest and surest first."""
    by_case = {(one.rule.name, one.about): one for one in found}
    into: dict[int, Finding] = {}
    for one in sorted(found, key=lambda one: (-one.level, one.judgement.on_assumption)):
        for name in one.rule.covers:
            milder = by_case.get((name, one.about))
            if milder is None or id(milder) in into or not _covers(one, milder):
                continue
            graver = into.get(id(one), one)
            if graver is milder:
                continue
            for moved in (milder, *milder.milder):
                into[id(moved)] = graver
                graver.milder.append(moved)
            milder.milder.clear()
    return [one for one in found if id(one) not in into]


def _covers(graver: Finding, milder: Finding) -> bool:
    """A finding that rests on an assumption never hides one that is certain."""
    less_sure = graver.judgement.on_assumption and not milder.judgement.on_assumption
    return milder.level <= graver.level and not less_sure


def _hang_consequences(found: list[Finding], causes: Causes) -> list[Finding]:
    """Put each finding under the worst cause behind it, all of them directly under the first."""
    holder = {id(part.judgement): one for one in found for part in (one, *one.milder)}
    above: dict[int, Finding] = {}

    def top(finding: Finding) -> Finding:
        while id(finding) in above:
            finding = above[id(finding)]
        return finding

    for one in sorted(found, key=lambda one: one.rule.layer):
        held = (holder[id(cause)] for cause in causes.behind(one.judgement))
        tops = [first for first in map(top, held) if first is not one]
        if tops:
            above[id(one)] = min(tops, key=_rank)
    for one in found:
        if id(one) in above:
            top(one).follows.append(one)
    return [one for one in found if id(one) not in above]
