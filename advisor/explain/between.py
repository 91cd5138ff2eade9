"""Every check that touches two parts: can these two be used together?"""

from __future__ import annotations

from dataclasses import dataclass

from advisor.engine import Judgement
from advisor.explain.reach import Reach
from advisor.facts import Facts
from advisor.facts.cases import BuildCases
from advisor.findings.causes import Causes
from advisor.findings.risk import is_quiet, level_of
from advisor.findings.screening import STAGES
from advisor.rules.values import Verdict


@dataclass(frozen=True, slots=True)
class Between:
    """The checks under which values of both parts lie, by how they came out, the worst first.

    `later` are open checks that are due at a later stage.
    """

    first: str
    second: str
    violated: tuple[Judgement, ...]
    undetermined: tuple[Judgement, ...]
    later: tuple[Judgement, ...]
    assumed: tuple[Judgement, ...]
    satisfied: tuple[Judgement, ...]

    @property
    def answer(self) -> str:
        """The plain answer to whether the two can be used together."""
        if self.violated:
            many = f"{len(self.violated)} check{'s' if len(self.violated) > 1 else ''}"
            return f"Not as they are: {many} between them came out wrong."
        if self.undetermined:
            many = (
                f"{len(self.undetermined)} check{'s are' if len(self.undetermined) > 1 else ' is'}"
            )
            return f"Nobody can tell yet: {many} still open."
        if self.assumed:
            return "Nothing stands against it, but part of that rests on assumptions."
        if self.satisfied:
            return "Yes, by every check between them."
        return "No check reads values of both of them."


def between(
    facts: Facts, everything: list[Judgement], first: str, second: str, stage: str = "order"
) -> Between:
    """The checks between two parts of a sheet, by their ids, at a stage."""
    reach = Reach(facts)
    causes = Causes(everything, BuildCases(facts).related)
    found: dict[str, list[Judgement]] = {}
    for one in everything:
        if one.rule.hazard is None or one.verdict is Verdict.NOT_APPLICABLE:
            continue
        quiet = one.verdict is Verdict.UNDETERMINED and is_quiet(one.rule, stage)
        if quiet or not {first, second} <= reach.parts(reach.with_causes(one, causes)):
            continue
        cleared = one.verdict is Verdict.SATISFIED
        kind = "assumed" if cleared and one.on_assumption else str(one.verdict)
        if kind == "undetermined" and STAGES.index(one.rule.stage) > STAGES.index(stage):
            kind = "later"
        found.setdefault(kind, []).append(one)

    def listed(kind: str) -> tuple[Judgement, ...]:
        return tuple(
            sorted(found.get(kind, ()), key=lambda one: (-level_of(one.rule), one.rule.name))
        )

    return Between(
        first,
        second,
        listed("violated"),
        listed("undetermined"),
        listed("later"),
        listed("assumed"),
        listed("satisfied"),
    )


__all__ = ["Between", "between"]
