"""How long a screening takes as a whole process, against importing three libraries it stands on.

Run: python -m tests.benchmarks.screening [RUNS]. Prints medians and their ratio. The bounds, for a
parts list: at most 1.5 times the three imports in the same run, and under 0.7 s on the machine it
was set on. The same sheet with its plan of cables, and with its trips, also loads numpy and more;
both are timed beside it, without a bound.
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


def without(sheet: Path, folder: Path, *sections: str) -> Path:
    """The same sheet with some sections taken out."""
    text = sheet.read_text(encoding="utf-8")
    for one in sections:
        text = re.sub(rf"(?ms)^{one}:\n.*?(?=^[a-z])", "", text)
    made = folder / f"{'-'.join(sections)}-{sheet.name}"
    made.write_text(text, encoding="utf-8")
    return made


def main() -> None:
    """Time the commands in turn and print what came out."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 9
    sheet = largest_scenario()
    with tempfile.TemporaryDirectory() as folder:
        sheets = {
            "a parts list": without(sheet, Path(folder), "wiring", "trips"),
            "with its plan of cables": without(sheet, Path(folder), "trips"),
            "with its plan and its trips": sheet,
        }
        commands = [
            [sys.executable, "-m", "advisor", "screen", str(one)] for one in sheets.values()
        ]
        commands.append([sys.executable, "-c", "import pint, pydantic, typer"])
        for one in commands:
            seconds(one)
        times = [[seconds(one) for one in commands] for _ in range(runs)]
    medians = [statistics.median(row[n] for row in times) for n in range(4)]
    ratios = [statistics.median(row[n] / row[3] for row in times) for n in range(3)]
    print(f"import pint, pydantic, typer: {medians[3]:.3f} s (median of {runs})")
    for number, name in enumerate(sheets):
        bound = " (bound 1.5)" if number == 0 else ""
        words = f"{medians[number]:.3f} s, ratio {ratios[number]:.2f}{bound}"
        print(f"screen {sheet.name}, {name}: {words}")


if __name__ == "__main__":
    main()
