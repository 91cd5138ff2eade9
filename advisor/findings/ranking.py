"""The order of findings: risk, gravest harm, how far past the limit, what hangs on them."""

from __future__ import annotations

from collections.abc import Iterable

from advisor.findings.report_model import Finding
from advisor.findings.risk import Level
from advisor.rules.rule import SEVERITIES


def arrange(found: Iterable[Finding]) -> tuple[list[Finding], list[Finding]]:
    """Findings and notices in printed order, numbered.

    A cause is printed once: a milder check that a graver one on the same case covers is folded into
    it, and a finding that reads what another concluded stands under it.
    """
    everything = list(found)
    kept = _fold_milder(everything)
    tops = _hang_consequences(kept)
    notices = sorted(
        (one for one in tops if one.level is Level.NOTICE), key=lambda one: one.rule.name
    )
    findings = sorted((one for one in tops if one.level is not Level.NOTICE), key=_rank)
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
    by_case = {(one.rule.name, one.about): one for one in found}
    folded: set[int] = set()
    for one in found:
        for name in one.rule.covers:
            milder = by_case.get((name, one.about))
            if milder is not None and _covers(one, milder):
                folded.add(id(milder))
                one.milder.append(milder)
    return [one for one in found if id(one) not in folded]


def _covers(graver: Finding, milder: Finding) -> bool:
    """A finding that rests on an assumption never hides one that is certain."""
    less_sure = graver.judgement.on_assumption and not milder.judgement.on_assumption
    return graver is not milder and milder.level <= graver.level and not less_sure


def _hang_consequences(found: list[Finding]) -> list[Finding]:
    """Put each finding under the first cause whose conclusion it reads."""
    causes: dict[str, list[Finding]] = {}
    for one in found:
        for finding in (one, *one.milder):
            for path in finding.rule.concludes_paths:
                causes.setdefault(path, []).append(one)
    below: set[int] = set()
    for one in found:
        reads = one.rule.concluded_paths
        above = [cause for path in reads for cause in causes.get(path, ()) if cause is not one]
        if above:
            top = min(above, key=_rank)
            top = _root(top, found)
            if top is not one and id(top) not in below:
                top.follows.append(one)
                below.add(id(one))
    return [one for one in found if id(one) not in below]


def _root(finding: Finding, found: list[Finding]) -> Finding:
    """The top finding that a finding already hangs under."""
    for one in found:
        if any(other is finding for other in one.follows):
            return _root(one, found)
    return finding
