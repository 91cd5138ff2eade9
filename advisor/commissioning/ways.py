"""Points of the circuit as a person finds them: terminals by distance from the battery."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from advisor.facts import Facts
from advisor.wiring.plan import Plan, plan_of
from advisor.wiring.topology import Topology

_POWER_ENDS = {
    "contactor": ("in", "out"),
    "controller": ("plus", "minus"),
    "converter": ("in-plus", "in-minus"),
    "monitor": ("load", "battery"),
}
"""The terminals that count where a part has others for control."""


@dataclass(frozen=True)
class Ways:
    """Answers of one plan about where to put the probes of a meter."""

    facts: Facts

    @cached_property
    def _plan(self) -> Plan:
        return plan_of(self.facts)

    @cached_property
    def _topology(self) -> Topology:
        return Topology(self._plan)

    @cached_property
    def _runs(self) -> dict[str, str]:
        """The first run that ends at each terminal."""
        found: dict[str, str] = {}
        for one in self._plan.joints:
            if one.kind == "run":
                found.setdefault(one.a, one.name)
                found.setdefault(one.b, one.name)
        return found

    @cached_property
    def poles(self) -> tuple[str, str]:
        """The most positive and the most negative terminal of the battery; empty if unclear."""
        state = self._topology.held
        ladder = state.traction
        nets = state.wires.nets
        packs = [one for one in self._plan.supplies if one.kind == "pack"]
        if not packs or ladder.conflicts:
            return "", ""
        top = max(packs, key=lambda one: ladder.height.get(nets[one.plus], 0))
        low = min(packs, key=lambda one: ladder.height.get(nets[one.minus], 0))
        return self._pole(top.part, "plus"), self._pole(low.part, "minus")

    def _pole(self, pack: str, pole: str) -> str:
        """The terminal of a pack that a cable ends at: its own, or that of its cells."""
        ends = (f"{pack}.{pole}", f"{pack}.cells-{pole}")
        return next((end for end in ends if end in self._plan.connected), "")

    @cached_property
    def _distances(self) -> tuple[dict[str, float], dict[str, float]]:
        wires = self._topology.held.wires
        plus, minus = self.poles
        return (
            wires.distances(plus, lambda _: 1.0) if plus else {},
            wires.distances(minus, lambda _: 1.0) if minus else {},
        )

    def _ends(self, part: str) -> list[tuple[float, str]]:
        """Terminals of a part that are wired to the battery, the nearest first."""
        kept = _POWER_ENDS.get(self.facts.subject_of(part))
        plus, minus = self._distances
        run = self._plan.joint(part)
        ends = {run.a, run.b} if run is not None else self._own(part)
        found = []
        for end in ends:
            far = min(plus.get(end, math.inf), minus.get(end, math.inf))
            if math.isfinite(far) and (kept is None or end.rpartition(".")[2] in kept):
                found.append((far, end))
        return sorted(found)

    def _own(self, part: str) -> set[str]:
        """The terminals of a part that cables end at."""
        return {end for end in self._plan.connected if end.rpartition(".")[0] == part}

    def distance(self, part: str) -> float:
        """How many cables and parts lie between the battery and a part; infinite if none do."""
        ends = self._ends(part)
        return ends[0][0] if ends else math.inf

    def point(self, part: str, which: str) -> str:
        """A terminal with the cable on it, `main-switch.in (cable fuse-to-switch)`, or empty.

        `which` is one of near, far, plus, minus.
        """
        if which in ("plus", "minus"):
            end = self.poles[0 if which == "plus" else 1]
        else:
            ends = self._ends(part)
            end = (ends[0] if which == "near" else ends[-1])[1] if ends else ""
        run = self._runs.get(end, "")
        return f"{end} (cable {run})" if run else end


__all__ = ["Ways"]
