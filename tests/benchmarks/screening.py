"""How long a screening takes as a whole process, against importing three libraries it stands on.

Run: python -m tests.benchmarks.screening [RUNS]. Prints medians and their ratio. The bounds, for a
parts list: at most 1.5 times the three imports in the same run, and under 0.7 s on the machine it
was set on. The same sheet with its plan of cables also loads the graph library and numpy; it is
timed beside it, without a bound.
"""

from __future__ import annotations

import re
import statistics
import subprocess
import sys
import tempfile
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


def without_plan(sheet: Path, folder: Path) -> Path:
    """The same sheet as a parts list: its section `wiring` taken out."""
    text = sheet.read_text(encoding="utf-8")
    parts = re.sub(r"(?ms)^wiring:\n.*?(?=^[a-z])", "", text)
    made = folder / sheet.name
    made.write_text(parts, encoding="utf-8")
    return made


def main() -> None:
    """Time the commands in turn and print what came out."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    sheet = largest_scenario()
    imports = [sys.executable, "-c", "import pint, pydantic, typer"]
    with tempfile.TemporaryDirectory() as folder:
        parts = without_plan(sheet, Path(folder))
        commands = [[sys.executable, "-m", "advisor", "screen", str(one)] for one in (parts, sheet)]
        commands.append(imports)
        for one in commands:
            seconds(one)
        times = [[seconds(one) for one in commands] for _ in range(runs)]
    medians = [statistics.median(row[n] for row in times) for n in range(3)]
    ratios = [statistics.median(row[n] / row[2] for row in times) for n in range(2)]
    print(f"import pint, pydantic, typer: {medians[2]:.3f} s (median of {runs})")
    print(f"advisor screen {sheet.name}, parts list: {medians[0]:.3f} s")
    print(f"ratio: {ratios[0]:.2f} (bound 1.5)")
    print(f"the same with its plan of cables: {medians[1]:.3f} s, ratio {ratios[1]:.2f}")


if __name__ == "__main__":
    main()
