"""Risk: severity and probability give a level, kind and severity of harm give a signal word."""

from __future__ import annotations

from enum import IntEnum
from functools import cache

from advisor.rules.rule import Hazard, Rule
from advisor.tables.reader import table

PROPERTY_ONLY = frozenset({"damage", "cost", "nuisance"})
"""Kinds of hazard that hurt nobody unless their severity says so."""

INJURES_WHEN_GRAVE = frozenset({"loss-of-drive"})
"""Kinds that hurt nobody unless rated catastrophic or critical: on a road, a slope, a crossing."""


class Level(IntEnum):
    """Risk levels; a larger number is worse."""

    NOTICE = 0
    LOW = 1
    MEDIUM = 2
    SERIOUS = 3
    HIGH = 4

    @property
    def word(self) -> str:
        """The name used in options, reports and tests."""
        return self.name.lower()


LEVELS = {level.word: level for level in Level}


@cache
def matrix(severity: str, probability: str) -> Level:
    """Risk level of a severity and a probability. Source: MIL-STD-882E Table III."""
    cell = table("risk-matrix").value(probability, severity)
    if cell is None:
        raise ValueError(f"no such cell in the risk matrix: {probability}, {severity}")
    return LEVELS[str(cell.value)]


def level_of(rule: Rule) -> Level:
    """Risk level of a rule's hazard; a rule marked as notice only informs."""
    if rule.notice or rule.hazard is None:
        return Level.NOTICE
    return matrix(rule.hazard.severity, rule.hazard.probability)


def is_quiet(rule: Rule, stage: str) -> bool:
    """Whether an undecided check of a rule is only counted at a stage, and asked of nobody.

    `quiet_when_unknown` of a rule asks for that. At the handoff a serious risk is never quiet.
    """
    last = stage == "handoff" and level_of(rule) >= Level.SERIOUS
    return bool(rule.quiet_when_unknown) and not last


def signal_word(hazard: Hazard | None, level: Level) -> str:
    """DANGER, WARNING, CAUTION or NOTICE.

    DANGER: will kill or seriously injure if not avoided, kept for high risk with the gravest harm.
    WARNING: could kill or seriously injure. CAUTION: could injure lightly. NOTICE: no injury. A
    severity of critical or worse means injury, whatever is damaged first.
    Source: ANSI Z535.4 (2007 and later), as quoted by label makers.
    """
    if hazard is None or level is Level.NOTICE or hazard.kind in PROPERTY_ONLY:
        return "NOTICE"
    grave = hazard.severity in ("catastrophic", "critical")
    if hazard.kind in INJURES_WHEN_GRAVE and not grave:
        return "NOTICE"
    if hazard.severity == "catastrophic":
        return "DANGER" if level is Level.HIGH else "WARNING"
    if hazard.severity == "critical":
        return "WARNING"
    return "CAUTION"
