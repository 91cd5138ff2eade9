"""How long the review and its record take as whole processes. Prints; asserts nothing.

Run: python -m tests.benchmarks.handoff [RUNS]. Bounds: `handoff` with HTML, PDF and all charts
under 6 s median for the largest scenario; the HTML under 2 MiB.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from pathlib import Path

from tests.benchmarks.screening import SCENARIOS, seconds


def main(runs: int) -> None:
    """Print the medians."""
    for name in ("twin-packs-in-parallel", "bargain-parts"):
        sheet = str(SCENARIOS / f"{name}.yaml")
        plain = [sys.executable, "-m", "advisor", "handoff", sheet]
        found, sizes = [], [0]
        for _ in range(runs):
            with tempfile.TemporaryDirectory() as folder:
                html, pdf = Path(folder, "a.html"), Path(folder, "a.pdf")
                found.append(seconds([*plain, "--html", str(html), "--pdf", str(pdf)]))
                sizes.append(html.stat().st_size)
        review = statistics.median(seconds(plain) for _ in range(runs))
        print(
            f"{name}: handoff {review:.2f} s, with HTML and PDF {statistics.median(found):.2f} s "
            f"(bound 6 s), HTML {max(sizes) / 1024**2:.2f} MiB (bound 2 MiB)"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
