"""What the plan tells about short circuits: currents, who opens when, and in which order."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from advisor.wiring.clearing import (
    Curve,
    curve_for,
    least_ratio,
    opens_after,
    slowest,
    stands_for,
)
from advisor.wiring.cuts import Chain
from advisor.wiring.found import Found, combined, read
from advisor.wiring.plan import Joint

if TYPE_CHECKING:
    from advisor.wiring.survey import Notebook, Survey

_COLD = "open-circuit voltage over the resistance to the source, cold"
_THEVENIN = "Thevenin's theorem"
_CURVES = "time-current curves, log-log"


def faults(found: Survey, joint: Joint, notebook: Notebook) -> None:
    """Short-circuit currents of a run, and whether its device is faster than its conductor."""
    ends = [(end, most) for end in (joint.a, joint.b) if (most := found.shorts.most(end))]
    if not ends:
        return
    near = max(ends, key=lambda one: one[1].value)
    far, _ = min(ends, key=lambda one: one[1].value)
    notebook.number(joint.part, "fault_current", near[1], _COLD, _THEVENIN)
    back = None if found.guards.is_link(joint) else _return_of(found, joint.name, far)
    if back is None:
        return  # of the cable between two packs of a string no fault passes the main device
    least = found.shorts.least(far, back)
    words = "fault at its far end to the return of what it feeds, everything hot"
    notebook.number(joint.part, "fault_current_least", least, words, _THEVENIN)
    guard = found.guards.guards.get(joint.name)
    if least is None or guard is None or guard.unprotected:
        return
    chains = [chain for feed in guard.feeds for chain in feed]
    time = _cleared(found, chains, far, back, least)
    words = "device at the fault at its far end"
    if time is not None and time.missing:
        notebook.none(joint.part, "clearing_time", words, time.missing)
    notebook.number(joint.part, "clearing_time", time, words, _CURVES)
    own = combined(abs(least.value * found.shorts.through(joint.name, far, back)), [least])
    stands = stands_for(found.facts, joint.part, own)
    words = "(k S / I)^2 at the fault at its far end"
    notebook.number(joint.part, "withstand_time", stands, words, "IEC 60364-4-43")


def _return_of(found: Survey, joint: str, far: str) -> str | None:
    """The return terminal of what a joint feeds, against which a fault at its end is the least.

    Of the strongest circuit it feeds: a drive cable is not shorted at the end of a thin coil lead.
    """
    closed = found.topology.closed
    low = (closed.low_height(far) or 0) > 0
    of = closed.low_height if low else closed.height
    fed = [
        one for one in found.currents.consumers(joint)
        if of(one.minus) == 0 and found.circuit(one) == found.circuit_of(joint)
    ]  # fmt: skip
    backs = [one.minus for one in fed]
    if not backs and not low:
        backs = [
            one.minus
            for one in found.plan.consumers
            if one.kind == "drive" and closed.fed(one.name)
        ]
    known = [(back, one) for back in backs if (one := found.shorts.least(far, back)) is not None]
    return min(known, key=lambda one: one[1].value)[0] if known else None


def _cleared(
    found: Survey, chains: Iterable[Chain], far: str, back: str, least: Found
) -> Found | None:
    """Time (s) until every way that feeds a fault is open; a converter limits itself."""
    joints = {one.part: one.name for one in found.plan.joints if one.kind == "device"}
    times = []
    for chain in chains:
        through = [
            (device, least.value * found.shorts.through(joints[device], far, back))
            for device in chain
        ]
        if any(amps > 1e-3 for _, amps in through):
            times.append(opens_after(found.facts, through))
    time = slowest(times)
    return None if time is None else combined(time.value, [time, least])


def contactors(found: Survey, notebook: Notebook) -> None:
    """How long a contactor carries a fault at the drive before the device opens."""
    for joint in found.plan.joints:
        if joint.group != "contactor":
            continue
        back = _return_of(found, joint.name, joint.b)
        ends = (joint.a, joint.b)
        least = None if back is None else found.shorts.least(joint.b, back)
        if back is None or least is None or not all(found.shorts.most(end) for end in ends):
            continue
        chains = [
            chain
            for run in found.plan.joints
            if run.kind == "run" and joint.a in (run.a, run.b)
            for feed in found.guards.guards[run.name].feeds
            for chain in feed
        ]
        words = "fault behind it to the return of what it feeds, everything hot"
        notebook.number(joint.part, "fault_current_least", least, words, _THEVENIN)
        time = _cleared(found, dict.fromkeys(chains), joint.b, back, least)
        words = "device ahead of it at the fault behind it"
        notebook.number(joint.part, "fault_clearing_time", time, words, _CURVES)


def devices(found: Survey, notebook: Notebook) -> None:
    """When a device opens at the peak of the modes, and whether it opens before the next one."""
    for joint in found.plan.joints:
        if joint.kind != "device" or found.facts.subject_of(joint.part) == "pack":
            continue
        curve = curve_for(found.facts, joint.part)
        if isinstance(curve, Found):
            continue
        peak = notebook.values.get((joint.part, "current_peak"))
        if peak is not None and isinstance(peak.value, float):
            amps = Found(peak.value, peak.inputs, peak.assumed, peak.settles)
            time = combined(curve.opening(amps.value), [amps, *curve.rests])
            words = "its curve at the largest current of all modes"
            notebook.number(joint.part, "opening_time_peak", time, words, _CURVES)
        _selective(found, joint, curve, notebook)


def _selective(found: Survey, joint: Joint, curve: Curve, notebook: Notebook) -> None:
    ahead = found.guards.upstream(joint.part)
    if ahead is None or found.facts.subject_of(ahead) == "pack":
        return
    if found.guards.upstream(ahead) == joint.part:
        return  # parallel packs: each feeds a fault in the lead of the other
    source = curve_for(found.facts, ahead)
    fault = read(found.facts, joint.part, "fault_current")
    traced = notebook.values.get((joint.part, "fault_current"))
    if traced is not None and isinstance(traced.value, float):
        fault = Found(traced.value, traced.inputs, traced.assumed, traced.settles)
    if isinstance(source, Found) or not fault.known:
        return
    ratio = least_ratio(source, curve, fault.value)
    if ratio is not None:
        notebook.put(joint.part, "upstream", ahead, "the next device towards the source")
        found_ratio = combined(ratio, [fault, *curve.rests, *source.rests])
        words = f"least opening time of {ahead} over its own, up to the fault current"
        notebook.number(joint.part, "selectivity", found_ratio, words, _CURVES)
