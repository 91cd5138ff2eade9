"""From a build with its plan of cables to the facts that the plan gives."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from advisor.facts import DERIVATIONS, Facts
from advisor.facts.origins import Key, Value
from advisor.facts.traced import Traced
from advisor.physics.circuit import NetworkError
from advisor.sheet.build import Build
from advisor.wiring import survey_parts, survey_runs
from advisor.wiring.currents import Currents
from advisor.wiring.found import Found
from advisor.wiring.guards import Guards
from advisor.wiring.modes import LASTING
from advisor.wiring.plan import Consumer, Plan, is_wired, plan_of
from advisor.wiring.shorts import Shorts
from advisor.wiring.topology import Topology, topology_of
from advisor.wiring.warmth import hotter, temperatures

_CIRCUITS = {
    "drive": "traction",
    "charge": "charge",
    "converter": "converter-input",
    "coil": "control",
    "key": "control",
    "monitor": "control",
}
_ORDER = ("traction", "charge", "converter-input", "auxiliary", "control")


@dataclass(frozen=True)
class Survey:
    """Everything the plan of a build tells; `currents` cannot be had of a shorted plan."""

    facts: Facts

    @cached_property
    def plan(self) -> Plan:
        """The circuit; of equal ones the first, with what was already found in it."""
        return topology_of(plan_of(self.facts)).plan

    @cached_property
    def topology(self) -> Topology:
        """What is connected to what."""
        return topology_of(self.plan)

    @cached_property
    def currents(self) -> Currents:
        """What flows where, by mode; solved again where runs get hotter than usual."""
        first = Currents(self.facts, self.plan)
        carried = {run: first.largest(run, LASTING) for run in self.plan.runs}
        warm = temperatures(self.facts, {run: one for run, one in carried.items() if one.known})
        hot = {run: factor for run, one in warm.items() if (factor := hotter(one.value)) > 1.0}
        return Currents(self.facts, self.plan, hot) if hot else first

    @cached_property
    def guards(self) -> Guards:
        """What protects what."""
        return Guards(self.topology, self.currents)

    @cached_property
    def shorts(self) -> Shorts:
        """Short-circuit currents."""
        return Shorts(self.currents, self.topology.closed)

    def circuit(self, one: Consumer) -> str:
        """The circuit of a consumer."""
        if self.topology.closed.standing[one.name].side == "low":
            return "auxiliary"
        return "traction" if one.kind == "load" else _CIRCUITS[one.kind]

    def circuit_of(self, joint: str) -> str | None:
        """The circuit whose current a joint carries: the strongest of its consumers."""
        circuits = [self.circuit(one) for one in self.currents.consumers(joint)]
        return min(circuits, key=_ORDER.index, default=None)

    @property
    def sound(self) -> bool:
        """The traction side is not shorted, so that its currents mean something."""
        return self.topology.solvable


class Notebook:
    """Collects traced values."""

    def __init__(self) -> None:
        self.values: dict[Key, Traced] = {}

    def put(
        self,
        identity: str,
        name: str,
        value: Value | None,
        words: str,
        missing: frozenset[str] = frozenset(),
    ) -> None:
        """A value read off the topology; None is left out where nothing is missing for it."""
        if value is not None or missing:
            self.values[identity, name] = Traced(value, words, missing=missing)

    def none(
        self, identity: str, name: str, words: str, missing: frozenset[str] = frozenset()
    ) -> None:
        """The plan shows that there is no such value, or that it needs some missing ones."""
        self.values[identity, name] = Traced(None, words, missing=missing)

    def number(
        self, identity: str, name: str, found: Found | None, words: str, source: str = ""
    ) -> None:
        """A solved value; left out where something for it is missing."""
        if found is None or not found.known or not math.isfinite(found.value):
            return
        self.values[identity, name] = Traced(
            found.value,
            words,
            source or "nodal analysis of the plan of the cables",
            found.inputs,
            found.assumed,
            found.settles,
        )


def survey(facts: Facts) -> Mapping[Key, Traced]:
    """The facts that the plan of a build gives; none where no run has both its ends."""
    if not is_wired(facts.build):
        return {}
    return _traced(Survey(facts))


def _traced(found: Survey) -> Mapping[Key, Traced]:
    notebook = Notebook()
    survey_parts.connections(found.topology, found.facts, notebook.put)
    survey_runs.motor(found, notebook)
    if not found.sound:
        return notebook.values
    try:
        survey_runs.solved(found, notebook)
    except NetworkError:  # no definite answer: the topology alone speaks
        return {
            key: one
            for key, one in notebook.values.items()
            if one.source == "the plan of the cables"
        }
    return notebook.values


def surveyed(build: Build) -> Facts:
    """The facts of a build, with what its plan of the cables gives."""
    return Facts(build, DERIVATIONS, None, survey)
