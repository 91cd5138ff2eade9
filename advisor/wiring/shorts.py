"""Short-circuit currents of the plan: the most at a place, cold; the least at its far end, hot."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from advisor.facts import Facts
from advisor.physics.circuit import Network, Source
from advisor.physics.conductors import temperature_factor
from advisor.physics.faults import Responses
from advisor.wiring.currents import Currents, network_of
from advisor.wiring.found import Found, combined, read
from advisor.wiring.plan import Supply
from advisor.wiring.solving import responses_of
from advisor.wiring.states import State

_HOT = 348.15  # K, the temperature of run.resistance
_STANDARD = 293.15


@dataclass(frozen=True)
class Shorts:
    """Faults between a place and the pole of its source, in the closed plan."""

    currents: Currents
    closed: State

    @property
    def _facts(self) -> Facts:
        return self.currents.facts

    def _network(self, cold: bool) -> Network:
        sizes = self.currents.sizes
        factor = float(1 / temperature_factor(_HOT)) if cold else 1.0
        scale = {one.name: factor for one in self.currents.plan.joints if one.kind == "run"}
        if cold:
            scale |= dict.fromkeys(sizes.unsized, 1e-3)
        network = network_of(sizes, self.closed.wires, None, scale)
        sources = []
        for one in network.sources:
            part = one.name.removesuffix(":source")
            subject = self._facts.subject_of(part)
            if subject == "buffer":
                sources.append(self._buffer(one, part))
            elif subject == "pack" and cold:
                volts = read(self._facts, part, "full_voltage", one.emf).value
                most = read(self._facts, part, "short_circuit_current", volts / one.ohm).value
                sources.append(Source(one.name, one.plus, one.minus, volts, volts / most))
            elif subject == "pack":
                sources.append(one)
        return Network(network.resistances, tuple(sources), network.links)

    def _buffer(self, one: Source, part: str) -> Source:
        """A 12 V battery: its voltage over its short-circuit current, for both kinds of fault."""
        volts = read(self._facts, part, "nominal_voltage", 12.0).value
        most = read(self._facts, part, "short_circuit_current", volts / one.ohm).value
        return Source(one.name, one.plus, one.minus, volts, volts / most)

    @cached_property
    def _cold(self) -> Responses:
        return responses_of(self._network(True))

    @cached_property
    def _hot(self) -> Responses:
        return responses_of(self._network(False))

    def _packs(self, terminal: str) -> list[Supply]:
        """The packs of the string system a terminal hangs on."""
        group = self.closed.traction.group.get(self.closed.wires.nets.get(terminal, -1))
        return [
            one
            for one in self.currents.plan.supplies
            if one.kind == "pack"
            and group is not None
            and self.closed.traction.group.get(self.closed.wires.net(one.plus)) == group
        ]

    def _low(self, terminal: str, kind: str) -> list[Supply]:
        """The sources of one kind on the 12 V side that a terminal stands above."""
        wires = self.closed.wires
        if (self.closed.low_height(terminal) or 0) <= 0:
            return []
        return [
            one
            for one in self.currents.plan.supplies
            if one.kind == kind and wires.joined(one.plus, terminal)
        ]

    def _most_low(self, terminal: str) -> Found | None:
        """Largest fault current (A) on the 12 V side: buffer batteries, and converters at peak."""
        buffers, converters = self._low(terminal, "buffer"), self._low(terminal, "converter")
        if not buffers and not converters:
            return None
        current = max((self._cold.fault(terminal, one.minus) for one in buffers), default=0.0)
        peaks = [read(self._facts, one.part, "peak_allowed") for one in converters]
        rests = [read(self._facts, one.part, "short_circuit_current") for one in buffers]
        total = current + sum(one.value for one in peaks)
        return combined(total, [*peaks, *rests])

    def most(self, terminal: str) -> Found | None:
        """Largest fault current (A) at a terminal on the positive side, against a lower pole.

        On the 12 V side a converter adds its peak current, for it limits itself.
        """
        packs = self._packs(terminal)
        if not packs:
            return self._most_low(terminal)
        height = self.closed.height(terminal) or 0
        lows = [one for one in packs if (self.closed.height(one.minus) or 0) == 0]
        if not packs or height <= 0 or not lows:
            return None
        current = max(self._cold.fault(terminal, one.minus) for one in lows)
        rests = [read(self._facts, one.part, "short_circuit_current") for one in packs]
        rests += [read(self._facts, one.part, "full_voltage") for one in packs]
        return combined(current, rests)

    def least(self, terminal: str, back: str) -> Found | None:
        """Least fault current (A) between a terminal and a return terminal, everything hot."""
        packs = self._packs(terminal) or self._low(terminal, "buffer")
        if not packs or not self.closed.wires.nets.keys() >= {terminal, back}:
            return None
        current = self._hot.fault(terminal, back)
        inner = {"pack": "internal_resistance", "buffer": "short_circuit_current"}
        rests = [read(self._facts, one.part, inner[one.kind]) for one in packs]
        rests += [read(self._facts, one.part, "nominal_voltage") for one in packs]
        sized = self.currents.sizes.joints
        per = self._hot.per_ampere(terminal, back)
        rests += [sized[name] for name, share in per.items() if name in sized and abs(share) > 1e-3]
        return combined(current, rests)

    def through(self, device: str, terminal: str, back: str) -> float:
        """Share of the least fault current at a place that flows through a joint."""
        return abs(self._hot.per_ampere(terminal, back).get(device, 1.0))
