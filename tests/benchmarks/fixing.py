"""How long `explain`, `fix` and `fix --catalogue` take as whole processes. Prints; asserts nothing.

Run: python -m tests.benchmarks.fixing [RUNS]. Bounds: explain and fix without a catalogue under
1.2 s median; with a catalogue of 60 parts all single replacements under 0.5 s, all pairs under 5 s.
"""

from __future__ import annotations

import statistics
import sys
import time

from advisor.catalogue import read_catalogue
from advisor.driving.survey import surveyed
from advisor.fixing.replacing import replacements
from advisor.rules import load_rulesets
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet
from tests.benchmarks.screening import SCENARIOS, seconds


def main(runs: int) -> None:
    """Print the medians."""
    for name in ("orchard-four-seater", "two-lots-in-series", "winter-hauler", "bargain-parts"):
        sheet = str(SCENARIOS / f"{name}.yaml")
        for words in (("explain", sheet, "1"), ("fix", sheet)):
            call = [sys.executable, "-m", "advisor", *words]
            seconds(call)
            median = statistics.median(seconds(call) for _ in range(runs))
            print(f"{name}: {words[0]} {median:.2f} s (bound 1.2 s)")
    book = load_rulesets(examples=False)
    parts = read_catalogue(SCENARIOS / "catalogue")
    for name in ("two-lots-in-series", "bargain-parts"):
        build = read_sheet(example_sheets()[name])
        start = time.perf_counter()
        found = replacements(build, book, parts, surveyed, seconds=300)
        each = (time.perf_counter() - start) / found.tried
        words = f"{len(parts.entries)} parts, {found.tried} builds judged"
        print(f"{name}: {words}, {each * 1000:.0f} ms each")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
