"""How long the network solver takes. Prints; asserts nothing.

Run: python -m tests.benchmarks.network. Bounds: 60 elements in six modes under 50 ms, 200 elements
under 300 ms. Printed as numpy comes and with one thread: on few or busy cores the threads of its
linear algebra wait for each other, and OPENBLAS_NUM_THREADS=1 is many times faster.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from collections.abc import Callable

from advisor.physics.circuit import Network, PowerLoad, Resistance, Source
from advisor.physics.network import solve


def vehicle(elements: int, share: float = 1.0) -> Network:
    """A pack, a positive and a negative chain of runs, and a power load at every fourth pair."""
    pairs = max(1, (elements - 1) * 4 // 9)
    runs, loads = [], []
    for n in range(pairs):
        runs.append(Resistance(f"plus-{n}", f"p{n}", f"p{n + 1}", 0.0004))
        runs.append(Resistance(f"minus-{n}", f"m{n}", f"m{n + 1}", 0.0004))
        if n % 4 == 3:
            watt = share * 3000.0 / pairs * 4
            loads.append(PowerLoad(f"load-{n}", f"p{n + 1}", f"m{n + 1}", watt))
    pack = Source("pack", "p0", "m0", 51.2, 0.01)
    return Network(tuple(runs), (pack,), power_loads=tuple(loads), references=("m0",))


def median(work: Callable[[], object], runs: int = 15) -> float:
    """Milliseconds, the median of some runs after one that is not counted."""
    work()
    times = []
    for _ in range(runs):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    return 1000.0 * statistics.median(times)


def main() -> None:
    """Print both times."""
    modes = [vehicle(60, share) for share in (1.0, 1.5, -0.5, -0.2, 0.01, 0.1)]
    large = vehicle(200)
    for network in (*modes, large):
        assert solve(network).converged
    for name, one, bound in (("60 in six modes", modes[0], 50), ("200", large, 300)):
        count = len(one.resistances) + len(one.sources) + len(one.power_loads)
        work = (
            (lambda: [solve(mode) for mode in modes]) if one is modes[0] else lambda: solve(large)
        )
        print(f"{name} ({count} elements): {median(work):.1f} ms (bound {bound} ms)")


if __name__ == "__main__":
    print(f"threads: {os.environ.get('OPENBLAS_NUM_THREADS', 'as numpy comes')}", flush=True)
    main()
    if "OPENBLAS_NUM_THREADS" not in os.environ:
        again = [sys.executable, "-m", "tests.benchmarks.network"]
        subprocess.run(again, check=True, env=os.environ | {"OPENBLAS_NUM_THREADS": "1"})
