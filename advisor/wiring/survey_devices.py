"""What the solved plan tells about devices, switches, bars, packs and the voltage at the loads."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from advisor.wiring.currents import large
from advisor.wiring.found import Found, combined, read
from advisor.wiring.modes import CHARGING, LASTING, MODES, PEAK, SUSTAINED
from advisor.wiring.plan import Consumer, Joint

if TYPE_CHECKING:
    from advisor.wiring.survey import Notebook, Survey

_SUSTAINED_NAME = {"fuse": "current_continuous", "breaker": "current_continuous"}
_LARGEST_OF_12_V = 16.0  # V, a 12 V system while it charges; common practice, no source
_PEAK_NAME = {
    "fuse": "current_peak",
    "breaker": "current_peak",
    "contactor": "current_peak",
    "disconnect": "current_through_peak",
    "connector": "current_through_peak",
}


def parts(found: Survey, notebook: Notebook) -> None:
    """Put what the networks give for the parts that runs pass or end at."""
    for joint in found.plan.joints:
        subject = found.facts.subject_of(joint.part)
        wired = {joint.a, joint.b} <= found.plan.connected
        if subject in _PEAK_NAME and wired:
            _through(found, joint, subject, notebook)
    _bars(found, notebook)
    _connectors(found, notebook)
    _packs(found, notebook)
    _voltages(found, notebook)
    _stated_flags(found, notebook)


def _through(found: Survey, joint: Joint, subject: str, notebook: Notebook) -> None:
    currents, part = found.currents, joint.part
    sustained = currents.largest(joint.name, LASTING)
    name = _SUSTAINED_NAME.get(subject, "current_carried")
    notebook.number(part, name, sustained, "largest current of the lasting modes")
    peak = currents.largest(joint.name, MODES)
    notebook.number(part, _PEAK_NAME[subject], peak, "largest current of all modes")
    ends = [most for end in (joint.a, joint.b) if (most := found.shorts.most(end)) is not None]
    if ends and subject in ("fuse", "breaker", "contactor"):
        most = max(ends, key=lambda one: one.value)
        words = "open-circuit voltage over the resistance to the source, cold"
        notebook.number(part, "fault_current", most, words, "Thevenin's theorem")
    if subject == "contactor":
        _voltage_to_break(found, joint, notebook)
    if subject in ("fuse", "breaker"):
        flows = [currents.current(joint.name, mode) for mode in MODES]
        signs = {one.value > 0 for one in flows if one.known and abs(one.value) > 0.5}
        if len(signs) == 2:
            notebook.put(part, "two_way", True, "current changes its direction between the modes")
        elif all(one.known for one in flows):
            notebook.put(part, "two_way", False, "current keeps its direction in every mode")
        ahead = found.guards.upstream(part)
        if ahead is not None:
            notebook.put(part, "upstream", ahead, "the next device towards the source")
    if subject == "breaker":
        drive = currents.current(joint.name, SUSTAINED)
        if drive.known and abs(drive.value) > 0.5:
            notebook.put(part, "reversed_flow", drive.value < 0, "drive current from out to in")


def _voltage_to_break(found: Survey, joint: Joint, notebook: Notebook) -> None:
    """Contacts of which both ends hang on the 12 V side break no battery voltage."""
    closed, facts = found.topology.closed, found.facts
    ends = (joint.a, joint.b)
    if any(closed.height(end) for end in ends):
        volts = read(facts, "battery", "full_voltage")
        notebook.number(joint.part, "voltage_to_break", volts, "full battery, by the plan")
    elif any(closed.low_height(end) for end in ends):
        outputs = [read(facts, one, "output_voltage") for one in facts.instances("converter")]
        outputs += [read(facts, one, "charge_voltage_max") for one in facts.instances("buffer")]
        most = max((one.value for one in outputs), default=0.0)
        nominal = 12.0 if most <= _LARGEST_OF_12_V else most
        volts = combined(nominal, outputs)
        words = "12 V side by the plan; its relays are marked with the nominal voltage"
        notebook.number(joint.part, "voltage_to_break", volts, words)


def _bars(found: Survey, notebook: Notebook) -> None:
    for identity in found.facts.instances("bus_bar"):
        studs = [one for one in found.plan.connected if one.startswith(f"{identity}.")]
        runs = [
            (one, end)
            for one in found.plan.joints
            if one.kind == "run"
            for end in (one.a, one.b)
            if end in studs
        ]
        if not runs:
            continue
        per_stud = [sum(1 for _, end in runs if end == stud) for stud in studs]
        notebook.put(identity, "lugs_on_stud", float(max(per_stud)), "runs that end on one stud")
        for name, modes in (("current_carried", LASTING), ("current_through_peak", MODES)):
            through = [_bar_current(found, runs, mode) for mode in modes]
            known = [one for one in through if one.known]
            if known:
                most = max(known, key=lambda one: one.value)
                unknown = [one for one in through if not one.known]
                notebook.number(
                    identity,
                    name,
                    combined(most.value, [most, *unknown]),
                    "half of the currents of its runs, which is what passes through it",
                )


def _bar_current(found: Survey, runs: Iterable[tuple[Joint, str]], mode: str) -> Found:
    flows = [found.currents.current(one.name, mode) for one, _ in runs]
    return combined(sum(abs(one.value) for one in flows) / 2, flows)


def _connectors(found: Survey, notebook: Notebook) -> None:
    for identity in found.facts.instances("connector"):
        runs = [
            one.name
            for one in found.plan.joints
            if one.kind == "run" and any(end.startswith(f"{identity}.") for end in (one.a, one.b))
        ]
        sizes = [read(found.facts, run, "gauge") for run in runs]
        if not sizes:
            continue
        for name, choose in (("wire_smallest", min), ("wire_largest", max)):
            size = combined(choose(one.value for one in sizes), sizes)
            notebook.number(identity, name, size, "sizes of the runs that end at it")


def _packs(found: Survey, notebook: Notebook) -> None:
    packs = [one for one in found.plan.supplies if one.kind == "pack"]
    wires = found.topology.closed.wires
    for one in packs:
        inside = [j.name for j in found.plan.joints if j.part == one.part and j.kind != "link"]
        mates = [two for two in packs if wires.joined(one.plus, two.plus)]
        if len(mates) < 2:
            continue
        for name, mode in (("current_share", SUSTAINED), ("current_share_peak", PEAK)):
            own = found.currents.solutions[mode].currents.get(f"{one.part}:source")
            whole = sum(
                found.currents.solutions[mode].currents.get(f"{two.part}:source", 0.0)
                for two in mates
            )
            if own is None or not whole:
                continue
            rests = [read(found.facts, two.part, "internal_resistance") for two in mates]
            rests += list(found.currents.modes[mode].draws.values())
            rests += [found.currents.current(name, mode) for name in inside[:1]]
            rests = [r for r in rests if r.inputs or r.missing or r.assumed]
            share = combined(own, [r for r in rests if abs(r.value) > 0 or r.missing])
            notebook.number(one.part, name, share, f"its current, {mode}")
            if mode == SUSTAINED:
                even = combined(own * len(mates) / whole, [share])
                notebook.number(one.part, "share", even, "its current over an equal share")


def _voltages(found: Survey, notebook: Notebook) -> None:
    for one in found.plan.consumers:
        if one.kind != "drive" or not found.topology.closed.fed(one.name):
            continue
        for name, mode in (("supply_voltage_sustained", SUSTAINED), ("supply_voltage_peak", PEAK)):
            if one.name not in found.currents.modes[mode].draws:
                continue
            volts = found.currents.voltage(one.plus, one.minus, mode)
            rests = _loop(found, one)
            notebook.number(
                one.part,
                name,
                combined(volts, [*rests, *large(found.currents.modes[mode].draws.values())]),
                f"nominal voltage less what pack and cables lose, {mode}",
            )
        if len(found.facts.instances("controller")) == 1:
            _traction_drop(found, one, notebook)


def _loop(found: Survey, one: Consumer) -> list[Found]:
    """What the voltage at a consumer rests on: the resistances its current flows through."""
    rests = []
    for name, sized in found.currents.sizes.joints.items():
        if abs(found.currents.through.get(name, {}).get(one.name, 0.0)) > 1e-3:
            rests.append(sized)
    for supply in found.plan.supplies:
        if supply.kind == "pack":
            rests.append(read(found.facts, supply.part, "internal_resistance"))
            rests.append(read(found.facts, supply.part, "nominal_voltage"))
    return rests


def _traction_drop(found: Survey, one: Consumer, notebook: Notebook) -> None:
    """Loss of all runs that the drive current passes, there and back."""
    lost = 0.0
    rests: list[Found] = []
    for joint in found.plan.joints:
        share = found.currents.through.get(joint.name, {}).get(one.name, 0.0)
        if joint.kind != "run" or abs(share) < 1e-3:
            continue
        current = found.currents.current(joint.name, SUSTAINED)
        sized = found.currents.sizes.joints[joint.name]
        lost += abs(share) * abs(current.value) * sized.value
        rests += [current, sized]
    if rests:
        words = "losses of the runs of the drive, each by its share of the current"
        notebook.number("battery", "traction_drop", combined(lost, rests), words)


def _stated_flags(found: Survey, notebook: Notebook) -> None:
    """Statements of the parts list that the plan shows to be so or not."""
    topology = found.topology
    values = notebook.values
    for one in found.plan.consumers:
        subject = found.facts.subject_of(one.part)
        past = values.get((one.part, "fed_past_device"))
        if past is not None:
            guarded = not past.value
            name = {
                "converter": "input_fused",
                "load": "fused",
                "charger": "",
                "inlet": "own_device",
                "monitor": "input_fused",
            }.get(subject, "")
            if name and one.kind != "drive" and not guarded:  # a main fuse ahead is no branch fuse
                notebook.put(one.part, name, False, "with every fuse and breaker taken out")
        bms = values.get((one.part, "fed_past_bms"))
        if bms is not None and subject in ("charger", "inlet"):
            notebook.put(one.part, "bypasses_bms", bms.value, "with its switch taken out")
        disconnect = values.get((one.part, "fed_past_disconnect"))
        if disconnect is not None and subject == "load":
            notebook.put(one.part, "ahead_of_disconnect", disconnect.value, "with it open")
    _low_side(found, notebook)
    shunts = [one.part for one in topology.plan.joints if one.kind == "shunt"]
    asides = [bool(one.value) for (_, name), one in values.items() if name == "fed_past_shunt"]
    if len(shunts) == 1 and asides:
        words = "with the shunt taken out of the plan"
        notebook.put(shunts[0], "negatives_past_shunt", any(asides), words)


def _low_side(found: Survey, notebook: Notebook) -> None:
    """What the plan tells of a converter by the loads behind it."""
    topology = found.topology
    bare = topology.without_devices.wires
    for supply in found.plan.supplies:
        if supply.kind != "converter":
            continue
        behind = [
            one
            for one in found.plan.consumers
            if one.kind == "load"
            and topology.closed.standing[one.name].side == "low"
            and topology.closed.fed(one.name)
            and topology.closed.wires.joined(supply.plus, one.plus)
        ]
        if any(bare.joined(supply.plus, one.plus) for one in behind):
            words = "a load hangs on its output with every fuse and breaker taken out"
            notebook.put(supply.part, "output_fused", False, words)
        by_frame = [one for one in behind if not topology.without_frame.fed(one.name)]
        words = "with the frame taken out of the plan"
        if behind:
            notebook.put(supply.part, "low_returns_by_frame", bool(by_frame), words)
        if by_frame:
            notebook.put(supply.part, "returns_through_frame", True, words)
            names = ", ".join(dict.fromkeys(one.part for one in by_frame))
            notebook.put(supply.part, "frame_loads", names, words)
            way = topology.round_trip(by_frame[0], topology.closed)
            notebook.put(supply.part, "way_by_frame", way, "read off the plan")


__all__ = ["CHARGING", "parts"]
