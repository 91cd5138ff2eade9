"""What the solved plan tells about runs: currents, protection, faults, heat."""

from __future__ import annotations

from typing import TYPE_CHECKING

from advisor.facts import Facts
from advisor.facts.drive import BRUSHED
from advisor.facts.origins import question_key
from advisor.physics.protection import device_distance_limit
from advisor.wiring import survey_clearing, survey_devices
from advisor.wiring.found import Found, chosen, combined, read
from advisor.wiring.guards import Guard
from advisor.wiring.modes import LASTING, MODES, PEAK, SUSTAINED
from advisor.wiring.plan import Joint, ends_of
from advisor.wiring.topology import written
from advisor.wiring.warmth import WORKING_TEMPERATURE, hotter, temperatures

if TYPE_CHECKING:
    from advisor.wiring.survey import Notebook, Survey

_NOTHING: frozenset[str] = frozenset()
_REACH = "7 in bare, 40 in sheathed, 72 in sheathed from the battery: 33 CFR 183.455, ABYC E-11"
_TRACED = "traced through the plan of the cables"
_NO_DEVICE = "no device stands before it, so none was chosen for another cable"


def solved(found: Survey, notebook: Notebook) -> None:
    """Put what the networks give, for runs and for the parts they pass."""
    for joint in found.plan.joints:
        if joint.kind == "run":
            _run(found, joint, notebook)
    _temperatures(found, notebook)
    survey_devices.parts(found, notebook)
    survey_clearing.contactors(found, notebook)
    survey_clearing.devices(found, notebook)


def _run(found: Survey, joint: Joint, notebook: Notebook) -> None:
    run = joint.part
    circuit = found.circuit_of(joint.name)
    kinds = {one.kind for one in found.currents.consumers(joint.name)}
    stated = chosen(found.facts, run, "circuit") is not None
    if circuit is not None and not (stated and kinds <= {"coil", "key", "monitor"}):
        notebook.put(run, "circuit", circuit, "the consumers whose current flows through it")
    frame = "vehicle.frame" in (joint.a, joint.b) or joint.a.endswith(".case")
    bond = frame or joint.b.endswith(".case")
    softly = joint.name in found.currents.precharging
    dead = circuit is None and not bond and not softly
    notebook.put(run, "motor_on_battery", False, "it ends at no motor and no motor terminal")
    live = any(
        (found.topology.closed.height(end) or found.topology.closed.low_height(end) or 0) > 0
        for end in (joint.a, joint.b)
    )
    notebook.put(run, "dead_end", dead, "no current of a consumer can flow in it")
    notebook.put(run, "dead_end_live", dead and live, "no consumer, and joined to a source")
    _ways(found, joint, notebook)
    _terminals(found, joint, notebook)
    guard = found.guards.guards[joint.name]
    words = "by the ways from every battery; a converter limits its own current"
    notebook.put(run, "unprotected", guard.unprotected, words)
    _behind(found, joint, guard, notebook)
    if softly and circuit is None:
        if not stated:
            notebook.put(run, "circuit", "precharge", "it charges the drive, its contactor open")
        _protection(found, joint, notebook)
        survey_clearing.faults(found, joint, notebook)
        return
    if dead or circuit is None:
        if guard.unprotected:
            _protection(found, joint, notebook)
        elif not guard.feeds:
            notebook.put(run, "steps_down", False, _NO_DEVICE)
        return
    currents = found.currents
    sustained = currents.largest(joint.name, LASTING)
    notebook.number(run, "current_carried", sustained, "largest current of the lasting modes")
    peak = currents.largest(joint.name, MODES)
    notebook.number(run, "current_peak", peak, f"largest current of all modes, also {PEAK}")
    _protection(found, joint, notebook)
    survey_clearing.faults(found, joint, notebook)


