"""What the topology tells about consumers: fed or not, past what, alive when; each with its way."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from advisor.facts import Facts
from advisor.facts.alike import FOLLOWING
from advisor.facts.origins import Value, question_key
from advisor.wiring.found import chosen
from advisor.wiring.plan import Consumer
from advisor.wiring.states import State
from advisor.wiring.topology import Topology, written

FEEDING = ("drive", "converter", "load", "charge")
"""Consumers that traction or 12 V current flows through."""


class Put(Protocol):
    """Takes a value that the topology tells; or None, with the facts that are missing for it."""

    def __call__(
        self,
        identity: str,
        name: str,
        value: Value | None,
        words: str,
        missing: frozenset[str] = frozenset(),
    ) -> None: ...


@dataclass(frozen=True, slots=True)
class _Management:
    """The plan with all that a management opens taken out, or what is missing to tell it.

    `stops`: the management ends a charge by a signal to the charger; None where that is missing.
    """

    state: State | None
    missing: frozenset[str] = frozenset()
    stops: bool | None = False
    unsaid: frozenset[str] = frozenset()


def _management(topology: Topology, facts: Facts) -> _Management:
    """Switches inside the packs, and contactors that a management drives.

    A controller that drives a contactor hears a management with an external contactor.
    """
    systems = [f"{one}.bms" for one in facts.instances("pack")]
    kinds = {one: chosen(facts, one, "kind") for one in systems}
    unknown = frozenset(question_key(one, "kind") for one, kind in kinds.items() if kind is None)
    if unknown:
        return _Management(None, unknown)
    outside = [one for one, kind in kinds.items() if kind == "external-contactor"]
    drivers = {
        joint.name: (joint.part, chosen(facts, joint.part, "driver"))
        for joint in topology.plan.joints
        if joint.group in ("contactor", "charge-contactor")
        and any(topology.closed.height(end) is not None for end in (joint.a, joint.b))
    }
    unknown = frozenset(question_key(part, "driver") for part, how in drivers.values() if not how)
    if outside and unknown:
        return _Management(None, unknown)
    following = FOLLOWING if outside else ("bms",)
    held = frozenset(name for name, (_, how) in drivers.items() if how in following)
    if not held and not any(joint.group == "bms" for joint in topology.plan.joints):
        return _Management(None)
    stops = {one: chosen(facts, one, "can_stop_charger") for one in outside}
    unsaid = frozenset(question_key(one, "can_stop_charger") for one in stops if stops[one] is None)
    every = None if unsaid else bool(stops) and all(stops.values())
    return _Management(topology.without_bms(held), frozenset(), every, unsaid)


def consumers(topology: Topology, facts: Facts, put: Put) -> None:
    """Put what the topology alone tells of every consumer."""
    management = _management(topology, facts)
    for one in topology.plan.consumers:
        if one.kind in FEEDING:
            mains = _takes_mains(topology, facts, one)
            words = (
                "it has no cable, and a charger rides on the vehicle" if mains else "by its cables"
            )
            put(one.part, "takes_mains", mains, words)
            if not mains:
                _feeding(topology, one, management, put)
        elif one.kind == "coil":
            _coil(topology, one, put)
        elif one.kind == "key":
            _key_line(topology, one, put)
    _without_key_line(topology, facts, put)
    _monitors(topology, put)


def _without_key_line(topology: Topology, facts: Facts, put: Put) -> None:
    """Controllers without a cable at their key input, where the key switches only the coil."""
    keys = facts.instances("key_switch")
    if not keys or any(chosen(facts, one, "switched") != "coil" for one in keys):
        return
    for own in facts.instances("controller"):
        if f"{own}.key" not in topology.plan.connected:
            put(own, "key_line_fed_key_off", False, "the key switches the coil, and no key input")


def _monitors(topology: Topology, put: Put) -> None:
    """Which monitors stay alive with the disconnect open, by any of their leads."""
    if not topology.has(group="disconnect"):
        return
    leads = [one for one in topology.plan.consumers if one.kind == "monitor"]
    for own in dict.fromkeys(one.part for one in leads):
        ours = [one for one in leads if one.part == own]
        if all(topology.closed.standing[one.name].fed for one in ours):
            alive = any(topology.disconnect_off.fed(one.name) for one in ours)
            put(own, "fed_past_disconnect", alive, "with the disconnect taken out of the plan")


def _takes_mains(topology: Topology, facts: Facts, one: Consumer) -> bool:
    """An inlet without cables before a charger on the vehicle: mains goes through it."""
    return (
        facts.subject_of(one.part) == "inlet"
        and not {one.plus, one.minus} & topology.plan.connected
        and any(chosen(facts, other, "on_board") is True for other in facts.instances("charger"))
    )


def _feeding(topology: Topology, one: Consumer, management: _Management, put: Put) -> None:
    plan, closed = topology.plan, topology.closed
    held = topology.held.standing[one.name].how
    if closed.standing[one.name].how == "open" and held in ("reversed", "short"):
        closed = topology.held  # fed backwards its own coil driver would never close its contactor
    standing = closed.standing[one.name]
    wired = {one.plus, one.minus} & plan.connected
    nothing = standing.how in ("open", "level")
    if nothing and (plan.complete or len(wired) > 0):
        put(one.part, "unconnected", True, "by the listed runs")
        put(one.part, "loose_end", _loose_end(topology, one), "by the listed runs")
    if len(wired) < 2 or nothing:
        return
    put(one.part, "unconnected", False, "both its terminals reach a source")
    put(one.part, "low_side", standing.side == "low", "by the poles it hangs on")
    put(one.part, "reversed_polarity", standing.how == "reversed", "by the poles it hangs on")
    put(one.part, "shorted_out", standing.how == "short", "both terminals by the listed runs")
    put(one.part, "fed_from_part", standing.how == "part", "by the poles it hangs on")
    put(one.part, "way_fed", topology.round_trip(one, closed), "read off the plan")
    if not standing.fed or closed is topology.held:
        return
    charging = one.kind == "charge"
    bare = topology.without_devices
    supplies = [s for s in bare.supplies(standing.side) if s.kind != "converter"]
    reached = [s for s in supplies if bare.wires.joined(s.plus, one.plus)]
    if supplies:
        words = "with every fuse and breaker taken out of the plan"
    else:
        words = "no battery hangs on its side; a converter limits its own current"
    if standing.side == "traction" or standing.side == "low":
        put(one.part, "fed_past_device", bool(reached), words)
        if reached:
            path = bare.wires.path(reached[0].plus, one.plus) or ()
            way = written(path, reached[0].plus, one.plus)
            put(one.part, "way_past_device", way, "read off the plan")
    _past(topology, one, topology.disconnect_off, "disconnect", "disconnect", put)
    if standing.side == "traction":
        if topology.has(kind="shunt"):
            _past(topology, one, topology.without_shunt, "shunt", "shunt", put)
        _past_management(topology, one, management, put)
        frame = not topology.without_frame.fed(one.name)
        put(one.part, "returns_by_frame", frame, "with the frame taken out of the plan")
    if not charging:
        alive = topology.key_off.fed(one.name)
        put(one.part, "fed_key_off", alive, "with the key off")
        if alive:
            way = topology.round_trip(one, topology.key_off)
            put(one.part, "way_key_off", way, "read off the plan")


def _loose_end(topology: Topology, one: Consumer) -> str:
    """Where to look when a part gets no voltage."""
    standing = topology.closed.standing[one.name]
    dead = [end for end in (one.plus, one.minus) if end not in topology.plan.connected]
    if dead:
        return " and ".join(dead)
    if standing.how == "level":
        return "its two poles, which the packs between them keep at the same voltage"
    if topology.held.fed(one.name):
        asleep = [
            coil.part
            for coil in topology.plan.consumers
            if coil.kind == "coil" and not topology.closed.fed(coil.name)
        ]
        if asleep:
            return f"the coil of {' and of '.join(asleep)}, which gets no voltage"
    closed = topology.closed
    loose = [
        end
        for end in (one.plus, one.minus)
        if closed.height(end) is None and closed.low_height(end) is None
    ]
    return " or ".join(loose) or one.plus


def _past(topology: Topology, one: Consumer, state: State, name: str, words: str, put: Put) -> None:
    if name == "disconnect" and not topology.has(group="disconnect"):
        return
    past = state.fed(one.name)
    put(one.part, f"fed_past_{name}", past, f"with the {words} taken out of the plan")
    if past:
        put(one.part, f"way_past_{name}", topology.round_trip(one, state), "read off the plan")


def _past_management(topology: Topology, one: Consumer, by: _Management, put: Put) -> None:
    if by.state is None:
        put(one.part, "fed_past_bms", None, "what the management opens is not known", by.missing)
    elif one.kind != "charge" or not by.state.fed(one.name) or by.stops is False:
        _past(topology, one, by.state, "bms", "switch of the management", put)
    elif by.stops:
        put(one.part, "fed_past_bms", False, "the management stops the charger by its signal")
    else:
        words = "whether the management stops the charger is not known"
        put(one.part, "fed_past_bms", None, words, by.unsaid)


def _coil(topology: Topology, one: Consumer, put: Put) -> None:
    if not topology.closed.standing[one.name].fed:
        return
    alive = topology.key_off.fed(one.name)
    put(one.part, "coil_fed_key_off", alive, "with the key off")
    if alive:
        put(one.part, "way_key_off", topology.round_trip(one, topology.key_off), "off the plan")


def _key_line(topology: Topology, one: Consumer, put: Put) -> None:
    if not topology.closed.standing[one.name].fed:
        return
    alive = topology.key_off.fed(one.name)
    put(one.part, "key_line_fed_key_off", alive, "with the key off")
    if alive:
        way = topology.round_trip(one, topology.key_off)
        put(one.part, "way_key_line", way, "read off the plan")
