"""How a clean example is rewired in a test: runs moved to other terminals, heavy cables added."""

from __future__ import annotations

import re

from tests.wiring.test_miswired import clean

Change = tuple[str, str]

ORCHARD = "orchard-four-seater"
SERIES = "two-lots-in-series"
PARALLEL = "winter-hauler"
BUFFERED = "campus-ac-drive"

NO_PACK_FUSE: tuple[Change, ...] = (
    ("internal_fuse: yes", "internal_fuse: no"),
    ("      internal_fuse_rating: 400 A\n", ""),
    ("      internal_fuse_dc_voltage: 80 V\n", ""),
)


def at(run: str, start: str, stop: str, sheet: str = ORCHARD, **new: str) -> Change:
    """The change that moves a run to other terminals, and gives it other values."""
    old = re.search(rf"{{id: {run}, [^}}]*}}", clean(sheet))
    assert old is not None, run
    text = re.sub(r"from: [^ ]+, to: [^ ]+,", f"from: {start}, to: {stop},", old[0])
    for name, value in new.items():
        text, changed = re.subn(rf"{name}: [^,}}]+", f"{name}: {value}", text)
        assert changed == 1, (run, name)
    return old[0], text


def heavy(*ends: tuple[str, str]) -> Change:
    """The change that adds heavy cables `heavy-1`, `heavy-2` ..., which nothing overloads."""
    lines = [
        f"  - {{id: heavy-{n}, from: {a}, to: {b}, gauge: 2/0 AWG, length: 1 ft, "
        "place: free-air}\n"
        for n, (a, b) in enumerate(ends, start=1)
    ]
    return "wiring:\n", "wiring:\n" + "".join(lines)
