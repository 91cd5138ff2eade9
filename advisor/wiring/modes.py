"""The named modes of a vehicle: which switches are closed, and what every consumer draws.

Currents in A, positive when drawn, negative when fed in. What is missing for a value is kept, so
that a result that does not depend on it stays known.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from advisor.facts import Facts
from advisor.facts.origins import question_key
from advisor.wiring.found import Found, chosen, combined, read
from advisor.wiring.graph import Wires
from advisor.wiring.plan import Consumer, Plan
from advisor.wiring.states import State, state_of, with_key_off

SUSTAINED = "drive, sustained"
PEAK = "drive, peak"
REGENERATION = "regeneration"
CHARGING = "charging"
PARKED = "parked"
ACCESSORIES = "accessories on"
MODES = (SUSTAINED, PEAK, REGENERATION, CHARGING, PARKED, ACCESSORIES)
LASTING = (SUSTAINED, CHARGING, PARKED, ACCESSORIES)
"""Modes that last long enough to heat a cable; the others are short."""

SMALL: Mapping[str, float] = {"coil": 1.0, "key": 0.2, "monitor": 0.05}
"""Currents (A) taken for small consumers that do not say theirs. Common practice, no source."""


@dataclass(frozen=True, slots=True)
class Mode:
    """One mode: the state of the plan, and the current of each consumer by name."""

    name: str
    state: State
    draws: Mapping[str, Found]


def wires_in(plan: Plan, facts: Facts, mode: str) -> Wires:
    """The plan with its switches as they stand in a mode."""
    if mode in (CHARGING, PARKED):
        wires = with_key_off(plan)
        if mode == PARKED:
            return wires.less(opened={"charge-contactor"})
        held = {
            one.name
            for one in plan.joints
            if one.group == "charge-contactor"
            or (
                one.group == "contactor"
                and chosen(facts, one.part, "energised_while_charging") is True
            )
        }
        return Wires(plan, wires.opened, wires.without - held)
    return Wires(plan, frozenset({"precharge", "charge-contactor"}))


def mode_of(plan: Plan, facts: Facts, name: str) -> Mode:
    """A mode of a plan, with what its consumers draw."""
    state = state_of(wires_in(plan, facts, name))
    rule = _RULES[name]
    draws = {}
    for one in plan.consumers:
        if state.standing[one.name].fed:
            draws[one.name] = _draw(plan, facts, state, one, name, rule)
    return Mode(name, state, draws)


def _draw(plan: Plan, facts: Facts, state: State, one: Consumer, mode: str, rule: _Drive) -> Found:
    awake = mode not in (CHARGING, PARKED)
    match one.kind:
        case "drive":
            return rule(facts, one.part, _drives(plan, state))
        case "load":
            return _load(facts, one.part, awake, mode == PEAK)
        case "converter":
            return _converter(plan, facts, state, one, awake, mode == PEAK)
        case "charge":
            return _charge(plan, facts, state, one) if mode == CHARGING else Found(0.0)
        case "coil":
            return _small(facts, one.part, "coil_current", "coil")
        case "key":
            return _small(facts, one.part, "key_input_current", "key") if awake else Found(0.0)
    return _small(facts, one.part, "consumption", "monitor")


def _drives(plan: Plan, state: State) -> int:
    return sum(1 for one in plan.consumers if one.kind == "drive" and state.fed(one.name))


def _small(facts: Facts, part: str, name: str, kind: str) -> Found:
    found = read(facts, part, name, SMALL[kind])
    settles = frozenset({question_key(part, name)})
    return found if found.known else Found(SMALL[kind], assumed=True, settles=settles)


_Drive = Callable[[Facts, str, int], Found]


def _sustained(facts: Facts, part: str, number: int) -> Found:
    del part
    whole = read(facts, "battery", "demand_continuous")
    share = combined(whole.value / max(number, 1), [whole])
    return share if number == 1 else combined(share.value, [share, Found(0.0, assumed=True)])


def _peak(facts: Facts, part: str, number: int) -> Found:
    del number
    return read(facts, part, "current_asked")


def _regenerated(facts: Facts, part: str, number: int) -> Found:
    del number
    enabled = facts.fact(part, "regen_enabled")
    if getattr(enabled, "value", None) is False:
        return Found(0.0)
    current = read(facts, part, "regen_current_max")
    on = read(facts, part, "regen_enabled")
    return combined(-current.value, [current, on])


def _standing(facts: Facts, part: str, number: int) -> Found:
    del number
    found = read(facts, part, "standby_current", 0.01)
    return found if found.known else Found(0.01, assumed=True)


_RULES: Mapping[str, _Drive] = {
    SUSTAINED: _sustained,
    PEAK: _peak,
    REGENERATION: _regenerated,
    CHARGING: _standing,
    PARKED: _standing,
    ACCESSORIES: _standing,
}


def _load(facts: Facts, part: str, awake: bool, peak: bool) -> Found:
    count = read(facts, part, "count", 1.0)
    number = count.value if count.known else 1.0
    if not awake and chosen(facts, part, "on_with_key_off") is not True:
        standby = read(facts, part, "standby_current")
        return combined(number * standby.value, [standby]) if standby.known else Found(0.0)
    current = read(facts, part, "current")
    if peak:
        highest = read(facts, part, "peak_current")
        if highest.known:
            current = highest
    return combined(number * current.value, [current])


def _converter(
    plan: Plan, facts: Facts, state: State, one: Consumer, awake: bool, peak: bool
) -> Found:
    """Input current (A) at the nominal battery voltage, from what hangs on its output."""
    supply = next(s for s in plan.supplies if s.part == one.part and s.kind == "converter")
    group = state.low.group.get(state.wires.net(supply.plus))
    hanging = [
        _load(facts, load.part, awake, False)
        for load in plan.consumers
        if load.kind == "load"
        and state.standing[load.name].side == "low"
        and state.standing[load.name].fed
        and state.low.group.get(state.wires.net(load.plus)) == group
    ]
    if hanging:
        output = combined(sum(load.value for load in hanging), hanging)
    elif awake:
        output = read(facts, one.part, "load_peak" if peak else "load_continuous")
    else:
        output = read(facts, "battery", "loads_key_off")
    sources = sum(1 for s in plan.supplies if s.kind == "converter")
    volts = read(facts, one.part, "output_voltage", 12.0)
    battery = read(facts, "battery", "nominal_voltage", 48.0)
    efficiency = read(facts, one.part, "efficiency", 0.85)
    if not efficiency.known:
        efficiency = Found(0.85, assumed=True)
    idle = read(facts, one.part, "idle_current", 0.0)
    lost = max(efficiency.value, 1e-3) * max(battery.value, 1e-3)  # a sheet may say 0 V
    amps = output.value / max(sources, 1) * volts.value / lost
    return combined(
        amps + (idle.value if idle.known else 0.0), [output, volts, battery, efficiency]
    )


def _charge(plan: Plan, facts: Facts, state: State, one: Consumer) -> Found:
    """What a charger feeds in; an inlet feeds when no charger is wired."""
    wired = [
        other.part
        for other in plan.consumers
        if other.kind == "charge"
        and facts.subject_of(other.part) == "charger"
        and state.fed(other.name)
    ]
    if facts.subject_of(one.part) == "charger":
        current = read(facts, one.part, "current_max")
        return combined(-current.value, [current])
    if wired:
        return Found(0.0)
    chargers = [
        read(facts, identity, "current_max")
        for identity in facts.instances("charger")
        if chosen(facts, identity, "on_board") is not True
    ]
    known = [found for found in chargers if found.known]
    if not known:
        return chargers[0] if chargers else read(facts, "charger", "current_max")
    largest = max(known, key=lambda found: found.value)
    return combined(-largest.value, [largest])
