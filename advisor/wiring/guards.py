"""Which device protects each run, how far along the cable it stands, and what reaches it.

A source is the plus of a pack or of a buffer battery; a converter limits its own current. A run on
the positive side is guarded by the last device on the way from each source. A run on the negative
side is guarded by the devices of the consumers whose current it carries.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from advisor.physics.protection import device_distance_limit
from advisor.wiring.currents import Currents
from advisor.wiring.found import Found, chosen, combined, read
from advisor.wiring.graph import Wires
from advisor.wiring.plan import Joint, Supply
from advisor.wiring.topology import Topology, written

_SHEATHED = ("sheathed", "conduit")


@dataclass(frozen=True, slots=True)
class Guard:
    """The protection of one run.

    `devices` are the last ones on the ways from the sources; `first` is the cable (m) from the
    source to the first device; `ahead` are runs between the last device and this one; `one_end`
    tells that all devices feed it from the same side, so that their currents add. An unprotected
    run has the cable from the source to its far end in `exposed` and the way in `way`.
    """

    devices: tuple[str, ...] = ()
    first: Found | None = None
    exposed: Found | None = None
    allowed: float | None = None
    way: str = ""
    ahead: tuple[str, ...] = ()
    one_end: bool = True

    @property
    def unprotected(self) -> bool:
        """A source reaches the run past every device."""
        return self.exposed is not None


@dataclass(frozen=True)
class Guards:
    """The protection of every run of a plan."""

    topology: Topology
    currents: Currents

    @cached_property
    def _wires(self) -> Wires:
        return self.topology.closed.wires

    @cached_property
    def _bare(self) -> Wires:
        devices = {one.name for one in self.topology.plan.joints if one.kind == "device"}
        return self._wires.less(without=devices)

    @cached_property
    def sources(self) -> tuple[Supply, ...]:
        """Packs, buffer batteries, and converters, which limit their own current."""
        return self.topology.plan.supplies

    def length(self, joint: Joint) -> float:
        """Cable (m) of a joint; a run without a length counts as none."""
        if joint.kind != "run":
            return 0.0
        return read(self.currents.facts, joint.part, "length").value

    def _cable(self, path: tuple[Joint, ...]) -> Found:
        runs = [one for one in path if one.kind == "run"]
        lengths = [read(self.currents.facts, one.part, "length") for one in runs]
        return combined(sum(one.value for one in lengths), lengths)

    def _is_link(self, run: Joint) -> bool:
        """A run between two packs of a string: protected by the device of the string."""
        closed = self.topology.closed
        height = closed.height(run.a)
        group = closed.traction.group.get(closed.wires.nets.get(run.a, -1))
        if height is None or group is None or not 0 < height < closed.traction.top[group]:
            return False
        rest = self._wires.less(without={run.name})
        net = self._wires.nets[run.a]
        lows = [s.plus for s in self.sources if self._wires.nets[s.plus] == net]
        highs = [s.minus for s in self.sources if self._wires.nets[s.minus] == net]
        return not any(rest.joined(low, high) for low in lows for high in highs)

    @cached_property
    def guards(self) -> Mapping[str, Guard]:
        """The protection by run."""
        found: dict[str, Guard] = {}
        later: list[Joint] = []
        for run in self.topology.plan.joints:
            if run.kind != "run":
                continue
            positive = self._positive(run)
            if positive:
                found[run.name] = self._guard(run, positive)
            else:
                later.append(run)
        for run in later:
            found[run.name] = self._returning(run, found)
        return found

    def _positive(self, run: Joint) -> list[Supply]:
        """The sources whose plus hangs together with a run that stands above the lowest pole."""
        closed = self.topology.closed
        if self._is_link(run):
            return []
        return [
            one
            for one in self.sources
            if self._wires.joined(one.plus, run.a)
            and (closed.height(run.a) or closed.low_height(run.a) or 0) > 0
        ]

    def _guard(self, run: Joint, sources: list[Supply]) -> Guard:
        rest = self._wires.less(without={run.name})
        devices: list[str] = []
        firsts: list[Found] = []
        ahead: list[str] = []
        entered: set[str] = set()
        worst: tuple[Found, str, Supply] | None = None
        for source in sources:
            bare = [
                path
                for end in (run.a, run.b)
                if (path := self._bare.less(without={run.name}).path(source.plus, end, self.length))
                is not None
            ]
            if bare and source.kind == "converter":
                continue
            if bare:
                path = (*min(bare, key=lambda one: self._cable(one).value), run)
                exposed = self._cable(path)
                if worst is None or exposed.value > worst[0].value:
                    worst = (exposed, written(path, source.plus, ""), source)
                continue
            ways = [
                path
                for end in (run.a, run.b)
                if (path := rest.path(source.plus, end, self.length)) is not None
            ]
            if not ways:
                continue
            path = min(ways, key=lambda one: self._cable(one).value)
            passed = [n for n, one in enumerate(path) if one.kind == "device"]
            if passed:
                devices.append(path[passed[-1]].part)
                entered |= {run.a, run.b} & {path[-1].a, path[-1].b}
                firsts.append(self._cable(path[: passed[0]]))
                ahead += [one.name for one in path[passed[-1] :] if one.kind == "run"]
        if worst is not None:
            exposed, way, source = worst
            return Guard(
                tuple(dict.fromkeys(devices)), None, exposed, self._allowed(run, source), way
            )
        nearest = max(firsts, key=lambda one: one.value, default=None)
        return Guard(
            tuple(dict.fromkeys(devices)),
            nearest,
            ahead=tuple(dict.fromkeys(ahead)),
            one_end=len(entered) < 2,
        )

    def _allowed(self, run: Joint, source: Supply) -> float:
        """Cable allowed without a device: 7, 40 or 72 in (33 CFR 183.455, ABYC E-11)."""
        sheathed = chosen(self.currents.facts, run.part, "place") in _SHEATHED
        at_battery = any(end.startswith(f"{source.part}.") for end in (run.a, run.b))
        return float(device_distance_limit(float(sheathed), float(at_battery)))

    def _returning(self, run: Joint, found: Mapping[str, Guard]) -> Guard:
        """A run that carries current back, or links two packs: by the devices of its consumers."""
        devices: list[str] = []
        for consumer in self.currents.consumers(run.name):
            for other in self.currents.plan.joints:
                if other.kind != "run" or consumer.plus not in (other.a, other.b):
                    continue
                devices += found.get(other.name, Guard()).devices
        return Guard(tuple(dict.fromkeys(devices)))

    def upstream(self, device: str) -> str | None:
        """The next device towards the source, if the way from the source passes one."""
        joint = next(
            (
                one
                for one in self.topology.plan.joints
                if one.kind == "device" and one.part == device
            ),
            None,
        )
        if joint is None:
            return None
        rest = self._wires.less(without={joint.name})
        for source in self.sources:
            for end in (joint.a, joint.b):
                path = rest.path(source.plus, end, self.length)
                devices = [one.part for one in path or () if one.kind == "device"]
                if devices:
                    return devices[-1]
        return None

    def fed_from(self, run: Joint, start: str) -> bool:
        """True when a source reaches a run at this end and not at the other without the run."""
        rest = self._wires.less(without={run.name})
        end = run.b if start == run.a else run.a
        plus = [one.plus for one in self.sources]
        return any(rest.joined(one, start) for one in plus) and not any(
            rest.joined(one, end) for one in plus
        )
