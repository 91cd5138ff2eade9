"""What the topology tells about parts: fed or not, past what, alive when; each with its way."""

from __future__ import annotations

from collections.abc import Callable

from advisor.facts import Facts
from advisor.facts.origins import Value
from advisor.wiring.found import chosen
from advisor.wiring.plan import Consumer
from advisor.wiring.states import State
from advisor.wiring.topology import Topology, written

Put = Callable[[str, str, Value | None, str], None]

_FEEDING = ("drive", "converter", "load", "charge")
_THROUGH = ("fuse", "breaker", "disconnect", "connector")


def connections(topology: Topology, facts: Facts, put: Put) -> None:
    """Put what the topology alone tells."""
    for one in topology.plan.consumers:
        if one.kind in _FEEDING and not _takes_mains(topology, facts, one):
            _feeding(topology, one, put)
        elif one.kind == "coil":
            _coil(topology, one, put)
    _packs(topology, facts, put)
    _through(topology, facts, put)
    _precharges(topology, put)
    if topology.frame_joined is not None:
        words = "the frame hangs on the traction circuit by the listed runs"
        put("battery", "frame_referenced", topology.frame_joined, words)


def _takes_mains(topology: Topology, facts: Facts, one: Consumer) -> bool:
    """An inlet without cables before a charger on the vehicle: mains goes through it."""
    return (
        facts.subject_of(one.part) == "inlet"
        and not {one.plus, one.minus} & topology.plan.connected
        and any(chosen(facts, other, "on_board") is True for other in facts.instances("charger"))
    )


def _feeding(topology: Topology, one: Consumer, put: Put) -> None:
    plan, closed = topology.plan, topology.closed
    standing = closed.standing[one.name]
    wired = {one.plus, one.minus} & plan.connected
    if standing.how == "open" and (plan.complete or len(wired) == 1):
        dead = [end for end in (one.plus, one.minus) if end not in plan.connected]
        loose = [name for name in ("plus", "minus") if name not in standing.live]
        put(one.part, "unconnected", True, "by the listed runs")
        text = " and ".join(dead) or " or ".join(f"{one.part}.{name}" for name in loose)
        put(one.part, "loose_end", text or one.plus, "by the listed runs")
    if len(wired) < 2 or standing.how == "open":
        return
    put(one.part, "unconnected", False, "both its terminals reach a source")
    put(one.part, "reversed_polarity", standing.how == "reversed", "by the poles it hangs on")
    put(one.part, "shorted_out", standing.how == "short", "both terminals by the listed runs")
    put(one.part, "fed_from_part", standing.how == "part", "by the poles it hangs on")
    put(one.part, "way_fed", topology.round_trip(one, closed), "read off the plan")
    if not standing.fed:
        return
    charging = one.kind == "charge"
    bare = topology.without_devices
    supplies = [s for s in bare.supplies(standing.side) if s.kind != "converter"]
    reached = [s for s in supplies if bare.wires.joined(s.plus, one.plus)]
    if standing.side == "traction" or supplies:
        words = "with every fuse and breaker taken out of the plan"
        put(one.part, "fed_past_device", bool(reached), words)
        if reached:
            path = bare.wires.path(reached[0].plus, one.plus) or ()
            way = written(path, reached[0].plus, one.plus)
            put(one.part, "way_past_device", way, "read off the plan")
    _past(topology, one, topology.disconnect_off, "disconnect", "disconnect", put)
    if standing.side == "traction":
        if topology.has(kind="shunt"):
            _past(topology, one, topology.without_shunt, "shunt", "shunt", put)
        if any(joint.group == "bms" for joint in plan.joints):
            _past(topology, one, topology.without_bms, "bms", "management switch", put)
        frame = not topology.without_frame.fed(one.name)
        put(one.part, "returns_by_frame", frame, "with the frame taken out of the plan")
    if not charging:
        alive = topology.key_off.fed(one.name)
        put(one.part, "fed_key_off", alive, "with the key off")
        if alive:
            way = topology.round_trip(one, topology.key_off)
            put(one.part, "way_key_off", way, "read off the plan")


def _past(topology: Topology, one: Consumer, state: State, name: str, words: str, put: Put) -> None:
    if name == "disconnect" and not topology.has(group="disconnect"):
        return
    past = state.fed(one.name)
    put(one.part, f"fed_past_{name}", past, f"with the {words} taken out of the plan")
    if past:
        put(one.part, f"way_past_{name}", topology.round_trip(one, state), "read off the plan")


def _coil(topology: Topology, one: Consumer, put: Put) -> None:
    if not topology.closed.standing[one.name].fed:
        return
    alive = topology.key_off.fed(one.name)
    put(one.part, "coil_fed_key_off", alive, "with the key off")
    if alive:
        put(one.part, "way_key_off", topology.round_trip(one, topology.key_off), "off the plan")


