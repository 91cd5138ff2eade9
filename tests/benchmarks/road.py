"""How long a day on the road takes. Prints; asserts nothing.

Run: python -m tests.benchmarks.road [RUNS]. Bounds: a day of 60 km in steps of 1 s under 0.3 s, and
200 vehicles at once in under 4 times the time of one.
"""

from __future__ import annotations

import os
import statistics
import sys
import time

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np

from advisor.physics.course import Piece, course_of, day_of
from advisor.physics.trip import Vehicle, drive

ROUND = [
    Piece(2000, 0.0, 5.5, 0.02, 200, 2),
    Piece(500, 0.08, 5.0, 0.03, 200),
    Piece(500, -0.08, 5.0, 0.03, 200),
]


def vehicle(mass: object) -> Vehicle:
    """A cart, or as many as there are masses."""
    return Vehicle(
        mass=mass, rotating=1.05, drag_area=1.2, density=1.2, efficiency=0.75, pull=2500.0,
        grip=4.0, top_speed=9.0, open_circuit=np.linspace(48, 54, 21), capacity=300 * 3600.0,
        battery_resistance=0.02, limit=250.0, fold_start=42.0, cut_off=38.0, weakened=255.0,
        regeneration=50.0, auxiliary=50.0, force_rated=400.0, rise_rated=80.0, continuous=100.0,
        peak=200.0, peak_time=30.0,
    )  # fmt: skip


def main() -> None:
    """Time a day for one vehicle and for 200."""
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 5
    course = day_of([(course_of(ROUND), 20, 600.0)])
    found = []
    for made in (vehicle(500.0), vehicle(np.linspace(400.0, 700.0, 200))):
        times = []
        for _ in range(runs):
            start = time.perf_counter()
            drive(made, course)
            times.append(time.perf_counter() - start)
        found.append(statistics.median(times))
    print(f"{course.distance.sum() / 1000:.0f} km, {len(course.time)} steps")
    print(f"one vehicle: {found[0]:.3f} s (bound 0.3 s)")
    print(f"200 vehicles: {found[1]:.3f} s, {found[1] / found[0]:.1f} times (bound 4)")


if __name__ == "__main__":
    main()
