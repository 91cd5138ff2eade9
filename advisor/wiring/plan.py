"""The circuit of a build as joints between terminals, with its sources and consumers.

A run joins the two terminals it names. A part joins its own terminals: a fuse its two ends, a bus
bar all its studs, a shunt its two sides. Terminals are written as in the sheet, `pack-a.plus`.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from advisor.facts import Facts
from advisor.facts.origins import Fact
from advisor.sheet.build import Build, Instance
from advisor.vocabulary import TERMINALS

JointKind = Literal["run", "link", "device", "switch", "shunt", "resistor"]
Group = Literal[
    "", "disconnect", "contactor", "charge-contactor", "key", "driver", "bms", "precharge"
]

FRAME = "vehicle.frame"
_MOTOR_ENDS = ("a1", "a2", "f1", "f2", "u", "v", "w", "motor-plus", "motor-minus")


@dataclass(frozen=True, slots=True)
class Joint:
    """What conducts between two terminals: a run, or the inside of a part.

    `part` is the run or the part; `group` says with what a switch opens.
    """

    name: str
    a: str
    b: str
    kind: JointKind
    part: str
    group: Group = ""


@dataclass(frozen=True, slots=True)
class Supply:
    """A source: a pack, a buffer battery, or the output of a converter."""

    part: str
    plus: str
    minus: str
    kind: Literal["pack", "buffer", "converter"]


@dataclass(frozen=True, slots=True)
class Consumer:
    """What draws or feeds current between two terminals of a part."""

    name: str
    part: str
    plus: str
    minus: str
    kind: Literal["drive", "converter", "load", "charge", "coil", "key", "monitor"]


@dataclass(frozen=True, slots=True)
class Plan:
    """The circuit of a build.

    `motor_runs` carry motor current and are in no joint. `complete`: the sheet says that every run
    is listed.
    """

    joints: tuple[Joint, ...]
    supplies: tuple[Supply, ...]
    consumers: tuple[Consumer, ...]
    runs: tuple[str, ...]
    motor_runs: tuple[str, ...]
    connected: frozenset[str]
    complete: bool

    def joint(self, name: str) -> Joint | None:
        """The joint of this name."""
        return next((one for one in self.joints if one.name == name), None)


def ends_of(run: Instance) -> tuple[str, str] | None:
    """Both terminals of a run, or None when one is not written."""
    start, end = run.values.get("from"), run.values.get("to")
    return None if start is None or end is None else (str(start.value), str(end.value))


def is_wired(build: Build) -> bool:
    """True when the sheet has at least one run with both ends."""
    return any(one.subject == "run" and ends_of(one) for one in build.instances)


def plan_of(facts: Facts) -> Plan:
    """The circuit of a build; a run without both ends is left out."""
    build = facts.build
    motor_runs = set(_motor_runs(build))
    joints: list[Joint] = []
    supplies: list[Supply] = []
    consumers: list[Consumer] = []
    ends = {one.id: ends_of(one) for one in build.instances if one.subject == "run"}
    connected = frozenset(end for pair in ends.values() if pair for end in pair)
    for one in build.instances:
        if one.subject == "run":
            pair = ends[one.id]
            if pair is not None and one.id not in motor_runs:
                joints.append(Joint(one.id, *pair, "run", one.id))
            continue
        if one.subject not in TERMINALS:
            continue
        joints += _inside(facts, one, connected)
        supplies += _supplies(one)
        consumers += _consumers(one, connected)
    return Plan(
        tuple(joints),
        tuple(supplies),
        tuple(consumers),
        tuple(run for run, pair in ends.items() if pair and run not in motor_runs),
        tuple(sorted(motor_runs)),
        connected,
        "run" in build.complete,
    )


def _motor_runs(build: Build) -> Iterable[str]:
    """Runs that end at the motor, or are joined to the motor side of a controller."""
    runs = [(one.id, pair) for one in build.instances if (pair := ends_of(one))]
    through = {one.id for one in build.instances if one.subject in ("contactor", "connector")}
    reached = {end for _, pair in runs for end in pair if end.rpartition(".")[2] in _MOTOR_ENDS}
    found: set[str] = set()
    while True:
        new = {run for run, pair in runs if run not in found and set(pair) & reached}
        if not new:
            return sorted(found)
        found |= new
        for run, pair in runs:
            if run not in new:
                continue
            for end in pair:
                part, _, terminal = end.rpartition(".")
                if part in through and terminal in ("in", "out"):
                    reached |= {f"{part}.in", f"{part}.out"}


def _known(facts: Facts, identity: str, name: str) -> object:
    fact = facts.fact(identity, name)
    return fact.value if isinstance(fact, Fact) else None


def _inside(facts: Facts, one: Instance, connected: frozenset[str]) -> list[Joint]:
    own = one.id

    def joint(a: str, b: str, kind: JointKind, group: Group = "", tag: str = "") -> Joint:
        return Joint(own + tag, f"{own}.{a}", f"{own}.{b}", kind, own, group)

    match one.subject:
        case "fuse" | "breaker":
            return [joint("in", "out", "device")]
        case "disconnect":
            poles = [("in", "out", "")]
            poles += [(f"in-{p}", f"out-{p}", f":{p}") for p in ("plus", "minus")]
            return [
                joint(a, b, "switch", "disconnect", tag)
                for a, b, tag in poles
                if {f"{own}.{a}", f"{own}.{b}"} & connected
            ]
        case "connector":
            poles = [("in", "out", "")]
            poles += [(f"in-{p}", f"out-{p}", f":{p}") for p in ("plus", "minus")]
            return [
                joint(a, b, "switch", "", tag)
                for a, b, tag in poles
                if {f"{own}.{a}", f"{own}.{b}"} & connected
            ]
        case "contactor":
            role = _known(facts, own, "role")
            if role == "reversing":
                return []
            group: Group = "charge-contactor" if role == "charge" else "contactor"
            return [joint("in", "out", "switch", group)]
        case "key_switch":
            return [joint("in", "out", "switch", "key")]
        case "precharge":
            switched = _known(facts, own, "controlled_by") != "none"
            return [joint("in", "out", "resistor", "precharge" if switched else "")]
        case "bus_bar":
            studs = sorted(end for end in connected if end.startswith(f"{own}."))
            return [Joint(f"{own}:{stud}", stud, f"{own}.bar", "link", own) for stud in studs]
        case "monitor":
            return [joint("battery", "load", "shunt")]
        case "controller":
            return [joint("coil", "minus", "switch", "driver", ":driver")]
        case "converter":
            if _known(facts, own, "isolated") is False:
                return [joint("in-minus", "out-minus", "link", "", ":common")]
            return []
        case "pack":
            return _pack(facts, one, connected)
    return []


def _pack(facts: Facts, one: Instance, connected: frozenset[str]) -> list[Joint]:
    """The inside of a pack between its terminals and its cells: fuse and management switch."""
    own = one.id
    bms = f"{own}.bms"
    switches = _known(facts, bms, "kind") == "internal-switch"
    on_plus = _known(facts, bms, "switch_side") == "positive"
    separate = _known(facts, bms, "port") == "separate"
    fused = _known(facts, own, "internal_fuse") is True

    def joint(a: str, b: str, kind: JointKind, group: Group, tag: str) -> Joint:
        return Joint(own + tag, f"{own}.{a}", f"{own}.{b}", kind, own, group)

    def pole(name: str, switched: bool) -> Joint:
        if switched:
            return joint(name, f"cells-{name}", "switch", "bms", f":{name}-switch")
        return joint(name, f"cells-{name}", "link", "", f":{name}")

    found = [pole("minus", switches and not on_plus)]
    if fused:
        found.append(joint("inside", "cells-plus", "device", "", ":fuse"))
        inner = "inside"
    else:
        inner = "cells-plus"
    if switches and on_plus:
        found.append(joint("plus", inner, "switch", "bms", ":plus-switch"))
    else:
        found.append(joint("plus", inner, "link", "", ":plus"))
    if {f"{own}.charge-plus", f"{own}.charge-minus"} & connected:
        kind: JointKind = "switch" if switches or separate else "link"
        found.append(joint("charge-plus", inner, "link", "", ":charge-plus"))
        found.append(
            joint("charge-minus", "cells-minus", kind, "bms" if kind == "switch" else "", ":charge")
        )
    return found


def _supplies(one: Instance) -> list[Supply]:
    own = one.id
    match one.subject:
        case "pack":
            return [Supply(own, f"{own}.cells-plus", f"{own}.cells-minus", "pack")]
        case "buffer":
            return [Supply(own, f"{own}.plus", f"{own}.minus", "buffer")]
        case "converter":
            return [Supply(own, f"{own}.out-plus", f"{own}.out-minus", "converter")]
    return []


def _consumers(one: Instance, connected: frozenset[str]) -> list[Consumer]:
    own = one.id
    match one.subject:
        case "controller":
            found = [Consumer(own, own, f"{own}.plus", f"{own}.minus", "drive")]
            if f"{own}.key" in connected:
                found.append(Consumer(f"{own}:key", own, f"{own}.key", f"{own}.minus", "key"))
            return found
        case "converter":
            return [Consumer(own, own, f"{own}.in-plus", f"{own}.in-minus", "converter")]
        case "load":
            return [Consumer(own, own, f"{own}.plus", f"{own}.minus", "load")]
        case "charger" | "inlet":
            return [Consumer(own, own, f"{own}.plus", f"{own}.minus", "charge")]
        case "contactor":
            if {f"{own}.coil-plus", f"{own}.coil-minus"} & connected:
                name = f"{own}:coil"
                return [Consumer(name, own, f"{own}.coil-plus", f"{own}.coil-minus", "coil")]
        case "monitor":
            found = []
            for lead in ("sense", "supply"):
                if f"{own}.{lead}" in connected:
                    found.append(
                        Consumer(f"{own}:{lead}", own, f"{own}.{lead}", f"{own}.battery", "monitor")
                    )
            return found
    return []