def _packs(topology: Topology, facts: Facts, put: Put) -> None:
    plan, wires = topology.plan, topology.closed.wires
    shorted = dict(topology.shorts)
    bypassed = dict(topology.bypassed_bms)
    packs = [one for one in plan.supplies if one.kind == "pack"]
    wired = [one for one in packs if {f"{one.part}.plus", f"{one.part}.minus"} <= plan.connected]
    own: list[bool] = []
    for one in plan.supplies:
        terminals = {one.plus, one.minus}
        if one.kind != "pack" and terminals <= plan.connected:
            put(one.part, "shorted", one.part in shorted, "by the listed runs")
            if one.part in shorted:
                put(one.part, "way_shorted", shorted[one.part], "read off the plan")
    for one in wired:
        put(one.part, "shorted", one.part in shorted, "by the listed runs")
        if one.part in shorted:
            put(one.part, "way_shorted", shorted[one.part], "read off the plan")
        if any(joint.group == "bms" and joint.part == one.part for joint in plan.joints):
            put(one.part, "bms_bypassed", one.part in bypassed, "with its switch open")
            if one.part in bypassed:
                put(one.part, "way_past_bms", bypassed[one.part], "read off the plan")
        case = f"{one.part}.case"
        if case in plan.connected:
            put(one.part, "case_tied", topology.closed.height(case) is not None, "by its runs")
        others = [two for two in wired if two.part != one.part]
        mates = [
            two
            for two in others
            if topology.closed.height(two.plus) == topology.closed.height(one.plus)
            and wires.joined(two.plus, one.plus)
        ]
        if mates:
            bare = topology.without_devices.wires
            alone = not any(bare.joined(one.plus, two.plus) for two in mates)
            alone = alone or chosen(facts, one.part, "internal_fuse") is True
            own.append(alone)
            put(one.part, "own_device", alone, "with every fuse and breaker taken out")
    if own and len(wired) == len(packs):
        words = "a device stands between each pack and the others"
        put("battery", "packs_have_own_device", all(own), words)


def _through(topology: Topology, facts: Facts, put: Put) -> None:
    plan = topology.plan
    for joint in plan.joints:
        if joint.kind == "run" or facts.subject_of(joint.part) not in _THROUGH:
            continue
        ends = {joint.a, joint.b} & plan.connected
        if len(ends) == 1 or (not ends and plan.complete):
            put(joint.part, "dangling", True, "by the listed runs")
        elif len(ends) == 2:
            put(joint.part, "dangling", False, "both its ends are connected")
    for identity in facts.instances("disconnect"):
        own = [one.name for one in plan.joints if one.part == identity]
        if (
            not {end for one in plan.joints if one.part == identity for end in (one.a, one.b)}
            <= (plan.connected)
            or not own
            or chosen(facts, identity, "circuit") not in (None, "traction")
        ):
            continue
        left = topology.without_named(own)
        alive = [
            one.part for one in plan.consumers
            if one.kind in _FEEDING and left.fed(one.name) and topology.closed.fed(one.name)
        ]  # fmt: skip
        names = list(dict.fromkeys(alive))
        put(identity, "leaves_alive_count", float(len(names)), "with it open")
        put(identity, "leaves_alive", ", ".join(names) or "nothing", "with it open")
    _families(topology, facts, put)


def _families(topology: Topology, facts: Facts, put: Put) -> None:
    """Connectors of one family that stand in different circuits or at different voltages."""
    state = topology.closed
    circuits: dict[str, tuple[object, ...]] = {}
    for identity in facts.instances("connector"):
        ends = [f"{identity}.{end}" for end in ("in", "in-plus", "in-minus")]
        heights = [(state.height(end), state.low_height(end)) for end in ends]
        circuits[identity] = (*heights, chosen(facts, identity, "circuit"))
    for identity, own in circuits.items():
        family = chosen(facts, identity, "family")
        if family is None or family == "ring-lug":
            continue
        mates = [
            other
            for other, theirs in circuits.items()
            if other != identity and theirs != own and chosen(facts, other, "family") == family
        ]
        put(identity, "mates_with_other", bool(mates), "connectors of its family in other circuits")
        if mates:
            put(identity, "mates_with", ", ".join(mates), "connectors of its family")


def _precharges(topology: Topology, put: Put) -> None:
    for joint in topology.plan.joints:
        if joint.kind != "resistor":
            continue
        if not {joint.a, joint.b} <= topology.plan.connected:
            continue
        state = topology.key_off
        conducts = joint in state.wires.joints and any(
            one.kind in _FEEDING
            and state.fed(one.name)
            and not topology.key_off_without(joint.name).fed(one.name)
            for one in topology.plan.consumers
        )
        put(joint.part, "always_conducts", conducts, "with the key off")
        if conducts:
            fed = next(
                one for one in topology.plan.consumers
                if one.kind in _FEEDING and state.fed(one.name)
                and not topology.key_off_without(joint.name).fed(one.name)
            )  # fmt: skip
            put(joint.part, "way_key_off", topology.round_trip(fed, state), "read off the plan")
