"""What the topology tells about sources and parts in the line; each with its way."""

from __future__ import annotations

from advisor.facts import Facts
from advisor.wiring.found import chosen
from advisor.wiring.strings import opposed
from advisor.wiring.survey_feeding import FEEDING, Put, consumers
from advisor.wiring.topology import Topology, written

_THROUGH = ("fuse", "breaker", "disconnect", "connector")


def connections(topology: Topology, facts: Facts, put: Put) -> None:
    """Put what the topology alone tells."""
    consumers(topology, facts, put)
    _packs(topology, facts, put)
    _through(topology, facts, put)
    _precharges(topology, put)
    _contacts(topology, put)
    if topology.frame_joined is not None:
        words = "the frame hangs on the traction circuit by the listed runs"
        put("battery", "frame_referenced", topology.frame_joined, words)


def _contacts(topology: Topology, put: Put) -> None:
    bridged = topology.bridged_contacts
    for joint in topology.plan.joints:
        if joint.group not in ("contactor", "charge-contactor"):
            continue
        if not {joint.a, joint.b} <= topology.plan.connected:
            continue
        put(joint.part, "contact_bridged", joint.part in bridged, "with its contact taken out")
        if joint.part in bridged:
            put(joint.part, "way_past_contact", bridged[joint.part], "read off the plan")


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
    against = opposed(topology)
    for one in wired:
        put(one.part, "opposed", one.part in against, "by the ways of the consumers")
        if one.part in against:
            put(one.part, "way_opposed", against[one.part], "read off the plan")
        put(one.part, "shorted", one.part in shorted, "by the listed runs")
        if one.part in shorted:
            put(one.part, "way_shorted", shorted[one.part], "read off the plan")
        if any(joint.group == "bms" and joint.part == one.part for joint in plan.joints):
            put(one.part, "bms_bypassed", one.part in bypassed, "with its switch open")
            if one.part in bypassed:
                put(one.part, "way_past_bms", bypassed[one.part], "read off the plan")
        case = f"{one.part}.case"
        if case in plan.connected:
            tied = topology.closed.height(case) is not None
            put(one.part, "case_tied", tied, "by its runs")
            if tied:
                put(one.part, "way_case_tied", _to_a_pole(topology, case), "read off the plan")
        else:
            put(one.part, "case_tied", False, "no listed run ends at its case")
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


def _to_a_pole(topology: Topology, terminal: str) -> str:
    """The shortest way from a terminal to a pole of a pack."""
    wires = topology.closed.wires
    poles = [pole for one in topology.closed.supplies("traction") for pole in (one.plus, one.minus)]
    ways = [(wires.path(terminal, pole), pole) for pole in poles]
    found = [(path, pole) for path, pole in ways if path is not None]
    path, pole = min(found, key=lambda one: len(one[0]))
    return written(path, terminal, pole)


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
            one for one in plan.consumers
            if one.kind in FEEDING and left.fed(one.name) and topology.closed.fed(one.name)
        ]  # fmt: skip
        names = list(dict.fromkeys(one.part for one in alive))
        put(identity, "leaves_alive_count", float(len(names)), "with it open")
        put(identity, "leaves_alive", ", ".join(names) or "nothing", "with it open")
        if alive:
            way = topology.round_trip(alive[0], left)
            put(identity, "way_left_alive", way, "read off the plan")
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
            one.kind in FEEDING
            and state.fed(one.name)
            and not topology.key_off_without(joint.name).fed(one.name)
            for one in topology.plan.consumers
        )
        put(joint.part, "always_conducts", conducts, "with the key off")
        if conducts:
            fed = next(
                one for one in topology.plan.consumers
                if one.kind in FEEDING and state.fed(one.name)
                and not topology.key_off_without(joint.name).fed(one.name)
            )  # fmt: skip
            put(joint.part, "way_key_off", topology.round_trip(fed, state), "read off the plan")
