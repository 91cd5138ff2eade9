"""Which device protects each run, how far along the cable it stands, and what reaches it.

A source is the plus of a pack or of a buffer battery; a converter limits its own current. A run on
the positive side is guarded by the last device on the way from each source. A run on the negative
side is guarded by the devices of the consumers whose current it carries.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import cached_property

from advisor.physics.protection import device_distance_limit
from advisor.wiring.currents import Currents
from advisor.wiring.cuts import Chain, chains_between, least_cut
from advisor.wiring.found import Found, chosen, combined, read
from advisor.wiring.graph import Lengths, Wires
from advisor.wiring.plan import Joint, Supply
from advisor.wiring.topology import Topology, written

_SHEATHED = ("sheathed", "conduit")


@dataclass(frozen=True, slots=True)
class Guard:
    """The protection of one run.

    `feeds` holds, for each end that current can enter by, the devices passed on the way from every
    source, the nearest to the run last; currents that enter by the same end add. The end with the
    nearest device comes first. `first` is the
    cable (m) from the source to the first device; `ahead` are runs between the last device and this
    one, `before` those between the source and that device. An unprotected run has the cable from
    the source to its far end in `exposed` and the way in `way`. `limited` holds, for each end that
    converters feed past every device, these converters and the chains that feed the same end.
    """

    feeds: tuple[tuple[Chain, ...], ...] = ()
    first: Found | None = None
    exposed: Found | None = None
    allowed: float | None = None
    way: str = ""
    ahead: tuple[str, ...] = ()
    before: tuple[str, ...] = ()
    limited: tuple[tuple[Chain, tuple[Chain, ...]], ...] = ()

    @property
    def unprotected(self) -> bool:
        """A source reaches the run past every device."""
        return self.exposed is not None

    def limit(self, rating: Callable[[str], Found]) -> tuple[Found, tuple[str, ...]] | None:
        """The current (A) that can flow for long without a device opening, and these devices.

        Of the sets of devices that all current of an end must pass, the one with the least sum
        counts; of the two ends, the larger. None without a device.
        """
        found = [least_cut(chains, rating) for chains in self.feeds if any(chains)]
        return max(found, key=lambda one: one[0].value, default=None)


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

    @cached_property
    def _lengths(self) -> Lengths:
        """Cable of every run; a run without a length counts as none."""
        runs = [one for one in self.topology.plan.joints if one.kind == "run"]
        facts = self.currents.facts
        return Lengths(tuple((one.name, read(facts, one.part, "length").value) for one in runs))

    def _cable(self, path: tuple[Joint, ...]) -> Found:
        runs = [one for one in path if one.kind == "run"]
        lengths = [read(self.currents.facts, one.part, "length") for one in runs]
        return combined(sum(one.value for one in lengths), lengths)

    def reach(self, run: Joint, sources: Iterable[Supply]) -> Found:
        """The longest cable (m) from some sources to the far end of a run."""
        rest = self._wires.less(without={run.name})
        ways = [
            path
            for source in sources
            for end in (run.a, run.b)
            if (path := rest.path(source.plus, end, self._lengths)) is not None
        ]
        cables = [self._cable((*path, run)) for path in ways]
        return combined(max((one.value for one in cables), default=0.0), cables)

    def is_link(self, run: Joint) -> bool:
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
            positive = self.feeding(run)
            if positive:
                found[run.name] = self._guard(run, positive)
            else:
                later.append(run)
        for run in later:
            found[run.name] = self._returning(run, found)
        return found

    def feeding(self, run: Joint) -> list[Supply]:
        """The sources whose plus hangs together with a run that stands above the lowest pole."""
        closed = self.topology.closed
        if self.is_link(run):
            return []
        return [
            one
            for one in self.sources
            if self._wires.joined(one.plus, run.a)
            and (closed.height(run.a) or closed.low_height(run.a) or 0) > 0
        ]

    def _guard(self, run: Joint, sources: list[Supply]) -> Guard:
        rest = self._wires.less(without={run.name})
        feeds: dict[str, list[Chain]] = {}
        near: dict[str, float] = {}
        firsts: list[Found] = []
        ahead: list[str] = []
        before: list[str] = []
        limited: dict[str, list[str]] = {}
        worst: tuple[Found, str, Supply] | None = None
        for source in sources:
            unfused = self._bare.less(without={run.name})
            if source.kind == "converter":
                for end in (run.a, run.b):
                    if unfused.path(source.plus, end) is not None:
                        limited.setdefault(end, []).append(source.part)
                if source.part in (name for names in limited.values() for name in names):
                    continue
            bare = [
                path
                for end in (run.a, run.b)
                if (path := unfused.path(source.plus, end, self._lengths)) is not None
            ]
            if bare:
                path = (*min(bare, key=lambda one: self._cable(one).value), run)
                exposed = self._cable(path)
                if worst is None or exposed.value > worst[0].value:
                    worst = (exposed, written(path, source.plus, ""), source)
                continue
            ways = [
                path
                for end in (run.a, run.b)
                if (path := rest.path(source.plus, end, self._lengths)) is not None
            ]
            if not ways:
                continue
            path = min(ways, key=lambda one: self._cable(one).value)
            passed = [n for n, one in enumerate(path) if one.kind == "device"]
            for end in (run.a, run.b):
                chains = chains_between(self._wires, source.plus, end, run)
                if chains:
                    feeds.setdefault(end, []).extend(chains)
                    near.setdefault(end, float("inf"))
            if passed:
                end = run.a if run.a in (path[-1].a, path[-1].b) else run.b
                cable = self._cable(path[passed[-1] :]).value
                near[end] = min(near.get(end, cable), cable)
                firsts.append(self._cable(path[: passed[0]]))
                before += [one.name for one in path[: passed[-1]] if one.kind == "run"]
                ahead += [one.name for one in path[passed[-1] :] if one.kind == "run"]
        listed = tuple(
            tuple(dict.fromkeys(feeds[end])) for end in sorted(feeds, key=near.__getitem__)
        )
        bare_ends = tuple(
            (tuple(names), tuple(dict.fromkeys(feeds.get(end, ()))))
            for end, names in limited.items()
        )
        if worst is not None:
            exposed, way, source = worst
            allowed = self.allowed(run, source)
            return Guard(listed, None, exposed, allowed, way, limited=bare_ends)
        return Guard(
            listed,
            max(firsts, key=lambda one: one.value, default=None),
            allowed=self.allowed(run),
            ahead=tuple(dict.fromkeys(ahead)),
            before=tuple(dict.fromkeys(before)),
            limited=bare_ends,
        )

    def _passed_bare(self, run: Joint, source: Supply) -> bool:
        """No device follows: a consumer behind this run is fed past every fuse and breaker."""
        return any(
            self._bare.joined(source.plus, one.plus) for one in self.currents.consumers(run.name)
        )

    def allowed(self, run: Joint, source: Supply | None = None) -> float:
        """Cable allowed without a device: 7, 40 or 72 in (33 CFR 183.455, ABYC E-11).

        They are allowed before a device; where none follows, none is.
        """
        if source is not None and self._passed_bare(run, source):
            return 0.0
        sheathed = chosen(self.currents.facts, run.part, "place") in _SHEATHED
        ends = (run.a, run.b)
        at_battery = source is not None and any(end.startswith(f"{source.part}.") for end in ends)
        return float(device_distance_limit(float(sheathed), float(at_battery)))

    def _returning(self, run: Joint, found: Mapping[str, Guard]) -> Guard:
        """A run that carries current back, or links two packs: by the devices of its consumers."""
        consumers = self.currents.consumers(run.name)
        drawing = [one for one in consumers if one.kind != "charge"]
        chains: list[Chain] = []
        limited: list[tuple[Chain, tuple[Chain, ...]]] = []
        for consumer in drawing or consumers:  # a vehicle is not driven while it charges
            for other in self.currents.plan.joints:
                if other.kind != "run" or consumer.plus not in (other.a, other.b):
                    continue
                guard = found.get(other.name, Guard())
                limited += guard.limited
                for feed in guard.feeds:
                    chains += feed
        feeds = (tuple(dict.fromkeys(chains)),) if chains else ()
        return Guard(feeds, limited=tuple(dict.fromkeys(limited)))

    def upstream(self, device: str) -> str | None:
        """The next device towards the source, if the way from the source passes one.

        A battery comes before a converter: the converter limits its own current, so that a fault
        behind both is fed by the battery.
        """
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
        for source in sorted(self.sources, key=lambda one: one.kind == "converter"):
            for end in (joint.a, joint.b):
                path = rest.path(source.plus, end, self._lengths)
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
