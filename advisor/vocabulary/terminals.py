"""Where a cable can end: the terminals of each kind of part, in plain trade words.

A run goes from `pack-a.plus` to `main-fuse.in`, for example: the part, a dot, its terminal. What
conducts both ways has `in` towards the battery and `out` away from it.
"""

from __future__ import annotations

_THROUGH = ("in", "out")
_POLES = ("plus", "minus")

TERMINALS: dict[str, tuple[str, ...]] = {
    "pack": _POLES,
    "motor": ("a1", "a2", "f1", "f2", "u", "v", "w"),
    "controller": (*_POLES, "key", "coil", "motor-plus", "motor-minus", "u", "v", "w"),
    "contactor": (*_THROUGH, "coil-plus", "coil-minus"),
    "precharge": _THROUGH,
    "key_switch": _THROUGH,
    "fuse": _THROUGH,
    "breaker": _THROUGH,
    "disconnect": _THROUGH,
    "bus_bar": tuple(f"stud-{number}" for number in range(1, 13)),
    "connector": _THROUGH,
    "monitor": ("battery", "load", "sense", "supply"),
    "charger": _POLES,
    "inlet": _POLES,
    "converter": ("in-plus", "in-minus", "out-plus", "out-minus", "enable"),
    "buffer": _POLES,
    "load": _POLES,
    "vehicle": ("frame",),
}
"""Terminals by subject; `monitor.battery` and `monitor.load` are the two sides of its shunt."""
