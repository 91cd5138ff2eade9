"""How long a screening takes as a whole process, against importing three libraries it stands on.

Run: python -m tests.benchmarks.screening [RUNS]. Prints medians and their ratio. The bounds: at
most 1.5 times the three imports in the same run, and under 0.7 s on the machine it was set on.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from pathlib import Path

SCENARIOS = Path(__file__).parents[2] / "scenarios"


def largest_scenario() -> Path:
    """The scenario with the most text."""
    sheets = [one for one in SCENARIOS.glob("*.yaml") if not one.stem.endswith(".expected")]
    return max(sheets, key=lambda one: one.stat().st_size)


def seconds(command: list[str]) -> float:
    """Wall time of one run of a command."""
    start = time.perf_counter()
    subprocess.run(command, check=False, capture_output=True)
    return time.perf_counter() - start


def main() -> None:
    """Time both commands in turn and print what came out."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    sheet = largest_scenario()
    screen = [sys.executable, "-m", "advisor", "screen", str(sheet)]
    imports = [sys.executable, "-c", "import pint, pydantic, typer"]
    seconds(screen), seconds(imports)
    pairs = [(seconds(screen), seconds(imports)) for _ in range(runs)]
    ours = statistics.median(one for one, _ in pairs)
    theirs = statistics.median(other for _, other in pairs)
    print(f"advisor screen {sheet.name}: {ours:.3f} s (median of {runs})")
    print(f"import pint, pydantic, typer: {theirs:.3f} s")
    print(f"ratio: {statistics.median(one / other for one, other in pairs):.2f} (bound 1.5)")


if __name__ == "__main__":
    main()
