"""How long `explain`, `fix` and `fix --catalogue` take. Prints, each bound beside its median.

Run: python -m tests.benchmarks.fixing [RUNS]. Bounds: explain and fix without a catalogue under
1.2 s median of the whole process; with a catalogue of 60 parts all single replacements under 0.5 s,
all pairs under 5 s. The time of a bare interpreter with its libraries tells how fast the machine
is now.
"""

from __future__ import annotations

import gc
import statistics
import sys
import time
from dataclasses import replace

from advisor.catalogue import Catalogue, read_catalogue
from advisor.fixing.placing import choices
from advisor.fixing.quickly import Trying
from advisor.rules import load_rulesets
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet
from tests.benchmarks.screening import SCENARIOS, seconds

PROCESS, SINGLES, PAIRS = 1.2, 0.5, 5.0


def main(runs: int) -> None:
    """Print the medians."""
    bare = [sys.executable, "-c", "import durable.lang, numpy, pydantic.main, rustworkx, typer"]
    base = statistics.median(seconds(bare) for _ in range(runs))
    print(f"libraries alone: {base:.2f} s")
    for name in ("orchard-four-seater", "two-lots-in-series", "winter-hauler", "bargain-parts"):
        sheet = str(SCENARIOS / f"{name}.yaml")
        for words in (("explain", sheet, "1"), ("fix", sheet)):
            call = [sys.executable, "-m", "advisor", *words]
            seconds(call)
            median = statistics.median(seconds(call) for _ in range(runs))
            told(f"{name}: {words[0]}", median, PROCESS)
    gc.disable()  # as the program does
    every = read_catalogue(SCENARIOS / "catalogue")
    for name in ("two-lots-in-series", "bargain-parts"):
        with_catalogue(name, runs, sixty(every))
        with_catalogue(name, runs, every)


def sixty(parts: Catalogue) -> Catalogue:
    """The catalogue of the bound: 60 parts, evenly out of all, so that every kind is there."""
    number = len(parts.entries)
    kept = {round(n * (number - 1) / 59) for n in range(60)}
    return replace(parts, entries=tuple(one for n, one in enumerate(parts.entries) if n in kept))


def with_catalogue(name: str, runs: int, parts: Catalogue) -> None:
    """All singles and all pairs, judged in this process."""
    book = load_rulesets(examples=False)
    build = read_sheet(example_sheets()[name])
    listed = choices(build, parts)
    times = []
    for _ in range(runs):
        trying = Trying(build, book)
        start = time.perf_counter()
        singles = [trying.one(one) for one in listed]
        times.append(time.perf_counter() - start)
    words = f"{name}: {len(listed)} single replacements by {len(parts.entries)} parts"
    told(words, statistics.median(times), SINGLES)
    pairs = [
        (one, two)
        for number, one in enumerate(singles)
        for two in singles[:number]
        if one.choices[0].slot != two.choices[0].slot
    ]
    start = time.perf_counter()
    for one, two in pairs:
        trying.two(one, two)
    told(
        f"{name}: {len(pairs)} pairs of {len(parts.entries)} parts",
        time.perf_counter() - start,
        PAIRS,
    )


def told(what: str, found: float, bound: float) -> None:
    """A median with its bound."""
    over = "  ABOVE" if found > bound else ""
    print(f"{what}: {found:.2f} s (bound {bound:g} s){over}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5)
