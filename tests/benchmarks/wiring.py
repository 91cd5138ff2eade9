"""How long the plan of the cables takes. Prints; asserts nothing.

Run: python -m tests.benchmarks.wiring [RUNS]. Bounds: topology queries under 50 ms, the network in
all modes under 50 ms, `advisor wiring` as a whole process under 1.5 s, on the example with the
longest plan.
"""

from __future__ import annotations

import os
import statistics
import sys
import time
from collections.abc import Callable

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

from advisor.facts import facts_of
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet, read_sheet_bytes
from advisor.wiring import survey_parts
from advisor.wiring.currents import Currents
from advisor.wiring.modes import MODES
from advisor.wiring.survey import Notebook, Survey
from tests.benchmarks.screening import seconds


def median(work: Callable[[], object], runs: int) -> float:
    """Milliseconds, the median of some runs after one that is not counted."""
    work()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return 1000 * statistics.median(times)


def main() -> None:
    """Time the topology, the networks and the whole process."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    sheets = {name: read_sheet(path) for name, path in example_sheets().items()}
    longest = max(sheets, key=lambda name: len(Survey(facts_of(sheets[name])).plan.runs))
    facts = facts_of(sheets[longest])
    number = len(Survey(facts).plan.runs)

    def topology() -> None:
        found = Survey(facts)
        survey_parts.connections(found.topology, facts, Notebook().put)
        assert found.topology.loops is not None

    def networks() -> None:
        found = Survey(facts)
        for run in found.plan.runs:
            for mode in MODES:
                found.currents.current(run, mode)

    print(f"{longest}: {number} runs")
    print(f"topology: {median(topology, runs):.1f} ms (bound 50 ms)")
    print(f"network in {len(MODES)} modes: {median(networks, runs):.1f} ms (bound 50 ms)")
    command = [sys.executable, "-m", "advisor", "wiring", str(example_sheets()[longest])]
    seconds(command)
    whole = statistics.median(seconds(command) for _ in range(runs))
    print(f"advisor wiring, whole process: {whole:.3f} s (bound 1.5 s)")
    _large(runs)


def _large(runs: int) -> None:
    """A plan of 200 runs: the example with packs in parallel, with many more lamps."""
    text = example_sheets()["twin-packs-in-parallel"].read_text(encoding="utf-8")
    number = 200 - len(Survey(facts_of(read_sheet_bytes(text.encode(), "one"))).plan.runs)
    loads, cables = [], []
    for n in range(number // 2):
        loads.append(f"    - {{id: glow-{n}, kind: headlamp, current: 0.1 A}}\n")
        for name, ends in (("to", f"from: low-plus.stud-2, to: glow-{n}.plus"),
                           ("back", f"from: glow-{n}.minus, to: low-minus.stud-2")):  # fmt: skip
            size = "gauge: 14 AWG, length: 2 m, material: copper"
            cables.append(f"  - {{id: glow-{n}-{name}, {ends}, circuit: auxiliary, {size}}}\n")
    text = text.replace("  loads:\n", "  loads:\n" + "".join(loads))
    text = text.replace("\nwiring:\n", "\nwiring:\n" + "".join(cables))
    facts = facts_of(read_sheet_bytes(text.encode(), "large"))
    plan = Survey(facts).plan

    def networks() -> None:
        assert Currents(facts, plan).solutions

    print(f"{len(plan.runs)} runs")
    print(f"network in {len(MODES)} modes: {median(networks, runs):.1f} ms (bound 300 ms)")


if __name__ == "__main__":
    main()
