"""One check on one part: its verdict, the numbers it read, and the checks that it builds on."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from advisor.acceptance import Acceptance, accepted_for
from advisor.engine import Judge, Judgement
from advisor.explain.condition import Line, in_words
from advisor.explain.naming import refusal
from advisor.explain.reach import needed_rules
from advisor.explain.tree import Node, tree_of_fact
from advisor.facts import Facts
from advisor.facts.cases import BuildCases
from advisor.facts.origins import Fact, Key, Unknown
from advisor.findings.causes import Causes
from advisor.findings.questions import Question, questions
from advisor.findings.screening import Words, screen
from advisor.findings.tolerances import Marginal, marginal
from advisor.findings.wording import advice_text, fact_text, part_text
from advisor.problems import ProblemsFoundError, nearest, shown
from advisor.rules.rule import Rule, RuleBook
from advisor.rules.texts import Template
from advisor.rules.values import Known, Value, Verdict
from advisor.vocabulary import VOCABULARY, Name


@dataclass(frozen=True, slots=True)
class Explained:
    """A check on a part.

    `values` are the trees of what its condition reads, by the name the rule uses; `text` is its
    finding with the numbers in, `fixes` what to do; `also` the trees of what only these texts
    show; `because_of` the checks whose conclusions it reads; `accepted` who accepts it;
    `marginal` the ends of stated tolerances at which it comes out otherwise; `questions` what
    would decide it, where it is open.
    """

    judgement: Judgement
    part: str
    text: str
    fixes: tuple[str, ...]
    values: tuple[tuple[str, Node], ...]
    also: tuple[tuple[str, Node], ...]
    because_of: tuple[Explained, ...]
    condition: tuple[Line, ...] = ()
    accepted: tuple[Acceptance, ...] = ()
    marginal: tuple[Marginal, ...] = ()
    questions: tuple[Question, ...] = ()

    @property
    def rule(self) -> Rule:
        return self.judgement.rule


class Explainer:
    """All checks of one build, ready to be asked about. `system` is "si" or "us"."""

    def __init__(
        self, facts: Facts, book: RuleBook, judge: Judge, system: str, stage: str | None = None
    ) -> None:
        self.facts = facts
        self.book = book
        self.judge = judge
        self.system = system
        self.stage = stage
        self._cases = BuildCases(facts)
        self.everything = judge.judge(self._cases)

    def chosen(self, name: str, about: str | None, wanted: str = "violated") -> Judgement:
        """The check of a finding's number or of a rule's name, on a part where there are several.

        Of several parts the only one with the verdict `wanted` is taken. Raises
        ProblemsFoundError with the nearest names, or with the list where it is ambiguous.
        """
        if name.isascii() and name.isdigit():
            found = self._numbered(int(name))
            if about is not None and about != found.case:
                problem = f"finding {int(name)} is about {found.case}, not {shown(about)}"
                raise self._refuse(problem, "leave --about out")
            return found
        rule = self.book.rule(name)
        if rule is None:
            names = [one.name for one in self.book.rules]
            raise self._refuse(
                f"there is no rule {shown(name)}",
                nearest(name, names) or "see: advisor rules list",
            )
        listed = [one for one in self.everything if one.rule is rule]
        if about is not None:
            kept = [one for one in listed if one.case == about]
            if not kept:
                cases = [one.case for one in listed]
                near = nearest(about, cases) or f"it is about: {', '.join(cases) or 'nothing'}"
                raise self._refuse(f"{name} is not about {shown(about)}", near)
            return kept[0]
        worst = [one for one in listed if one.verdict == wanted] or listed
        if not worst:
            kinds = " or ".join(rule.about)
            raise self._refuse(f"{name} is about a {kinds}, and the sheet lists none", "")
        if len(worst) > 1:
            parts = ", ".join(one.case for one in worst)
            raise self._refuse(
                f"{name} is judged on {len(worst)} parts: {parts}", "add --about and one of them"
            )
        return worst[0]

    def cleared(self, name: str, about: str | None) -> Judgement:
        """A satisfied check by the name of its rule. Raises ProblemsFoundError for any other."""
        found = self.chosen(name, about, "satisfied")
        if found.verdict != "satisfied":
            problem = f"{found.rule.name} on {found.case} is {found.verdict}, not satisfied"
            advice = f"see: advisor explain SHEET {found.rule.name} --about {found.case}"
            raise self._refuse(problem, advice)
        return found

    def _numbered(self, number: int) -> Judgement:
        build = self.facts.build
        found = screen(
            build, self.book, self.judge, self.stage, self.system, self.facts, self.everything
        )
        listed = found.all_findings()
        for one in listed:
            if one.number == number:
                same = (one.rule.name, one.about)
                return next(j for j in self.everything if (j.rule.name, j.case) == same)
        most = max((one.number for one in listed), default=0)
        advice = f"the numbers go from 1 to {most}" if most else "there are no findings"
        raise self._refuse(f"there is no finding {number}", advice)

    def explained(self, judgement: Judgement) -> Explained:
        """A check with all that it rests on."""
        causes = Causes(self.everything, self._cases.related)
        one = self._explained(judgement, causes, set(), set())
        is_open = judgement.verdict is Verdict.UNDETERMINED
        asked = questions(self.facts, [judgement]) if is_open else []
        return replace(one, marginal=tuple(self._marginal(judgement)), questions=tuple(asked))

    def _marginal(self, judgement: Judgement) -> list[Marginal]:
        """The ends of the tolerances of the sheet, judged by this rule and what it rests on."""
        if judgement.rule.hazard is None:
            return []
        small = replace(self.book, rules=needed_rules(self.book, judgement.rule))
        found = marginal(self.facts, self.everything, Judge(small))
        return [one for one in found if one.judgement is judgement]

    def _explained(
        self, judgement: Judgement, causes: Causes, seen: set[Key], open_ones: set[int]
    ) -> Explained:
        rule, case = judgement.rule, judgement.case
        values = self._trees(judgement, rule.reads, seen)
        texts = [rule.finding, *(one.do for one in rule.fixes)]
        told = dict.fromkeys(name for text in texts for name in text.names)
        also = self._trees(judgement, [one for one in told if one not in rule.reads], seen)
        below = []
        for one in causes.of(judgement):
            if id(one) not in open_ones:
                below.append(self._explained(one, causes, seen, open_ones | {id(judgement)}))
        part = part_text(self.facts, case)
        text = self._filled(judgement, rule.finding)
        fixes = tuple(self._filled(judgement, one.do, advice_text) for one in rule.fixes)
        row = self._row(judgement, causes)
        lines = in_words(rule.when, row, self.system)
        accepted = accepted_for(self.book.accepted, rule.name, case)
        return Explained(judgement, part, text, fixes, values, also, tuple(below), lines, accepted)

    def _row(self, judgement: Judgement, causes: Causes) -> dict[str, Value]:
        """What the rule reads on its case; a conclusion holds where a violated check draws it."""
        drawn = {one.rule.concludes.partition(".")[2] for one in causes.of(judgement)}
        row: dict[str, Value] = {}
        for name in judgement.rule.reads:
            if name.written in judgement.rule.concluded:
                if name.attribute.name in drawn:
                    row[name.written] = Known(True)
            else:
                row[name.written] = self._cases.value(judgement.case, name)
        return row

    def _trees(
        self, judgement: Judgement, names: Iterable[Name], seen: set[Key]
    ) -> tuple[tuple[str, Node], ...]:
        """The trees of the values of some names; what other checks concluded has none."""
        found = []
        for name in names:
            attribute = VOCABULARY.attributes.get(name.attribute.path)
            if attribute is None or name.written in judgement.rule.concluded:
                continue
            fact = self._cases.fact(judgement.case, name)
            meaning = attribute.meaning
            node = tree_of_fact(self.facts, fact, name.written, meaning, self.system, seen)
            found.append((name.written, node))
        return tuple(found)

    def _filled(self, judgement: Judgement, text: Template, words: Words = fact_text) -> str:
        case = judgement.case

        def part(reach: str) -> str:
            identity = case if reach == "self" else self.facts.related(case, reach)
            return part_text(self.facts, identity or reach)

        def value(name: Name) -> str:
            return words(self._cases.fact(case, name), self.system)

        return text.fill(value, part)

    def depending(self, key: Key) -> list[Judgement]:
        """The checks that rest on a value, at any depth, each once."""
        found = []
        for one in self.everything:
            facts = [
                self._cases.fact(one.case, name)
                for name in one.rule.reads
                if name.attribute.path in VOCABULARY.attributes
            ]
            if any(self._rests(fact, key, set()) for fact in facts):
                found.append(one)
        return found

    def _rests(self, fact: Fact | Unknown, key: Key, seen: set[Key]) -> bool:
        if isinstance(fact, Unknown):
            return f"{key[0]}.{key[1]}" in fact.facts
        if fact.key == key:
            return True
        if fact.key in seen:
            return False
        seen.add(fact.key)
        inputs: tuple[Key, ...] = getattr(fact.origin, "inputs", ())
        return any(self._rests(self.facts.fact(*one), key, seen) for one in inputs)

    def _refuse(self, problem: str, advice: str) -> ProblemsFoundError:
        return refusal(self.facts, problem, advice)
