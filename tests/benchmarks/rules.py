"""How the time to judge and to check grows with the number of rules. Prints; asserts nothing.

Run from the repository: python -m tests.benchmarks.rules
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from dataclasses import replace

from advisor.authoring.whole_book import check_covers, unused_attributes
from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.facts.cases import BuildCases
from advisor.proofs.formulas import AVAILABLE
from advisor.rules import RuleBook, check_examples, load_rulesets
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet

SHARES = (0.25, 0.5, 1.0)


def _ms(what: Callable[[], object], times: int = 5) -> float:
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        what()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken) * 1000.0


def _part(book: RuleBook, share: float) -> RuleBook:
    """Every n-th rule; a conclusion that is left out is concluded by nobody, which is false."""
    step = round(1 / share)
    return replace(book, rules=book.rules[::step])


def _check(book: RuleBook) -> None:
    judge = Judge(book)
    for rule in book.rules:
        check_examples(rule, judge.verdict)
    check_covers(book)
    unused_attributes(book)


def main() -> None:
    """Print the figures; the largest sheet is the one with the most checks."""
    book = load_rulesets()
    cases = {
        name: BuildCases(surveyed(read_sheet(path))) for name, path in example_sheets().items()
    }
    verdicts = {name: len(Judge(book).judge(one)) for name, one in cases.items()}
    largest = max(verdicts, key=lambda name: verdicts[name])
    print(f"largest sheet: {largest}, {verdicts[largest]} checks")
    for share in SHARES:
        part = _part(book, share)
        judge = Judge(part)
        number = len(part.rules)
        count = len(judge.judge(cases[largest]))
        taken = _ms(lambda judge=judge: judge.judge(cases[largest]))  # type: ignore[misc]
        print(
            f"{number} rules: judged in {taken:.1f} ms, {taken / count * 1000:.0f} µs a check; "
            f"examples and whole book in {_ms(lambda part=part: _check(part), 3):.0f} ms"  # type: ignore[misc]
        )
    if AVAILABLE:
        from advisor.proofs.proving import prove

        for share in SHARES:
            part = _part(book, share)
            print(
                f"{len(part.rules)} rules: proofs in {_ms(lambda part=part: prove(part), 1):.0f} ms"
            )  # type: ignore[misc]


if __name__ == "__main__":
    main()