def _behind(found: Survey, joint: Joint, guard: Guard, notebook: Notebook) -> None:
    """Whether a device stands before a run; a fuse inside a pack does not count on a short lead."""
    batteries = [one for one in found.guards.feeding(joint) if one.kind != "converter"]
    behind = bool(batteries) and not guard.unprotected
    words = "by the ways from every battery"
    devices = {device for feed in guard.feeds for chain in feed for device in chain}
    if behind and all(found.facts.subject_of(one) == "pack" for one in devices):
        cable = found.guards.reach(joint, batteries)
        allowed = found.guards.allowed(joint, batteries[0])
        if cable.known and cable.value <= allowed * (1 + 1e-9):
            behind, words = False, f"its lead is so short that it needs no device ({_REACH})"
    notebook.put(joint.part, "behind_device", behind, words)


def _ways(found: Survey, joint: Joint, notebook: Notebook) -> None:
    wires = found.topology.closed.wires
    poles = [one.plus for one in found.plan.supplies] + [one.minus for one in found.plan.supplies]
    ways = (
        written((*path, joint), pole, "")
        for pole in poles
        for end in (joint.a, joint.b)
        if (path := wires.path(pole, end)) is not None
    )
    way = next(ways, "it is joined to no source")
    notebook.put(joint.part, "way_to", way, "read off the plan")
    loop = found.topology.loops.get(joint.name)
    notebook.put(joint.part, "in_loop", loop is not None, "by the listed runs")
    if loop is not None:
        notebook.put(joint.part, "loop", loop, "read off the plan")


def _terminals(found: Survey, joint: Joint, notebook: Notebook) -> None:
    """The lowest temperature marked for the terminals of what a run ends at."""
    parts = sorted({end.rpartition(".")[0] for end in (joint.a, joint.b)})
    marked = [
        read(found.facts, part, "terminal_temperature")
        for part in parts
        if found.facts.subject_of(part) in ("breaker", "disconnect")
    ]
    notebook.put(joint.part, "at_marked_terminal", bool(marked), "read off the plan")
    if marked:
        known = [one for one in marked if one.known]
        lowest = min(known or marked, key=lambda one: one.value)
        words = "lowest mark of what it ends at"
        if not known:
            notebook.none(joint.part, "terminal_temperature", words, lowest.missing or _NOTHING)
        notebook.number(joint.part, "terminal_temperature", lowest, words, _TRACED)
        every = combined(0.0, marked)
        if every.missing is not None:
            notebook.none(joint.part, "terminals_marked", words, every.missing)
        else:
            notebook.put(joint.part, "terminals_marked", True, "by the marks stated")


def _protection(found: Survey, joint: Joint, notebook: Notebook) -> None:
    run = joint.part
    guard = found.guards.guards.get(joint.name)
    if guard is None:
        return
    positive = guard.first is not None or guard.unprotected
    if guard.exposed is not None and guard.allowed is not None:
        notebook.number(run, "unprotected_length", guard.exposed, "cable to its far end", _TRACED)
        notebook.put(run, "unprotected_allowed", guard.allowed, _REACH)
        notebook.put(run, "way_unprotected", guard.way, "read off the plan")
        notebook.put(run, "steps_down", False, _NO_DEVICE)
        at_end = _device_at(found, joint)
        if at_end is not None and guard.exposed.value <= guard.allowed * (1 + 1e-9):
            rating = _rating(found.facts, at_end)
            notebook.number(run, "device_rating", rating, "device at its end", _TRACED)
            notebook.put(run, "device_name", at_end, _TRACED)
        else:
            notebook.none(run, "device_rating", "no device protects it")
        return
    if guard.first is not None:
        words = "cable between the source and the first device"
        notebook.number(run, "device_distance", guard.first, words, _TRACED)
    above = (found.topology.closed.low_height(joint.a) or 0) > 0
    tapped = _tap(found, joint) if positive or above else None
    if tapped is not None:
        guard = Guard((((tapped,),),), guard.first)
    limit = guard.limit(lambda device: _rating(found.facts, device))
    notebook.put(run, "fed_bare", bool(guard.limited), "by the ways from every converter")
    if guard.limited:
        largest, names = _bare_limit(found.facts, guard)
        notebook.number(run, "source_limit", largest, "peak of what feeds it bare", _TRACED)
        notebook.put(run, "source_name", " and ".join(names), _TRACED)
    if limit is None:
        notebook.put(run, "steps_down", False, _NO_DEVICE)
        closed = found.topology.closed
        if closed.height(joint.a) is not None and not closed.low_height(joint.a):
            notebook.none(run, "device_rating", "no device protects what it serves")
        return
    amps, devices = limit
    named = " and ".join(devices)
    words = f"rating of what protects it: {named}"
    if amps.missing:
        notebook.none(run, "device_rating", words, amps.missing)
    notebook.number(run, "device_rating", amps, words, _TRACED)
    notebook.put(run, "device_name", named, _TRACED)
    _step_down(found, joint, guard, notebook)


