"""Walks the ways of a layout from terminal to terminal and makes a cable run of every step."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from advisor.problems import Place
from advisor.sheet.build import Instance, Written
from advisor.sheet.layout_parts import LayoutParts
from advisor.sheet.terminals import studs_of

Way = tuple[str, str, str]
"""For each part of which slot (once where empty), circuit of its runs, and the way.

A way goes from terminal to terminal: `controller.minus` of the first part in a slot, `.minus` of
the part it is made for. It passes every part of a `(slot)` from `in` to `out`, a shunt from `load`
to `battery`; `(own)` are the devices of the part. A `[place]` is a bus bar where the sheet lists
one for it, else the terminal at which the first way arrives there. With `<` the way is walked from
its end, so that its runs lead towards its start.
"""

_LONGEST_ID = 60


@dataclass
class _Bar:
    """A bus bar that runs end at; each takes the next stud, round and round."""

    part: Instance
    used: int = 0

    def stud(self) -> str:
        self.used += 1
        return f"{self.part.id}.stud-{(self.used - 1) % studs_of(self.part) + 1}"


_Spot = str | _Bar


class Drawing:
    """Walks the ways of a layout and keeps the runs."""

    def __init__(
        self, parts: LayoutParts, packs_apart: bool, place: Place, taken: Iterable[str]
    ) -> None:
        self.parts = parts
        self.place = place
        self.taken = set(taken)
        self.passed: set[str] = set()
        self.runs: list[Instance] = []
        self.spots: dict[str, _Spot] = {}
        self._bars(packs_apart)

    def _bars(self, packs_apart: bool) -> None:
        """Bus bars by place; `packs_apart` joins the packs on bars of their own, the first ones."""
        for pole, packs in (("plus", "top"), ("minus", "bottom")):
            bars = [_Bar(one) for one in self.parts.bars(pole, "traction")]
            if packs_apart and len(bars) > 1:
                self.spots[packs] = bars.pop(0)
            self.spots[pole] = bars[0]
            for low in self.parts.bars(pole, "auxiliary")[:1]:
                self.spots[f"low-{pole}"] = _Bar(low)
            pack = self.parts.slots["packs"][0].id
            port: _Spot = f"{pack}.charge-{pole}"
            self.spots[f"charge-{pole}"] = port if self.parts.charge_port else bars[0]
        if self.parts.by_frame:
            self.spots["low-minus"] = "vehicle.frame"

    def draw(self, ways: Iterable[Way]) -> list[Instance]:
        """The runs of some ways, which are kept too."""
        before = len(self.runs)
        for slot, circuit, way in ways:
            for one in self.parts.slots.get(slot, []) if slot else [None]:
                self._walk(circuit, way, one)
        return self.runs[before:]

    def _walk(self, circuit: str, way: str, one: Instance | None) -> None:
        back = "<" in way
        before = len(self.runs)
        here: _Spot | None = None
        for token in re.split(" [<>] ", way):
            if token.startswith("("):
                for part in self.parts.between(token[1:-1], one):
                    start, end = ("load", "battery") if part.subject == "monitor" else ("in", "out")
                    ends = [f"{part.id}.{end}", f"{part.id}.{start}"]
                    into, out = ends if back else ends[::-1]
                    if part.id not in self.passed and here is not None:
                        self._run(circuit, here, into, back)
                    self.passed.add(part.id)
                    here = out
                continue
            spot = self._spot(token, one)
            if here is None:
                here = spot
            elif spot is None:
                self.spots[token[1:-1]] = here
            else:
                self._run(circuit, here, spot, back)
                here = spot
            if here is None:
                return
        if back:
            self.runs[before:] = reversed(self.runs[before:])

    def _spot(self, token: str, one: Instance | None) -> _Spot | None:
        if token.startswith("["):
            return self.spots.get(self.parts.feed if token == "[feed]" else token[1:-1])
        owner, _, terminal = token.partition(".")
        part = self.parts.beside(owner, one) if owner else one
        return None if part is None else f"{part.id}.{terminal}"

    def _run(self, circuit: str, here: _Spot, there: _Spot, back: bool) -> None:
        first, last = (there, here) if back else (here, there)
        start, end = (one if isinstance(one, str) else one.stud() for one in (first, last))
        own = [one for one in (first, last) if isinstance(one, str)] or [start]
        values = {"from": start, "to": end, "circuit": circuit}
        written = {key: Written(value, value, self.place) for key, value in values.items()}
        self.runs.append(Instance(self._id(own), "run", self.place, written, {}, {}, {}))

    def _id(self, ends: list[str]) -> str:
        """A name after the end that is on no bus bar, such as `run-pack-a-plus`."""
        names = [f"run-{end.replace('.', '-')}"[: _LONGEST_ID - 4].rstrip("-") for end in ends]
        more = (f"{names[0]}-{number}" for number in range(2, 1000))
        found = next(name for name in (*names, *more) if name not in self.taken)
        self.taken.add(found)
        return found
