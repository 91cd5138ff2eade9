"""How fast rules load and judge, and whether memory stays flat. Prints; asserts nothing.

Run from the repository: python -m tests.benchmarks.judging
"""

from __future__ import annotations

import resource
import statistics
import tempfile
import time
from pathlib import Path

from advisor.engine import Judge
from advisor.rules import RuleBook, load_rulesets
from advisor.rules.values import Known, Missing
from advisor.vocabulary import VOCABULARY, Attribute, Kind, Name
from tests.rules.making import HEADER, rule_text

RULES = CASES = 60
BUILDS = 1000
SUBJECTS = (
    *("battery", "vehicle", "use", "pack", "controller", "contactor", "precharge", "fuse"),
    *("disconnect", "charger", "converter", "load", "monitor", "run", "removed"),
)


def _conditions(subject: str) -> list[str]:
    """Four conditions over the subject's own numbers and flags and the battery's voltage."""
    own = VOCABULARY.subjects[subject].attributes
    numbers = [one for one in own if one.kind is Kind.QUANTITY and not one.dimension.absolute]
    flags = [one for one in own if one.kind is Kind.FLAG]
    first, second = numbers[0], numbers[1]

    def limit(attribute: Attribute) -> str:
        return f"{attribute.path} > 7 {attribute.unit}".rstrip()

    flag = flags[0].path if flags else "use.children_present"
    return [
        limit(first),
        f"{limit(second)} and not {flag}",
        f"{limit(first)} or {limit(second)}",
        f"battery.full_voltage * 1.25 > 60 V and ({flag} or {limit(second)})",
    ]


class Build:
    """60 cases spread over the subjects; every fourth value is missing."""

    def __init__(self) -> None:
        self.ids = {
            subject: [f"{subject}-{number}" for number in range(CASES // len(SUBJECTS))]
            for subject in SUBJECTS
        }

    def cases(self, subject: str) -> list[str]:
        return self.ids.get(subject, [])

    def related(self, case: str, subject: str) -> str | None:
        return f"{subject}-0"

    def value(self, case: str, name: Name) -> Known | Missing:
        chance = sum(map(ord, case + name.written)) % 8
        if chance in (3, 7):
            return Missing(frozenset({f"{case}.{name.attribute.name}"}), "not stated")
        if name.attribute.kind is Kind.FLAG:
            return Known(chance < 4)
        return Known(0.01 * 10.0**chance)


def _book(folder: Path) -> RuleBook:
    text = HEADER.format(name="made") + "".join(
        rule_text(f"{subject.replace('_', '-')}-{number}", condition, about=subject)
        for subject in SUBJECTS
        for number, condition in enumerate(_conditions(subject))
    )
    (folder / "made.yaml").write_text(text, encoding="utf-8")
    return load_rulesets(folder)


def _median_ms(what: object, times: int) -> float:
    assert callable(what)
    taken = []
    for _ in range(times):
        start = time.perf_counter()
        what()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken) * 1000.0


def _memory_mib() -> float:
    """Resident memory now (Linux), else the greatest so far."""
    status = Path("/proc/self/statm")
    if status.exists():
        return int(status.read_text().split()[1]) * resource.getpagesize() / 2**20
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0


def main() -> None:
    """Print the figures."""
    real = load_rulesets()
    each = _median_ms(load_rulesets, 7) / len(real.rules)
    print(f"load and check {len(real.rules)} rules: {each:.2f} ms a rule (aim 0.7)")
    with tempfile.TemporaryDirectory() as folder:
        book = _book(Path(folder))
    print(f"compile {len(real.rules)} rules: {_median_ms(lambda: Judge(real), 5):.0f} ms")
    judge, alone = Judge(book), Judge(book, use_engine=False)
    build = Build()
    verdicts = len(judge.judge(build))
    fired = judge.firings
    whole = _median_ms(lambda: judge.judge(build), 30)
    python = _median_ms(lambda: alone.judge(build), 30)
    print(
        f"judge {len(book.rules)} rules on {CASES} cases ({verdicts} verdicts, {fired} firings): "
        f"{whole:.1f} ms (aim 25), of which the Python evaluator {python:.1f} ms"
    )
    print(f"one firing: {(whole - python) / fired * 1000:.0f} µs (aim 60)")
    before = _memory_mib()
    start = time.perf_counter()
    for _ in range(BUILDS):
        judge.judge(build)
    grown = _memory_mib() - before
    print(
        f"{BUILDS} builds: {time.perf_counter() - start:.1f} s, memory grew by {grown:.1f} MiB "
        "(aim less than 10)"
    )
    print(judge.engine_name)


if __name__ == "__main__":
    main()
