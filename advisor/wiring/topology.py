"""What is connected to what: ways past a protection, parts that stay alive, mistakes of the plan.

Every answer that a person should check carries its way, written out as the parts and runs passed.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property, lru_cache

from advisor.wiring.graph import Wires
from advisor.wiring.plan import FRAME, Consumer, Joint, Plan, Supply
from advisor.wiring.states import State, all_closed, state_of, with_key_off


def written(path: Iterable[Joint], start: str = "", end: str = "") -> str:
    """A way as text: the parts and runs in order, `pack-a > lead-1 > main-fuse > ctrl`."""
    names = [start.rpartition(".")[0], *(one.part for one in path), end.rpartition(".")[0]]
    kept = [name for name, before in zip(names, ["", *names], strict=False) if name != before]
    return " > ".join(name for name in kept if name)


@dataclass(frozen=True)
class Topology:
    """The answers about one plan."""

    plan: Plan

    # -- states ------------------------------------------------------------------------------

    @cached_property
    def closed(self) -> State:
        """Every switch closed."""
        return state_of(all_closed(self.plan))

    @cached_property
    def held(self) -> State:
        """Every switch closed, contactors too whatever their coils do."""
        return state_of(all_closed(self.plan), coils_hold=True)

    @cached_property
    def key_off(self) -> State:
        """The key off, the disconnect closed; an unswitched precharge resistor conducts."""
        return state_of(with_key_off(self.plan))

    @cached_property
    def disconnect_off(self) -> State:
        """The disconnect open, everything else closed."""
        return state_of(all_closed(self.plan).less(opened={"disconnect"}))

    def without(
        self,
        kinds: Iterable[str] = (),
        groups: Iterable[str] = (),
        names: Iterable[str] = (),
    ) -> State:
        """Everything closed, but joints of some kinds, groups or names taken out."""
        out = {one.name for one in self.plan.joints if one.kind in kinds or one.group in groups}
        out |= set(names)
        return state_of(self.closed.wires.less(without=out), coils_hold=True)

    def without_named(self, names: Iterable[str]) -> State:
        """Everything closed, but some joints taken out by name."""
        return state_of(self.closed.wires.less(without=frozenset(names)))

    def key_off_without(self, name: str) -> State:
        """The key off, and one joint taken out."""
        return state_of(with_key_off(self.plan).less(without={name}))

    @cached_property
    def without_shunt(self) -> State:
        """The shunts taken out."""
        return self.without(kinds={"shunt"})

    @cached_property
    def without_devices(self) -> State:
        """The fuses and breakers taken out."""
        return self.without(kinds={"device"})

    def without_bms(self, contactors: frozenset[str]) -> State:
        """The switches of the management systems open, and the contactors that follow one."""
        return self.without(groups={"bms"}, names=contactors)

    @cached_property
    def without_frame(self) -> State:
        """The vehicle frame taken out."""
        return state_of(self.closed.wires.less(frame=False), coils_hold=True)

    # -- consumers -----------------------------------------------------------------------------

    def has(self, *, kind: str = "", group: str = "") -> bool:
        """True when the plan has a wired joint of this kind or group."""
        return any(
            ((kind and one.kind == kind) or (group and one.group == group))
            and {one.a, one.b} <= self.plan.connected
            for one in self.plan.joints
        )

    def ends(self, consumer: Consumer, state: State, pole: str) -> tuple[Supply, str] | None:
        """The nearest source terminal in the net of one pole of a consumer."""
        terminal = consumer.plus if pole == "plus" else consumer.minus
        side = self.closed.standing[consumer.name].side or state.standing[consumer.name].side
        found = [
            (one, getattr(one, other))
            for one in state.supplies(side)
            for other in ("plus", "minus")
            if state.wires.joined(getattr(one, other), terminal)
        ]
        found = [one for one in found if one[1].endswith(pole)] or found
        paths = [(len(state.wires.path(end, terminal) or ()), one, end) for one, end in found]
        if not paths:
            return None
        _, supply, end = min(paths, key=lambda one: one[0])
        return supply, end

    def way(self, consumer: Consumer, state: State, pole: str) -> str:
        """The way from a source to one pole of a consumer in a state, or an empty text."""
        found = self.ends(consumer, state, pole)
        if found is None:
            return ""
        terminal = consumer.plus if pole == "plus" else consumer.minus
        path = state.wires.path(found[1], terminal) or ()
        return written(path, found[1], terminal)

    def round_trip(self, consumer: Consumer, state: State) -> str:
        """The whole way of its current: from the source to it, and back."""
        there = self.way(consumer, state, "plus")
        back = " > ".join(reversed(self.way(consumer, state, "minus").split(" > ")))
        return there + back.removeprefix(consumer.part) if there and back else there or back

    # -- mistakes of the plan ------------------------------------------------------------------

    @cached_property
    def shorts(self) -> tuple[tuple[str, str], ...]:
        """Sources that are shorted or joined wrongly, each with the way that does it.

        A source of the 12 V side that stands across a part of the traction circuit is one of them.
        """
        found = []
        for supply in self._across:
            found.append((supply.part, self._ring(supply)))
        for ladder, side in ((self.closed.traction, "traction"), (self.closed.low, "low")):
            for name in ladder.conflicts:
                supply = next(
                    one
                    for one in self.closed.supplies(side)  # type: ignore[arg-type]
                    if one.part == name
                )
                found.append((name, self._ring(supply)))
        return tuple(dict(found).items())

    @cached_property
    def _across(self) -> tuple[Supply, ...]:
        """Sources of the 12 V side with their poles on two heights of the traction circuit."""
        closed = self.closed
        found = []
        for one in closed.supplies("low"):
            plus, minus = closed.height(one.plus), closed.height(one.minus)
            same = closed.traction.group.get(closed.wires.net(one.plus)) == (
                closed.traction.group.get(closed.wires.net(one.minus))
            )
            if plus is not None and minus is not None and same and plus != minus:
                found.append(one)
        return tuple(found)

    @cached_property
    def solvable(self) -> bool:
        """No fault of the traction side makes the currents of the plan meaningless.

        A short of the 12 V side leaves the traction side as it is: a converter limits its current.
        """
        return not self.closed.traction.conflicts and not self._across

    def _ring(self, supply: Supply) -> str:
        wires = self.closed.wires
        path = wires.path(supply.plus, supply.minus)
        if path is not None:
            return written(path, supply.plus, supply.minus)
        ways = []
        for end in (supply.plus, supply.minus):
            for other in self.plan.supplies:
                for far in (other.plus, other.minus):
                    if other.part != supply.part and wires.joined(end, far):
                        ways.append(written(wires.path(end, far) or (), end, far))
        return " and ".join(dict.fromkeys(ways[:2]))

    @cached_property
    def bypassed_bms(self) -> tuple[tuple[str, str], ...]:
        """Packs whose cells are joined to the circuit past the switch, each with the way."""
        found = []
        for one in self.plan.joints:
            if one.group != "bms":
                continue
            rest = self.closed.wires.less(without={one.name})
            path = rest.path(one.a, one.b)
            if path is not None:
                found.append((one.part, written(path, one.a, one.b)))
        return tuple(found)

    @cached_property
    def bridged_contacts(self) -> dict[str, str]:
        """Contactors and relays whose contact is bridged by cables, each with the way.

        A way through another switch or a resistor is none. Where a drive stays fed with the key off
        by that way it is left out: that is told of the drive, with the same way.
        """
        wires = self.held.wires
        others = {one.name for one in wires.joints if one.kind in ("switch", "resistor")}
        found = {}
        for one in self.plan.joints:
            if one.group not in ("contactor", "charge-contactor"):
                continue
            path = wires.less(without=others | {one.name}).path(one.a, one.b)
            if path is not None and not self._feeds_a_drive(one, path):
                found[one.part] = written(path, one.a, one.b)
        return found

    def _feeds_a_drive(self, contact: Joint, path: tuple[Joint, ...]) -> bool:
        """Whether a drive that stays fed with the key off hangs on this contact and its bridge."""
        cables = {one.name for one in path if one.kind == "run"}
        without = state_of(self.held.wires.less(without={contact.name, *cables}), coils_hold=True)
        return any(
            one.kind == "drive"
            and self.key_off.fed(one.name)
            and self.held.fed(one.name)
            and not without.fed(one.name)
            for one in self.plan.consumers
        )

    @cached_property
    def loops(self) -> dict[str, str]:
        """Runs that close a loop of conductors, each with the rest of the loop."""
        found = {}
        wires = self.closed.wires
        for one in wires.joints:
            if one.kind != "run":
                continue
            path = wires.less(without={one.name}).path(one.a, one.b)
            if path is not None:
                found[one.name] = written(path, one.a, one.b)
        return found

    @cached_property
    def frame_joined(self) -> bool | None:
        """The frame hangs on the traction circuit; None when no run goes to the frame."""
        if FRAME not in self.plan.connected:
            return None
        return self.closed.height(FRAME) is not None

    def cut_by(self, wires_without: State) -> tuple[str, ...]:
        """Consumers that are fed with everything closed and not in this state."""
        return tuple(
            one.name
            for one in self.plan.consumers
            if self.closed.fed(one.name) and not wires_without.fed(one.name)
        )


@lru_cache(maxsize=32)
def topology_of(plan: Plan) -> Topology:
    """The topology of a plan; kept, for most changes of a build leave its plan as it is."""
    return Topology(plan)


__all__ = ["Topology", "topology_of", "written", "Wires"]