def _step_down(found: Survey, joint: Joint, guard: Guard, notebook: Notebook) -> None:
    """A thinner run behind a device chosen for a larger one, and how far the thin part reaches."""
    run = joint.part
    softly = joint.name in found.currents.precharging
    others = [one for one in (*guard.ahead, *(guard.before if softly else ())) if one != run]
    areas = {one: read(found.facts, one, "conducting_area") for one in others}
    own = read(found.facts, run, "conducting_area")
    if not own.known or not all(one.known for one in areas.values()):
        return
    larger = {one for one, area in areas.items() if own.value < 0.95 * area.value}
    notebook.put(run, "steps_down", bool(larger), "a larger conductor lies behind the same device")
    if larger and guard.allowed is not None:
        thin = [run, *(one for one in guard.ahead if one in areas and one not in larger)]
        lengths = [read(found.facts, one, "length") for one in thin]
        length = combined(sum(one.value for one in lengths), lengths)
        words = "cable between the larger conductor and its far end"
        notebook.number(run, "thin_length", length, words, _TRACED)
        notebook.put(
            run, "unprotected_allowed", guard.allowed, "7 in bare, 40 in sheathed (33 CFR 183.455)"
        )


def _tap(found: Survey, joint: Joint) -> str | None:
    """The device at the far end of a short lead, which protects it as if it stood at the source.

    33 CFR 183.455 allows 7 in of conductor before the device, 40 in when sheathed all the way.
    """
    device = _device_at(found, joint)
    length = read(found.facts, joint.part, "length")
    sheathed = chosen(found.facts, joint.part, "place") in ("sheathed", "conduit")
    if device is None or not length.known:
        return None
    if length.value > device_distance_limit(float(sheathed), 0.0) * (1 + 1e-9):
        return None
    start = joint.b if joint.a.startswith(f"{device}.") else joint.a
    return device if found.guards.fed_from(joint, start) else None


def _device_at(found: Survey, joint: Joint) -> str | None:
    """The only device at one of the ends of a run."""
    devices = [
        one.part
        for one in found.plan.joints
        if one.kind == "device" and {one.a, one.b} & {joint.a, joint.b}
    ]
    return devices[0] if len(devices) == 1 else None


def _bare_limit(facts: Facts, guard: Guard) -> tuple[Found, tuple[str, ...]]:
    """The largest current (A) that enters by one end past every device, and the converters."""
    found = []
    for converters, chains in guard.limited:
        limits = [read(facts, one, "peak_allowed") for one in converters]
        beside = Guard((chains,)).limit(lambda device: _rating(facts, device))
        limits += [beside[0]] if beside is not None else []
        found.append((combined(sum(one.value for one in limits), limits), converters))
    return max(found, key=lambda one: one[0].value)


def _rating(facts: Facts, device: str) -> Found:
    inside = facts.subject_of(device) == "pack"
    return read(facts, device, "internal_fuse_rating" if inside else "rating")


