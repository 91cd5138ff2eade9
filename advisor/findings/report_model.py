"""What a screening found: the data that every form of report prints."""

from __future__ import annotations

from dataclasses import dataclass, field

from advisor.acceptance import Acceptance
from advisor.engine import Judgement
from advisor.facts import Facts
from advisor.facts.origins import Disagreement, Fact, Unknown
from advisor.findings.questions import Question
from advisor.findings.risk import Level, level_of
from advisor.findings.tolerances import Marginal
from advisor.rules.rule import Rule, RuleBook
from advisor.rules.values import Verdict


@dataclass(slots=True)
class Finding:
    """One violated check, with everything a reader needs to act on it.

    `names` holds the facts behind the names its texts and its condition read. `follows` are the
    findings that hang on this one; `milder` the checks on the same cause that it makes redundant.
    `rests_on` are the assumed facts under it. `accepted` says who looked at it and accepts it; it
    stays a finding. `marginal` are the ends of stated tolerances at which it comes out otherwise.
    """

    judgement: Judgement
    level: Level
    signal: str
    part: str
    text: str
    fixes: tuple[str, ...]
    names: dict[str, Fact | Unknown]
    rests_on: tuple[Fact, ...]
    number: int = 0
    follows: list[Finding] = field(default_factory=list)
    milder: list[Finding] = field(default_factory=list)
    accepted: tuple[Acceptance, ...] = ()
    marginal: tuple[Marginal, ...] = ()

    @property
    def rule(self) -> Rule:
        return self.judgement.rule

    @property
    def about(self) -> str:
        """Id of the part the finding is about."""
        return self.judgement.case

    @property
    def worst(self) -> Level:
        """Level of this finding or of the worst that follows from it."""
        return max([self.level, *(one.worst for one in self.follows)])


@dataclass(frozen=True, slots=True)
class Counts:
    """How many checks ended how; together they are all rules on all their cases."""

    violated: int
    satisfied: int
    satisfied_on_assumption: int
    undetermined: int
    later: int
    not_asked: int
    not_applicable: int

    @property
    def total(self) -> int:
        return (
            self.violated
            + self.satisfied
            + self.satisfied_on_assumption
            + self.undetermined
            + self.later
            + self.not_asked
            + self.not_applicable
        )


@dataclass(frozen=True, slots=True)
class Passed:
    """A satisfied check, and how far it is from its limit; `margin` is None without a number."""

    judgement: Judgement
    level: Level
    part: str
    margin: float | None
    names: dict[str, Fact | Unknown]


@dataclass(frozen=True, slots=True)
class Screening:
    """The result of screening one build at one stage; `judgements` are all checks."""

    facts: Facts
    stage: str
    findings: tuple[Finding, ...]
    notices: tuple[Finding, ...]
    questions: tuple[Question, ...]
    later: tuple[Question, ...]
    undecided: tuple[Judgement, ...]
    passed: tuple[Passed, ...]
    marginal: tuple[Marginal, ...]
    figures: tuple[Fact, ...]
    assumptions: tuple[Fact, ...]
    disagreements: tuple[Disagreement, ...]
    counts: Counts
    pins: tuple[str, ...]
    book: RuleBook
    engine: str
    judgements: tuple[Judgement, ...] = ()

    def all_findings(self) -> list[Finding]:
        """Every finding and notice in printed order, those that follow after their cause."""
        found: list[Finding] = []
        for one in (*self.findings, *self.notices):
            found += [one, *one.follows]
        return found

    def unasked(self) -> list[Judgement]:
        """Undecided checks for which no single fact of the sheet can be asked."""
        return [one for one in self.undecided if not one.missing]

    def only_assumed(self) -> list[Judgement]:
        """At handoff: checks of serious risk or more that are satisfied only on an assumption."""
        return [
            one.judgement
            for one in self.passed
            if self.stage == "handoff"
            and one.judgement.on_assumption
            and one.level >= Level.SERIOUS
        ]

    def blocking(self) -> list[Judgement]:
        """Undecided checks that are due; at handoff also serious ones only assumed satisfied."""
        return [*self.undecided, *self.only_assumed()]

    def at_or_above(self, level: Level) -> bool:
        """True when something at or above a level was found, or is undecided and due."""
        if any(one.level >= level for one in self.all_findings()):
            return True
        if any(one.level >= level for one in self.marginal if one.corner is Verdict.VIOLATED):
            return True
        return any(level_of(one.rule) >= level for one in self.blocking())
