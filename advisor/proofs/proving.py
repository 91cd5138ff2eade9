"""What can be proven about the conditions of rules: never, always, same, covered by.

Rules are compared with their like: checks with checks, rules that only conclude with such, on the
subjects they share. A notice informs and is left out where risks are compared.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations

from advisor.findings.risk import level_of
from advisor.findings.wording import value_text
from advisor.problems import Problem
from advisor.proofs.formulas import Answer, Formula, Formulas, opposite, raised, verdict_on
from advisor.rules.rule import Rule, RuleBook
from advisor.rules.values import Verdict
from advisor.vocabulary.ratings import RATINGS


@dataclass(frozen=True, slots=True)
class Proofs:
    """What came out: defects, and what the solver left open (never taken as proven).

    `questions` is how often the solver was asked. Of the `covers` that rules declare, `implied`
    follow from the conditions alone; `declared` is how many there are.
    """

    problems: tuple[Problem, ...]
    open: tuple[str, ...]
    questions: int
    declared: int
    implied: int


@dataclass(frozen=True, slots=True)
class Shown:
    """One question about a rule or a pair, its answer, and an example in words."""

    question: str
    answer: str
    example: str


def prove(book: RuleBook, formulas: Formulas | None = None) -> Proofs:
    """Every question about every rule and every pair of rules of a book."""
    return _Prover(book, formulas or Formulas()).whole()


def prove_rule(
    book: RuleBook, rule: Rule, others: Iterable[Rule], formulas: Formulas | None = None
) -> list[Shown]:
    """The questions about one rule, and about it and others, each with an example in words."""
    return list(_Prover(book, formulas or Formulas()).shown(rule, others))


class _Prover:
    def __init__(self, book: RuleBook, formulas: Formulas) -> None:
        self.book = book
        self.formulas = formulas
        self.questions = 0
        self.problems: list[Problem] = []
        self.open: list[str] = []
        self.never: set[str] = set()
        self.formula_of = {
            (rule.name, subject): formulas.formula(rule, subject)
            for rule in book.rules
            for subject in rule.about
        }

    def whole(self) -> Proofs:
        for rule in self.book.rules:
            self._alone(rule)
            self._monotone(rule)
        implied = {name: set[str]() for name in (rule.name for rule in self.book.rules)}
        checks = [rule for rule in self.book.rules if rule.hazard is not None and not rule.notice]
        only = [rule for rule in self.book.rules if rule.hazard is None]
        for alike in (checks, only):
            for one, other in combinations(alike, 2):
                self._pair(one, other, implied)
        pairs = [(rule.name, name) for rule in self.book.rules for name in rule.covers]
        return Proofs(
            tuple(sorted(set(self.problems))),
            tuple(self.open),
            self.questions,
            len(pairs),
            sum(covered in implied[name] for name, covered in pairs),
        )

    # -- one rule ----------------------------------------------------------------------------------

    def _alone(self, rule: Rule) -> None:
        never, always = [], []
        for subject in rule.about:
            formula = self.formula_of[rule.name, subject]
            violated = self._can(formula, violated=True)
            satisfied = self._can(formula, violated=False)
            for answer, word in ((violated, "never"), (satisfied, "always")):
                if answer.can is None:
                    self.open.append(f"{rule.name} on {subject}: whether it {word} holds")
            never.append(violated.can is False)
            always.append(satisfied.can is False)
        if all(never):
            self.never.add(rule.name)
            self._note(
                rule,
                "can never be violated: no values within the declared ranges make the condition "
                "true",
                "mend the condition, the ranges in the vocabulary, or drop the rule",
            )
        elif all(always):
            self._note(
                rule,
                "is violated whenever it applies: no values within the declared ranges make the "
                "condition false",
                "put the condition into applies, or mend it",
            )

    def _monotone(self, rule: Rule) -> None:
        """A higher rating never makes a check worse; a mere conclusion may feed either way."""
        if rule.hazard is None:
            return
        for subject in rule.about:
            formula = self.formula_of[rule.name, subject]
            for key in sorted(formula.variables & RATINGS):
                answer = self._ask(raised(self.formulas, formula, key), formula.variables)
                if answer.can is None:
                    self.open.append(f"{rule.name}: whether a higher {key} can make it worse")
                elif answer.can:
                    self._note(
                        rule,
                        f"a higher {key} can make it worse, from {self._words(answer)}",
                        "turn the comparison round, or take it out of "
                        "advisor/vocabulary/ratings.py with the reason",
                    )

    def _can(self, formula: Formula, *, violated: bool) -> Answer:
        wanted = formula.violated if violated else formula.satisfied
        return self._ask([*formula.ranges, wanted], formula.variables)

    def _ask(self, parts: list[object], used: Iterable[str] = ()) -> Answer:
        self.questions += 1
        return self.formulas.ask(parts, used)

    # -- two rules ---------------------------------------------------------------------------------

    def _pair(self, one: Rule, other: Rule, implied: dict[str, set[str]]) -> None:
        shared = [subject for subject in one.about if subject in other.about]
        if {one.name, other.name} & self.never:
            return
        if not shared or not self._share_values(one, other, shared[0]):
            return
        forward = self._implies(one, other, shared)
        backward = self._implies(other, one, shared)
        if forward:
            implied[one.name].add(other.name)
        if backward:
            implied[other.name].add(one.name)
        if forward and backward:
            self._note(
                other,
                f"has the same condition as {one.name}",
                "keep one of them, or tell them apart",
            )
        elif forward:
            self._within(one, other)
        elif backward:
            self._within(other, one)

    def _share_values(self, one: Rule, other: Rule, subject: str) -> bool:
        """Rules that read no value in common cannot follow from each other, nor clash."""
        first = self.formula_of[one.name, subject].variables
        return bool(first & self.formula_of[other.name, subject].variables)

    def _implies(self, one: Rule, other: Rule, shared: list[str]) -> bool:
        """True when a violation of one is surely a violation of the other."""
        if len(shared) < len(one.about):
            return False
        for subject in shared:
            a, b = self.formula_of[one.name, subject], self.formula_of[other.name, subject]
            answer = self._ask([*a.ranges, *b.ranges, a.violated, opposite(b.violated)])
            if answer.can is None:
                self.open.append(f"whether {other.name} covers {one.name} on {subject}")
            if answer.can is not False:
                return False
        return True

    def _within(self, narrow: Rule, wide: Rule) -> None:
        """The narrow one is violated only together with the wide one."""
        if narrow.hazard is None or wide.name in self._covered_by(narrow):
            return
        both = self._example_of_both(narrow, wide)
        if level_of(narrow) > level_of(wide):
            self._note(
                narrow,
                f"outranks {wide.name}, which is violated whenever this is{both}",
                f"write covers: [{wide.name}], so that it is told once",
            )
        else:
            self._note(
                narrow,
                f"says nothing new: {wide.name} is violated whenever this is, with no less risk"
                f"{both}",
                "narrow one of them, or drop this one",
            )

    def _covered_by(self, rule: Rule) -> set[str]:
        """What a rule covers, also through others."""
        found: set[str] = set()
        stack = [rule]
        while stack:
            for name in stack.pop().covers:
                other = self.book.rule(name)
                if name not in found and other is not None:
                    found.add(name)
                    stack.append(other)
        return found

    def _example_of_both(self, one: Rule, other: Rule) -> str:
        subject = next(each for each in one.about if each in other.about)
        a, b = self.formula_of[one.name, subject], self.formula_of[other.name, subject]
        answer = self._ask(
            [*a.ranges, *b.ranges, a.violated, b.violated], a.variables | b.variables
        )
        return f", for example with {self._words(answer)}" if answer.can else ""

    def _note(self, rule: Rule, problem: str, advice: str) -> None:
        self.problems.append(Problem(rule.file, rule.place, rule.name, problem, advice))

    # -- in words ----------------------------------------------------------------------------------

    def _words(self, answer: Answer) -> str:
        said = []
        for key, value in answer.example.items():
            attribute = self.formulas.attributes.get(key)
            if attribute is None:
                said.append(f"{key}: {'yes' if value else 'no'}")
            else:
                said.append(f"{key} {value_text(attribute, value, 'si', 6)}")
        return ", ".join(said)

    def shown(self, rule: Rule, others: Iterable[Rule]) -> Iterator[Shown]:
        for subject in rule.about:
            formula = self.formula_of[rule.name, subject]
            where = f" on a {subject.replace('_', ' ')}" if len(rule.about) > 1 else ""
            for violated, word in ((True, "violated"), (False, "satisfied")):
                answer = self._can(formula, violated=violated)
                wanted = Verdict.VIOLATED if violated else Verdict.SATISFIED
                yield self._told(f"Can it be {word}{where}?", answer, ((rule, subject, wanted),))
        for other in others:
            for one, two in ((rule, other), (other, rule)):
                yield from self._apart(one, two)

    def _apart(self, one: Rule, two: Rule) -> Iterator[Shown]:
        """Can one be violated where the other is not? The example is the counter-example."""
        for subject in one.about:
            if subject not in two.about:
                continue
            a, b = self.formula_of[one.name, subject], self.formula_of[two.name, subject]
            answer = self._ask(
                [*a.ranges, *b.ranges, a.violated, opposite(b.violated)], a.variables | b.variables
            )
            where = f" on a {subject.replace('_', ' ')}" if len(one.about) > 1 else ""
            yield self._told(
                f"Can {one.name} be violated{where} where {two.name} is not?",
                answer,
                ((one, subject, Verdict.VIOLATED),),
            )

    def _told(
        self, question: str, answer: Answer, wanted: tuple[tuple[Rule, str, Verdict], ...]
    ) -> Shown:
        """An answer in words; an example that the Python evaluator does not confirm says so."""
        if answer.can is None:
            return Shown(question, "the solver does not decide it", "")
        if not answer.can:
            return Shown(question, "no, proven for all values within the declared ranges", "")
        agreed = all(verdict_on(r, subject, answer.example) is said for r, subject, said in wanted)
        doubt = "" if agreed else " (the evaluator does not confirm this example)"
        return Shown(question, f"yes{doubt}", self._words(answer))
