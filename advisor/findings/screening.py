"""From a build to a screening: judge every rule, rank what is violated, collect what is unknown."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from advisor.acceptance import accepted_for
from advisor.engine import Judge, Judgement
from advisor.facts import Facts, facts_of
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Assumed, Fact, Key, Unknown
from advisor.findings.causes import Causes
from advisor.findings.figures import figures
from advisor.findings.questions import questions
from advisor.findings.ranking import arrange
from advisor.findings.report_model import Counts, Finding, Passed, Screening
from advisor.findings.risk import is_quiet, level_of, signal_word
from advisor.findings.tolerances import marginal
from advisor.findings.wording import advice_text, fact_text, part_text
from advisor.rules.rule import RuleBook
from advisor.rules.texts import Template
from advisor.rules.values import Verdict
from advisor.sheet.build import Build
from advisor.vocabulary import VOCABULARY

Words = Callable[[Fact | Unknown, str], str]

STAGES = ("order", "wiring", "handoff")


def screen(
    build: Build,
    book: RuleBook,
    judge: Judge,
    stage: str | None = None,
    system: str = "si",
    facts: Facts | None = None,
    judged: Sequence[Judgement] | None = None,
) -> Screening:
    """Judge a build at a stage (the sheet's own, else `order`).

    `facts` are those of the same build with its plan of the cables, where it has one; `judged` what
    the judge said of these facts already.
    """
    due = stage or build.stage or "order"
    facts = facts or facts_of(build)
    cases = BuildCases(facts)
    everything = judge.judge(cases) if judged is None else judged
    judgements = [one for one in everything if one.rule.hazard is not None]
    causes = Causes(everything, cases.related)
    sorter = _Sorter(cases, causes, system, due, book)
    for judgement in judgements:
        sorter.take(judgement)
    ends = marginal(facts, judgements, judge)
    for one in sorter.findings:
        one.marginal = tuple(end for end in ends if end.judgement is one.judgement)
    findings, notices = arrange(sorter.findings, causes)
    asked = questions(facts, sorter.waiting)
    keys = {each.key for each in asked}
    later = [each for each in questions(facts, sorter.waiting_later) if each.key not in keys]
    return Screening(
        facts=facts,
        stage=due,
        findings=tuple(findings),
        notices=tuple(notices),
        questions=tuple(asked),
        later=tuple(later),
        undecided=tuple(sorter.waiting),
        passed=tuple(sorted(sorter.passed, key=_tightness)),
        marginal=tuple(ends),
        figures=tuple(figures(facts)),
        assumptions=tuple(_assumed_under(facts, judgements, cases)),
        disagreements=tuple(facts.disagreements.values()),
        counts=sorter.counts(),
        pins=tuple(_pins(build, book)),
        book=book,
        engine=judge.engine_name,
        judgements=tuple(judgements),
    )


class _Sorter:
    """Puts each judgement where it belongs."""

    def __init__(
        self, cases: BuildCases, causes: Causes, system: str, stage: str, book: RuleBook
    ) -> None:
        self.cases = cases
        self.causes = causes
        self.system = system
        self.stage = stage
        stated = [one.acceptance for one in cases.facts.build.accepted]
        self.accepted = (*stated, *book.accepted)
        self.findings: list[Finding] = []
        self.waiting: list[Judgement] = []
        self.waiting_later: list[Judgement] = []
        self.passed: list[Passed] = []
        self._number = dict.fromkeys(Counts.__dataclass_fields__, 0)

    def counts(self) -> Counts:
        return Counts(**self._number)

    def take(self, judgement: Judgement) -> None:
        rule = judgement.rule
        match judgement.verdict:
            case Verdict.VIOLATED:
                self._number["violated"] += 1
                self.findings.append(self._finding(judgement))
            case Verdict.NOT_APPLICABLE:
                self._number["not_applicable"] += 1
            case Verdict.SATISFIED:
                assumed = judgement.on_assumption
                self._number["satisfied_on_assumption" if assumed else "satisfied"] += 1
                if not rule.notice:
                    self.passed.append(self._passed(judgement))
            case Verdict.UNDETERMINED:
                if is_quiet(rule, self.stage):
                    self._number["not_asked"] += 1
                elif STAGES.index(rule.stage) > STAGES.index(self.stage):
                    self._number["later"] += 1
                    self.waiting_later.append(judgement)
                else:
                    self._number["undetermined"] += 1
                    self.waiting.append(judgement)

    def _names(self, judgement: Judgement) -> dict[str, Fact | Unknown]:
        """The facts behind the names a rule reads; conclusions of other rules have none."""
        return {
            name.written: self.cases.fact(judgement.case, name)
            for name in judgement.rule.names
            if name.attribute.path in VOCABULARY.attributes
        }

    def _finding(self, judgement: Judgement) -> Finding:
        rule = judgement.rule
        names = self._names(judgement)
        level = level_of(rule)
        rests_on = self._rests_on(judgement) if judgement.on_assumption else ()
        return Finding(
            judgement=judgement,
            level=level,
            signal=signal_word(rule.hazard, level),
            part=part_text(self.cases.facts, judgement.case),
            text=self._fill(judgement, rule.finding),
            fixes=tuple(self._fill(judgement, fix.do, advice_text) for fix in rule.fixes),
            names=names,
            rests_on=rests_on,
            accepted=accepted_for(self.accepted, rule.name, judgement.case),
        )

    def _rests_on(self, judgement: Judgement) -> tuple[Fact, ...]:
        """The assumed facts under a verdict, also those under the conclusions it reads."""
        causes = [one for one in self.causes.all_behind(judgement) if one.on_assumption]
        under = [fact for one in (judgement, *causes) for fact in self._names(one).values()]
        return tuple(_roots(self.cases.facts, under))

    def _passed(self, judgement: Judgement) -> Passed:
        facts = self.cases.facts
        return Passed(
            judgement,
            level_of(judgement.rule),
            part_text(facts, judgement.case),
            judgement.margin,
            self._names(judgement),
        )

    def _fill(self, judgement: Judgement, text: Template, words: Words = fact_text) -> str:
        facts = self.cases.facts
        case = judgement.case

        def part(reach: str) -> str:
            identity = case if reach == "self" else facts.related(case, reach)
            return part_text(facts, identity or reach)

        return text.fill(lambda name: words(self.cases.fact(case, name), self.system), part)


def _tightness(one: Passed) -> tuple[float, str, str]:
    margin = one.margin if one.margin is not None else float("inf")
    return (margin, one.judgement.rule.name, one.judgement.case)


def _roots(facts: Facts, under: Iterable[Fact | Unknown]) -> list[Fact]:
    """The assumed facts at the bottom of some facts."""
    found: dict[Key, Fact] = {}
    stack = [one for one in under if isinstance(one, Fact) and one.assumed]
    seen: set[Key] = set()
    while stack:
        fact = stack.pop()
        if fact.key in seen:
            continue
        seen.add(fact.key)
        if isinstance(fact.origin, Assumed):
            found[fact.key] = fact
        for key in getattr(fact.origin, "inputs", ()):
            below = facts.fact(*key)
            if isinstance(below, Fact) and below.assumed:
                stack.append(below)
    return sorted(found.values(), key=lambda one: one.key)


def _assumed_under(facts: Facts, judgements: Iterable[Judgement], cases: BuildCases) -> list[Fact]:
    """Every assumption that some verdict rests on."""
    under = [
        cases.fact(judgement.case, name)
        for judgement in judgements
        if judgement.on_assumption
        for name in judgement.rule.names
        if name.attribute.path in VOCABULARY.attributes
    ]
    return _roots(facts, under)


def _pins(build: Build, book: RuleBook) -> Iterable[str]:
    """What the sheet expects of ruleset versions and does not get."""
    versions = {one.name: one.version for one in book.rulesets}
    for name, wanted in build.pins.items():
        have = versions.get(name)
        if have is None:
            yield f"The sheet expects ruleset {name} {wanted}, which is not here."
        elif have != wanted:
            yield f"The sheet expects ruleset {name} {wanted}; version {have} was used."