def _temperatures(found: Survey, notebook: Notebook) -> None:
    """Second opinion: the temperature of every run alone in still air."""
    carried: dict[str, Found] = {}
    for run in (*found.plan.runs, *found.plan.motor_runs):
        allowed = read(found.facts, run, "insulation_temperature")
        notebook.number(run, "temperature_allowed", allowed, "as its insulation is rated", _TRACED)
        current = notebook.values.get((run, "current_carried"))
        if current is not None and isinstance(current.value, float):
            carried[run] = Found(current.value, current.inputs, current.assumed, current.settles)
    for run, kelvin in temperatures(found.facts, carried).items():
        notebook.number(
            run,
            "temperature",
            kelvin,
            "heat balance of the run alone in still air, with an insulation of usual thickness",
            "Churchill and Chu (1975), Stefan-Boltzmann law",
        )
        if kelvin.known and kelvin.value > WORKING_TEMPERATURE:
            cold = read(found.facts, run, "resistance")
            hot = combined(cold.value * hotter(kelvin.value), [cold, kelvin])
            notebook.number(run, "resistance", hot, "at the temperature it settles at", _TRACED)


def motor(found: Survey, notebook: Notebook) -> None:
    """Motor cables carry the motor current of the only controller."""
    controllers = found.facts.instances("controller")
    for run in found.plan.motor_runs:
        notebook.put(run, "circuit", "motor", "it ends at the motor side of a controller")
        direct, unsaid = _on_battery(found, run)
        words = "its other end, and the pole that the controller joins to the motor"
        notebook.put(run, "motor_on_battery", direct, words, unsaid)
        if direct:
            continue  # nothing limits its current, and that is told of it
        for name in ("dead_end", "dead_end_live", "at_marked_terminal"):
            notebook.put(run, name, False, "it runs between controller and motor")
        for name in ("unprotected", "behind_device", "steps_down"):
            notebook.put(run, name, False, "the controller limits the current of motor cables")
        if len(controllers) != 1:
            continue
        if _is_field(found, run):
            motors = found.facts.instances("motor")
            if not motors:
                continue
            field = read(found.facts, motors[0], "field_current_max")
            if not field.known:
                for name in ("current_carried", "current_peak"):
                    notebook.none(run, name, "it carries field current", field.missing or _NOTHING)
            notebook.number(run, "current_carried", field, "highest field current", _TRACED)
            notebook.number(run, "current_peak", field, "highest field current", _TRACED)
            continue
        hour = read(found.facts, controllers[0], "motor_current_hour")
        peak = read(found.facts, controllers[0], "motor_current_peak")
        notebook.number(run, "current_carried", hour, "motor current for one hour", _TRACED)
        notebook.number(run, "current_peak", peak, "peak motor current", _TRACED)


def _on_battery(found: Survey, run: str) -> tuple[bool | None, frozenset[str]]:
    """Whether a motor cable hangs on a pole that is not led to the motor, or what is missing.

    Most controllers of brushed motors switch one side; the other pole goes to the motor directly.
    """
    instance = found.facts.instance(run)
    ends = ends_of(instance) if instance is not None else None
    heights = [found.topology.closed.height(end) for end in ends or ()]
    steps = [one for one in heights if one is not None]
    if not steps:
        return False, _NOTHING
    kinds = [chosen(found.facts, one, "type") for one in found.facts.instances("motor")]
    if (kinds and all(one is not None and one not in BRUSHED for one in kinds)) or _is_field(
        found, run
    ):
        return True, _NOTHING
    pole = "plus" if max(steps) > 0 else "minus"
    controllers = found.facts.instances("controller")
    said = {one: chosen(found.facts, one, "motor_common") for one in controllers}
    if pole in said.values():
        return False, _NOTHING
    unsaid = frozenset(question_key(one, "motor_common") for one in said if said[one] is None)
    return (None, unsaid) if unsaid else (True, _NOTHING)


def _is_field(found: Survey, run: str) -> bool:
    """A run to the field of a motor that is not in series with the armature."""
    instance = found.facts.instance(run)
    ends = ends_of(instance) if instance is not None else None
    motors = found.facts.instances("motor")
    series = bool(motors) and chosen(found.facts, motors[0], "type") == "series-dc"
    return not series and any(end.endswith((".f1", ".f2")) for end in ends or ())


__all__ = ["SUSTAINED", "motor", "solved"]
