"""The judge: every rule on every case, by the rules engine and by the Python evaluator alike.

Both get the same numbers and must come to the same verdicts; a difference stops the run. Rules are
judged in layers, so that a conclusion is settled before it is read. Every check is judged without
assumed values first; only what that leaves undetermined is judged again with them.

On interpreters where the rules engine cannot be imported the Python evaluator judges alone, and
`Judge.engine_name` says so.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import count
from typing import Any

from advisor.judgement import CaseSource, Conclusions, EngineError, Judgement, judgement
from advisor.rules.logic import verdict
from advisor.rules.rule import Rule, RuleBook
from advisor.rules.twins import MAX_PATTERNS, SEEN, Patterns, Terms, twins
from advisor.rules.values import Known, Row, Value, Verdict, without_assumptions

try:
    from durable import engine as durable
except ImportError:
    durable = None
else:
    # its own clock calls what Python 3.12 deprecates; it only measures how long an action runs
    durable._unix_now = time.time

MAX_RULES = 16
"""Rules judged on one row; with three patterns each they make MAX_PATTERNS."""

MAX_PROPERTIES = 200
"""Below the 251 properties of one row that the engine takes."""


class EvaluatorsDisagreeError(EngineError):
    """The rules engine and the Python evaluator differ on one rule and one case."""

    def __init__(self, rule: Rule, case: str, python: Verdict, engine: Iterable[Verdict]) -> None:
        self.rule = rule
        self.case = case
        self.python = python
        self.engine = tuple(engine)
        said = " and ".join(self.engine) or Verdict.UNDETERMINED
        super().__init__(
            f"rule {rule.name} on {case}: the rules engine says {said}, "
            f"the Python evaluator says {python}"
        )


class Judge:
    """All rules compiled once; judges any number of builds."""

    def __init__(self, book: RuleBook, *, use_engine: bool = True) -> None:
        self.book = book
        use_engine = use_engine and durable is not None
        self._chunks = _chunks(book.rules, patterns=use_engine)
        self._place = {
            rule.name: (chunk, number)
            for chunk in self._chunks
            for number, rule in enumerate(chunk.rules)
        }
        self._engine = _Engine() if use_engine else None

    @property
    def engine_name(self) -> str:
        """Who judges, for the report."""
        if self._engine is not None:
            return "durable-rules and the Python evaluator, which agree"
        if durable is None:
            return "Python evaluator alone: durable-rules is not available on this interpreter"
        return "Python evaluator alone"

    @property
    def firings(self) -> int:
        """How often a pattern matched a row, since this judge was made."""
        return self._engine.firings if self._engine is not None else 0

    def judge(self, source: CaseSource) -> list[Judgement]:
        """Every rule on each of its cases, in the order of the rules, then of the cases.

        Raises EngineError when the evaluators differ or a check is lost.
        """
        conclusions = Conclusions(source)
        found: dict[str, list[Judgement]] = {}
        for chunk in self._chunks:
            cases = [
                _Case(case, subject, chunk.values(case, source, conclusions))
                for subject in chunk.about
                for case in source.cases(subject)
            ]
            without = [without_assumptions(case.values) for case in cases]
            first = self._verdicts(chunk, [case.id for case in cases], without)
            again = [
                number
                for number, verdicts in enumerate(first)
                if cases[number].assumes and Verdict.UNDETERMINED in verdicts
            ]
            retried = self._verdicts(
                chunk, [cases[n].id for n in again], [cases[n].values for n in again]
            )
            second = dict(zip(again, retried, strict=True))
            for number, case in enumerate(cases):
                with_them = second.get(number, first[number])
                for rule, strict, lenient in zip(
                    chunk.rules, first[number], with_them, strict=True
                ):
                    rows = (without[number], case.values)
                    one = judgement(rule, case.id, case.subject, rows, (strict, lenient))
                    found.setdefault(rule.name, []).append(one)
                    if rule.concludes:
                        conclusions.add(one)
        self._count(found, source)
        return [one for rule in self.book.rules for one in found.get(rule.name, ())]

    def verdict(self, rule: Rule, row: Row) -> Verdict:
        """One rule of the book on one row, by both evaluators."""
        chunk, number = self._place[rule.name]
        (verdicts,) = self._verdicts(chunk, ["the row"], [without_assumptions(row)])
        return verdicts[number]

    def _verdicts(
        self, chunk: _Chunk, cases: list[str], rows: Sequence[Row]
    ) -> list[list[Verdict]]:
        python = [[verdict(rule.applies, rule.when, row) for rule in chunk.rules] for row in rows]
        if self._engine is not None and rows:
            fired = self._engine.fire(chunk, rows)
            for case, said, matched in zip(cases, python, fired, strict=True):
                for number, rule in enumerate(chunk.rules):
                    engine = matched.get(number, _NOTHING)
                    expected = _NOTHING if said[number] is Verdict.UNDETERMINED else {said[number]}
                    if engine != expected:
                        raise EvaluatorsDisagreeError(rule, case, said[number], sorted(engine))
        return python

    def _count(self, found: Mapping[str, list[Judgement]], source: CaseSource) -> None:
        for rule in self.book.rules:
            wanted = sum(len(source.cases(subject)) for subject in rule.about)
            have = len(found.get(rule.name, ()))
            if wanted != have:
                raise EngineError(f"rule {rule.name}: {have} verdicts for {wanted} cases")


_NOTHING: set[Verdict] = set()


@dataclass(frozen=True, slots=True)
class _Case:
    id: str
    subject: str
    values: dict[str, Value]

    @property
    def assumes(self) -> bool:
        return any(isinstance(one, Known) and one.assumed for one in self.values.values())


@dataclass(frozen=True, slots=True, eq=False)
class _Chunk:
    """Rules of one layer about the same subjects, judged together on one row for each case.

    `patterns` are those of each rule, over `terms`; none where the Python evaluator judges alone.
    """

    name: str
    about: tuple[str, ...]
    rules: tuple[Rule, ...]
    terms: Terms
    patterns: tuple[Patterns, ...]

    def values(self, case: str, source: CaseSource, conclusions: Conclusions) -> dict[str, Value]:
        found: dict[str, Value] = {}
        for rule in self.rules:
            for name in rule.reads:
                if name.written not in found:
                    concluded = name.written in rule.concluded
                    found[name.written] = (conclusions if concluded else source).value(case, name)
        return found


def _chunks(rules: Sequence[Rule], *, patterns: bool) -> list[_Chunk]:
    """Rules by layer and subjects, in chunks that stay below the limits of the engine."""
    groups: dict[tuple[int, tuple[str, ...]], list[_Filling]] = {}
    for rule in rules:
        parts = groups.setdefault((rule.layer, rule.about), [_Filling()])
        if not parts[-1].took(rule, patterns):
            parts.append(_Filling())
            parts[-1].took(rule, patterns)
    number = count()
    return [
        _Chunk(f"chunk{next(number)}", about, tuple(one.rules), one.terms, tuple(one.patterns))
        for (_, about), parts in sorted(groups.items(), key=lambda one: one[0])
        for one in parts
    ]


class _Filling:
    """A chunk in the making."""

    def __init__(self) -> None:
        self.rules: list[Rule] = []
        self.patterns: list[Patterns] = []
        self.terms = Terms()

    def took(self, rule: Rule, patterns: bool) -> bool:
        """Put a rule in; false where that goes beyond a limit, which the first rule never does."""
        if len(self.rules) == MAX_RULES:
            return False
        terms = self.terms.copy()
        own = twins(rule, terms) if patterns else []
        number = sum(len(one) for one in self.patterns) + len(own)
        if self.rules and (number > MAX_PATTERNS or len(terms) > MAX_PROPERTIES):
            return False
        self.rules.append(rule)
        self.patterns.append(own)
        self.terms = terms
        return True


class _Engine:
    """durable-rules inside the envelope where it was found exact.

    One pattern for each verdict of a rule, one flat row for each case, a state of its own for each
    judgement that is deleted afterwards. Only "no rule matched this row" is an expected exception.
    """

    def __init__(self) -> None:
        self.firings = 0
        self._state = count()
        self._fired: list[tuple[int, int, Verdict]] = []
        self._compiled: set[str] = set()
        self._host = durable.Host()
        # its timer threads look for work of other processes, which there is none of
        self._host._d_timer.cancel()
        self._host._t_timer.cancel()

    def _compile(self, chunk: _Chunk) -> None:
        """Hand over the patterns of a chunk; done when it first has a case to judge."""
        patterns = {
            f"{number}-{said}-{part}": {"all": [{"m": pattern}], "run": self._note(number, said)}
            for number, own in enumerate(chunk.patterns)
            for part, (said, pattern) in enumerate(own)
        }
        if len(patterns) > MAX_PATTERNS or len(chunk.terms) > MAX_PROPERTIES:
            raise EngineError(f"{chunk.name} is too large for the rules engine")
        patterns["seen"] = {"all": [{"m": SEEN}], "run": lambda _: None}
        self._host.register_rulesets({chunk.name: patterns})
        self._compiled.add(chunk.name)

    def _note(self, number: int, said: Verdict) -> Any:
        def action(context: Any) -> None:
            self._fired.append((int(context.m.id), number, said))

        return action

    def fire(self, chunk: _Chunk, rows: Sequence[Row]) -> list[dict[int, set[Verdict]]]:
        """For each row, the verdicts of the patterns that matched it, by the rule's number."""
        if chunk.name not in self._compiled:
            self._compile(chunk)
        self._fired.clear()
        state = f"judgement{next(self._state)}"
        ruleset = self._host.get_ruleset(chunk.name)
        try:
            for number, row in enumerate(rows):
                try:
                    self._host.assert_fact(
                        chunk.name, {"id": str(number), "sid": state, **chunk.terms.row(row)}
                    )
                except durable.MessageNotHandledException:
                    pass  # no pattern matched: every rule is undetermined on this row
                except Exception as error:
                    raise EngineError(f"the rules engine failed: {error}") from error
            swallowed = ruleset.get_state(state).get("exception")
            if swallowed:
                raise EngineError(f"the rules engine failed: {swallowed}")
        finally:
            if not self._fired:
                # a state in which nothing ever fired holds a wild pointer, which its deletion frees
                self._host.assert_fact(chunk.name, {"id": "seen", "sid": state, **SEEN})
            ruleset.delete_state(state)
        self.firings += len(self._fired)
        found: list[dict[int, set[Verdict]]] = [{} for _ in rows]
        for number, rule, said in self._fired:
            found[number].setdefault(rule, set()).add(said)
        return found


__all__ = [
    "CaseSource",
    "EngineError",
    "EvaluatorsDisagreeError",
    "Judge",
    "Judgement",
    "Verdict",
]
