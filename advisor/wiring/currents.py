"""The network of the plan solved in every mode: current of each run, voltage at each terminal.

Contacts inside switches, fuses and connectors count for nothing here: their resistance is not on
a plate. A run of unknown size still carries a known current where no other way is open to it.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from advisor.facts import Facts
from advisor.physics.circuit import (
    CurrentLoad,
    Link,
    Network,
    PowerLoad,
    Resistance,
    Solution,
    Source,
)
from advisor.physics.faults import Responses
from advisor.wiring.found import Found, combined, read
from advisor.wiring.graph import Wires, kept
from advisor.wiring.modes import MODES, Mode, mode_of
from advisor.wiring.plan import Consumer, Plan, Supply
from advisor.wiring.solving import responses_of, solved
from advisor.wiring.states import all_closed

CONTACT = 1e-5
"""Resistance (ohm) that stands for a closed contact, so that it has a current of its own."""
_UNSIZED = 1e-3  # ohm, for a run without size or length; what depends on it stays unknown
_SHARED = 1e-4  # share of an ampere from which a consumer counts as flowing through a joint


@dataclass(frozen=True)
class Sizes:
    """Resistances (ohm) of joints and sources, with what they rest on.

    `hot` multiplies the resistance of runs that get hotter than the working temperature.
    """

    facts: Facts
    plan: Plan
    hot: Mapping[str, float] = field(default_factory=dict)

    @cached_property
    def joints(self) -> Mapping[str, Found]:
        """Resistance of every joint that is no link."""
        found = {}
        for one in self.plan.joints:
            if one.kind == "run":
                ohm = read(self.facts, one.part, "resistance", _UNSIZED)
                factor = self.hot.get(one.part, 1.0)
                found[one.name] = combined(ohm.value * factor, [ohm]) if factor != 1.0 else ohm
            elif one.kind == "shunt":
                shunt = read(self.facts, one.part, "shunt_resistance", CONTACT)
                found[one.name] = shunt if shunt.known else Found(CONTACT)
            elif one.kind == "resistor":
                found[one.name] = read(self.facts, one.part, "resistance", 100.0)
            elif one.kind != "link":
                found[one.name] = Found(CONTACT)
        return found

    @cached_property
    def unsized(self) -> frozenset[str]:
        """Runs whose resistance is not known."""
        return frozenset(
            one.name for one in self.plan.joints
            if one.kind == "run" and not self.joints[one.name].known
        )  # fmt: skip

    def source(self, one: Supply, scale: float = 1.0) -> tuple[float, float]:
        """Voltage (V) and inner resistance (ohm) of a source; stand-ins where not known."""
        if one.kind == "pack":
            volts = read(self.facts, one.part, "nominal_voltage", 48.0).value
            ohm = read(self.facts, one.part, "internal_resistance", 0.02).value
            return volts, max(ohm * scale, 1e-6)
        if one.kind == "buffer":  # it floats: in a steady state it gives nothing
            outputs = [s.part for s in self.plan.supplies if s.kind == "converter"]
            volts = read(self.facts, one.part, "nominal_voltage", 12.0).value
            if outputs:
                volts = read(self.facts, outputs[0], "output_voltage", volts).value
            return volts, 10.0
        return read(self.facts, one.part, "output_voltage", 12.0).value, 1e-3


def network_of(
    sizes: Sizes,
    wires: Wires,
    draws: Mapping[str, Found] | None = None,
    scale: Mapping[str, float] | None = None,
    pack_scale: float = 1.0,
    reversed_ones: Collection[str] = (),
) -> Network:
    """The network of a plan in one state; `scale` multiplies the resistance of some joints.

    What hangs on it the wrong way round is taken to draw its power backwards.
    """
    scale = scale or {}
    resistances, links = [], []
    for one in wires.joints:
        if one.kind == "link":
            links.append(Link(one.name, one.a, one.b))
        else:
            ohm = max(sizes.joints[one.name].value * scale.get(one.name, 1.0), CONTACT / 10)
            resistances.append(Resistance(one.name, one.a, one.b, ohm))
    sources = []
    for supply in wires.plan.supplies:
        if wires.joined(supply.plus, supply.minus):
            continue  # shorted: the topology says so
        volts, ohm = sizes.source(supply, pack_scale)
        sources.append(Source(f"{supply.part}:source", supply.plus, supply.minus, volts, ohm))
    by_name = {one.name: one for one in wires.plan.consumers}
    currents: list[CurrentLoad] = []
    powers: list[PowerLoad] = []
    battery = read(sizes.facts, "battery", "nominal_voltage", 48.0).value
    for name, draw in (draws or {}).items():
        consumer = by_name[name]
        poles = (consumer.plus, consumer.minus)
        ends = (f"{name}:draw", *(poles[::-1] if name in reversed_ones else poles))
        if consumer.kind == "converter" and draw.value > 0:
            powers.append(PowerLoad(*ends, draw.value * battery))
        elif draw.value:
            currents.append(CurrentLoad(*ends, draw.value))
    return Network(tuple(resistances), tuple(sources), tuple(links), tuple(currents), tuple(powers))


def large(draws: Iterable[Found]) -> list[Found]:
    """Some draws without those of coils, key lines and monitors whose current was only taken.

    They take an ampere or less: beside a drive that is below a hundredth of its current, and
    below a thousandth of its voltage.
    """
    return [one for one in draws if not (one.known and one.assumed and not one.inputs)]


@dataclass(frozen=True)
class Currents:
    """The solved modes of a plan; `hot` as for `Sizes`."""

    facts: Facts
    plan: Plan
    hot: Mapping[str, float] = field(default_factory=dict)
    _consumers: dict[str, tuple[Consumer, ...]] = field(
        default_factory=dict, init=False, repr=False
    )
    _found: dict[tuple[str, str], Found] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def sizes(self) -> Sizes:
        """Resistances of the plan."""
        return Sizes(self.facts, self.plan, self.hot)

    @cached_property
    def modes(self) -> Mapping[str, Mode]:
        """Every mode by name."""
        return {name: mode_of(self.plan, self.facts, name) for name in MODES}

    @cached_property
    def solutions(self) -> Mapping[str, Solution]:
        """The solved network of every mode."""
        return {
            name: solved(
                network_of(
                    self.sizes,
                    mode.state.wires,
                    mode.draws,
                    reversed_ones={
                        one for one, how in mode.state.standing.items() if how.how == "reversed"
                    },
                )
            )
            for name, mode in self.modes.items()
        }

    @cached_property
    def responses(self) -> Responses:
        """The plan with every switch closed, without loads."""
        return responses_of(network_of(self.sizes, all_closed(self.plan)))

    @cached_property
    def present(self) -> tuple[Consumer, ...]:
        """The consumers that some conductor reaches at both terminals."""
        nodes = {end for one in self.plan.joints for end in (one.a, one.b)}
        nodes |= {end for one in self.plan.supplies for end in (one.plus, one.minus)}
        return tuple(one for one in self.plan.consumers if {one.plus, one.minus} <= nodes)

    @cached_property
    def through(self) -> Mapping[str, Mapping[str, float]]:
        """For every joint, the share of an ampere of each consumer that flows through it."""
        found: dict[str, dict[str, float]] = {}
        for one in self.present:
            for name, share in self.responses.per_ampere(one.plus, one.minus).items():
                if abs(share) > _SHARED:
                    found.setdefault(name, {})[one.name] = share
        return found

    @cached_property
    def precharging(self) -> frozenset[str]:
        """The joints through which a drive is charged with its contactor open."""
        contactors = {one.name for one in self.plan.joints if one.group == "contactor"}
        wires = kept(Wires(self.plan, without=frozenset(contactors)))
        responses = responses_of(network_of(self.sizes, wires))
        found: set[str] = set()
        for one in self.present:
            if one.kind == "drive":
                shares = responses.per_ampere(one.plus, one.minus)
                found |= {name for name, share in shares.items() if abs(share) > _SHARED}
        return frozenset(found)

    def consumers(self, joint: str) -> tuple[Consumer, ...]:
        """The consumers whose current flows through a joint, largest share first."""
        found = self._consumers.get(joint)
        if found is None:
            shares = self.through.get(joint, {})
            listed = [one for one in self.plan.consumers if one.name in shares]
            found = tuple(sorted(listed, key=lambda one: -abs(shares[one.name])))
            self._consumers[joint] = found
        return found

    @cached_property
    def _unsure(self) -> Mapping[str, frozenset[str]]:
        """By joint: which unknown or assumed resistances its current depends on.

        Found by changing those resistances and solving again: only a current with a second way
        moves.
        """
        doubtful = {
            "unsized": dict.fromkeys(self.sizes.unsized, 5.0),
            "assumed": {
                name: 2.0 for name, one in self.sizes.joints.items() if one.known and one.assumed
            },
        }
        packs = any(
            not (pack := read(self.facts, one.part, "internal_resistance")).known or pack.assumed
            for one in self.plan.supplies
            if one.kind == "pack"
        )
        found: dict[str, set[str]] = {}
        for what, scale in doubtful.items():
            stretch = 1.0
            if what == "assumed" and packs:
                stretch = 2.0
            if not scale and stretch == 1.0:
                continue
            other = responses_of(
                network_of(self.sizes, all_closed(self.plan), None, scale, stretch)
            )
            for one in self.present:
                moved = other.per_ampere(one.plus, one.minus)
                for name, share in moved.items():
                    before = self.through.get(name, {}).get(one.name, 0.0)
                    if abs(share - before) > 0.01:
                        found.setdefault(name, set()).add(what)
        return {name: frozenset(whats) for name, whats in found.items()}

    def current(self, joint: str, mode: str) -> Found:
        """Current (A) through a joint in a mode, from its first terminal to its second."""
        found = self._found.get((joint, mode))
        if found is None:
            found = self._found[joint, mode] = self._current(joint, mode)
        return found

    def _current(self, joint: str, mode: str) -> Found:
        solved = self.modes[mode]
        involved = [one.name for one in self.consumers(joint)]
        draws = [solved.draws[name] for name in involved if name in solved.draws]
        value = self.solutions[mode].currents.get(joint, 0.0)
        doubt: list[Found] = []
        unsure = self._unsure.get(joint, frozenset())
        if "unsized" in unsure:
            sized = [self.sizes.joints[name] for name in self.sizes.unsized]
            keys = frozenset().union(*(one.missing or frozenset() for one in sized))
            doubt.append(Found(0.0, missing=keys))
        if "assumed" in unsure:
            doubt.append(Found(0.0, assumed=True))
        return combined(value, [*(large(draws) or draws), *doubt])

    def largest(self, joint: str, modes: Iterable[str]) -> Found:
        """The largest current (A, without sign) through a joint over some modes.

        Unknown when a mode is unknown in which this joint carries something.
        """
        found = [(mode, self.current(joint, mode)) for mode in modes]
        best = max((one for _, one in found), key=lambda one: abs(one.value) * one.known)
        unknown = [one for _, one in found if not one.known]
        return combined(abs(best.value), [best, *unknown])

    def voltage(self, plus: str, minus: str, mode: str) -> float:
        """Voltage (V) between two terminals in a mode."""
        at = self.solutions[mode].voltages
        return at.get(plus, 0.0) - at.get(minus, 0.0)
