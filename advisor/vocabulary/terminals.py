"""Where a cable can end: the terminals of each kind of part, in plain trade words.

A run goes from `pack-a.plus` to `main-fuse.in`, for example: the part, a dot, its terminal. What
conducts both ways has `in` towards the battery and `out` away from it; a connector or disconnect of
two poles has both for each pole. `cells-plus` and `cells-minus` of a pack lie behind the switch of
its management system, `charge-plus` and `charge-minus` are its charge port where that is separate.
"""

from __future__ import annotations

_THROUGH = ("in", "out")
_TWO_POLES = (*_THROUGH, "in-plus", "out-plus", "in-minus", "out-minus")
_POLES = ("plus", "minus")

TERMINALS: dict[str, tuple[str, ...]] = {
    "pack": (*_POLES, "cells-plus", "cells-minus", "charge-plus", "charge-minus", "case"),
    "motor": ("a1", "a2", "f1", "f2", "u", "v", "w"),
    "controller": (*_POLES, "key", "coil", "motor-plus", "motor-minus", "f1", "f2", "u", "v", "w"),
    "contactor": (*_THROUGH, "coil-plus", "coil-minus"),
    "precharge": _THROUGH,
    "key_switch": _THROUGH,
    "fuse": _THROUGH,
    "breaker": _THROUGH,
    "disconnect": _TWO_POLES,
    "bus_bar": tuple(f"stud-{number}" for number in range(1, 13)),
    "connector": _TWO_POLES,
    "monitor": ("battery", "load", "sense", "supply"),
    "charger": _POLES,
    "inlet": _POLES,
    "converter": ("in-plus", "in-minus", "out-plus", "out-minus", "enable"),
    "buffer": _POLES,
    "load": _POLES,
    "vehicle": ("frame",),
}
"""Terminals by subject; `monitor.battery` and `monitor.load` are the two sides of its shunt."""
