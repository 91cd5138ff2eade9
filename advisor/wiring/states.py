"""Which parts are fed in a state of the switches: by how much of the battery, which way round.

A part is fed when both its terminals reach the poles of a source. A contactor whose coil is wired
is closed while its coil is fed; where the coil is not in the plan it opens with the key. A
converter whose enable terminal is wired runs while that terminal is live.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import Literal

from advisor.wiring.graph import Ladder, Wires, kept, ladder
from advisor.wiring.plan import Consumer, Plan, Supply

How = Literal["fed", "part", "reversed", "short", "level", "open"]
Side = Literal["traction", "low", ""]

KEY = frozenset({"key", "driver", "precharge", "contactor", "charge-contactor"})
"""What opens with the key, where no coil says otherwise."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How a consumer stands: fed or not, on which side, and which of its poles are live.

    `short`: both poles hang on one conductor. `level`: sources in between add to no voltage.
    """

    how: How
    side: Side
    live: tuple[str, ...] = ()

    @property
    def fed(self) -> bool:
        """Current can flow through it."""
        return self.how in ("fed", "part", "reversed")


@dataclass(frozen=True, slots=True)
class State:
    """The plan in one state: its nets, their heights, and how every consumer stands."""

    wires: Wires
    traction: Ladder
    low: Ladder
    standing: dict[str, Standing]

    def fed(self, name: str) -> bool:
        """True when a consumer is fed."""
        return self.standing[name].fed

    def height(self, terminal: str) -> int | None:
        """Step of a terminal on the traction side, counted in packs from its lowest pole."""
        return self.traction.height.get(self.wires.nets.get(terminal, -1))

    def low_height(self, terminal: str) -> int | None:
        """Step of a terminal on the 12 V side, counted in sources."""
        return self.low.height.get(self.wires.nets.get(terminal, -1))

    def supplies(self, side: Side) -> tuple[Supply, ...]:
        """The sources of a side."""
        return tuple(
            one for one in self.wires.plan.supplies if (one.kind == "pack") == (side == "traction")
        )


@lru_cache(maxsize=256)
def state_of(wires: Wires, *, coils_hold: bool = False) -> State:
    """How everything stands; contactors follow their wired coils.

    `coils_hold` keeps contactors closed and converters on whatever feeds coils and enables: for
    questions of the kind "is there a way without the fuses", where taking out the fuse of the coil
    must not open the way. Kept, for most changes of a build leave the states of its plan.
    """
    found = _settle(wires, coils_hold)
    if coils_hold:
        return found
    coils = [one for one in wires.plan.consumers if one.kind == "coil"]
    for _ in coils:
        dropped = {one.part for one in coils if not found.standing[one.name].fed}
        known = {one.part for one in coils if _wired(one, wires.plan)}
        if not (dropped & known) - found.wires.without:
            break
        found = _settle(found.wires.less(without=dropped & known))
    return found


def with_key_off(plan: Plan) -> Wires:
    """The plan with the key off: a contactor with a wired coil opens only if the coil drops."""
    coils = {one.part for one in plan.consumers if one.kind == "coil" and _wired(one, plan)}
    forced = frozenset(
        one.name
        for one in plan.joints
        if one.group in ("contactor", "charge-contactor") and one.part not in coils
    )
    return kept(Wires(plan, KEY - {"contactor", "charge-contactor"}, forced))


def all_closed(plan: Plan) -> Wires:
    """The plan with every switch closed; precharge resistors count as open."""
    resistors = frozenset(one.name for one in plan.joints if one.kind == "resistor")
    return kept(Wires(plan, frozenset({"precharge"}), resistors))


def _wired(one: Consumer, plan: Plan) -> bool:
    return one.plus in plan.connected and one.minus in plan.connected


def _enabled(wires: Wires, converter: Consumer, traction: Ladder, low: Ladder) -> bool:
    """A converter whose enable terminal is wired gives nothing while that terminal is dead."""
    terminal = f"{converter.part}.enable"
    if terminal not in wires.plan.connected:
        return True
    net = wires.nets.get(terminal, -1)
    return traction.height.get(net, 0) > 0 or low.height.get(net, 0) > 0


def _settle(wires: Wires, holding: bool = False) -> State:
    plan = wires.plan
    traction = ladder(wires, _listed(plan.supplies, ("pack",)))
    batteries = [*_listed(plan.supplies, ("buffer",))]
    low = ladder(wires, batteries)
    outputs = {one.part: one for one in plan.supplies if one.kind == "converter"}
    standing: dict[str, Standing] = {}
    for _ in range(1 + len(outputs)):
        running = [
            (one.part, outputs[one.part].plus, outputs[one.part].minus)
            for one in plan.consumers
            if one.kind == "converter"
            and _stand(wires, one, traction, low).fed
            and (holding or _enabled(wires, one, traction, low))
        ]
        grown = ladder(wires, [*batteries, *running])
        if grown == low:
            break
        low = grown
    for one in plan.consumers:
        standing[one.name] = _stand(wires, one, traction, low)
    return State(wires, traction, low, standing)


def _listed(supplies: Iterable[Supply], kinds: tuple[str, ...]) -> list[tuple[str, str, str]]:
    return [(one.part, one.plus, one.minus) for one in supplies if one.kind in kinds]


def _stand(wires: Wires, one: Consumer, traction: Ladder, low: Ladder) -> Standing:
    plus, minus = wires.net(one.plus), wires.net(one.minus)
    on_low = low.height.get(plus, 0) > 0 or low.height.get(minus, 0) > 0
    side: Side = "low" if on_low else "traction"
    by = low if on_low else traction
    live = tuple(
        name
        for name, net in (("plus", plus), ("minus", minus))
        if traction.height.get(net, 0) > 0 or low.height.get(net, 0) > 0
    )
    if plus == minus:
        known = plus in by.height
        return Standing("short" if known else "open", side if known else "", live)
    if by.group.get(plus) is None or by.group.get(plus) != by.group.get(minus):
        return Standing("open", side if live else "", live)
    rise = by.height[plus] - by.height[minus]
    full = by.top[by.group[plus]]
    if rise < 0:
        return Standing("reversed", side, live)
    if rise == 0:
        return Standing("level", side, live)
    return Standing("fed" if rise == full or on_low else "part", side, live)
