"""The plan of the cables as text: what flows where, what protects it, what stays alive."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.facts import Facts, facts_of
from advisor.facts.origins import Fact, Unknown
from advisor.findings.wording import fact_text
from advisor.physics.circuit import NetworkError
from advisor.report.page import Page, table_rows
from advisor.report.sentences import CAUTIONS
from advisor.units import show
from advisor.wiring.clearing import NEVER
from advisor.wiring.modes import MODES
from advisor.wiring.survey import Survey

_FEEDING = ("drive", "converter", "load", "charge")
_HEADS = ("cable", "size", "length", "lasting", "peak", "drop", "stands", "warm", "protected by")
_ATTRIBUTES = ("current_carried", "current_peak", "drop", "ampacity", "temperature")
_SHORT = ("lasting", "peak", "regen", "charging", "parked", "on, standing")
_FAULT_HEADS = ("cable", "start", "far end", "opens", "stands")
_FAULTS = ("fault_current", "fault_current_least", "clearing_time", "withstand_time")
_DEVICE_HEADS = (
    *("device", "rating", "lasting", "peak", "short circuit", "breaks", "opens at peak", "order"),
    "next towards the source",
)
_DEVICES = (
    *("rating", "current_continuous", "current_peak", "fault_current", "interrupting_known"),
    *("opening_time_peak", "selectivity"),
)
_TIMES = ("clearing_time", "withstand_time", "opening_time_peak")
_NOTHING = "-"


def render_plan(facts: Facts, system: str, width: int) -> str:
    """The plan of a build as text. `system` is "si" or "us"; `width` in columns."""
    page = Page(width)
    build = facts.build
    found = Survey(facts_of(build))
    page.para(build.title or build.file)
    page.para(f"{build.file}: {len(found.plan.runs) + len(found.plan.motor_runs)} cables")
    _mistakes(page, found)
    if found.sound:
        _cables(page, facts, found, system)
        _by_mode(page, found, system)
        _short_circuits(page, facts, found, system)
        _devices(page, facts, found, system)
    _alive(page, found)
    _ways(page, found)
    page.heading("How to read this")
    for text in (
        "Lasting is the largest of the currents that flow for long (driving at the sustained "
        "current, charging, standing); peak is the largest of all modes. Stands is what the "
        f"conductor carries for long in its place, {_basis(facts)}, a yardstick: no code is "
        "written for carts. Warm is a second opinion, a heat balance of the cable alone in still "
        "air. A question mark means that a value for it is missing; `advisor screen` says which.",
        "The resistance of contacts, lugs and fuses is not counted: it is on no plate. Measure "
        "the drop under load on the finished vehicle.",
        *CAUTIONS,
    ):
        page.para(text)
        page.line()
    return page.text()


def _basis(facts: Facts) -> str:
    found = facts.fact("use", "wiring_basis")
    if isinstance(found, Fact) and found.value == "building":
        return "on the building basis (NEC Table 310.16, for the air around and the bundle)"
    return "on the boat basis (33 CFR 183.425 Table 5)"


def _cell(facts: Facts, run: str, name: str, system: str) -> str:
    fact = facts.fact(run, name)
    if isinstance(fact, Unknown):
        return "?"
    if name == "drop" and isinstance(fact.value, float):
        return show(round(fact.value, 3), "V", system, 3)
    if name in _TIMES and isinstance(fact.value, float) and fact.value >= NEVER:
        return "never"
    return fact_text(fact, system)


def _written(facts: Facts, run: str, name: str) -> str:
    """A size or a length as the person wrote it."""
    instance = facts.instance(run)
    written = instance.values.get(name) if instance else None
    return written.text if written else "?"


def _cables(page: Page, facts: Facts, found: Survey, system: str) -> None:
    page.heading("Cables")
    rows: list[Sequence[str]] = [_HEADS]
    for run in (*found.plan.runs, *found.plan.motor_runs):
        cells = [_cell(facts, run, name, system) for name in _ATTRIBUTES]
        device = facts.fact(run, "device_name")
        unprotected = facts.fact(run, "unprotected")
        guard = str(device.value) if isinstance(device, Fact) else _NOTHING
        if isinstance(unprotected, Fact) and unprotected.value is True:
            guard = f"{guard}, at its end" if isinstance(device, Fact) else "NOTHING"
        size, length = _written(facts, run, "gauge"), _written(facts, run, "length")
        rows.append((run, size, length, *cells, guard))
    _table(page, rows)


def _by_mode(page: Page, found: Survey, system: str) -> None:
    page.heading("Current by mode")
    rows: list[Sequence[str]] = [("cable", *_SHORT)]
    try:
        for run in found.plan.runs:
            rows.append((run, *(_amperes(found, run, mode, system) for mode in MODES)))
    except NetworkError as error:
        page.para(f"The network has no definite answer: {error}.")
        return
    _table(page, rows)
    page.line()
    page.para(
        "Positive from the terminal written under `from` to that under `to`. Modes: "
        + "; ".join(f"{short} = {mode}" for short, mode in zip(_SHORT, MODES, strict=True))
        + "."
    )


def _short_circuits(page: Page, facts: Facts, found: Survey, system: str) -> None:
    page.heading("Short circuits")
    rows: list[Sequence[str]] = [_FAULT_HEADS]
    for run in found.plan.runs:
        cells = [_cell(facts, run, name, system) for name in _FAULTS]
        if set(cells) != {"?"}:
            rows.append((run, *cells))
    _table(page, rows)
    page.line()
    page.para(
        "Start: at the end towards the source, everything cold, the most. Far end: at the other "
        "end, everything hot, the least. Opens: time until a device has opened at the least, by "
        "its curve, or by that of its class (invented) where none is stated; never where it need "
        "not. Stands: time until the insulation is too hot. The 12 V side is left out: a "
        "converter limits its own current."
    )


def _devices(page: Page, facts: Facts, found: Survey, system: str) -> None:
    page.heading("Fuses and breakers")
    rows: list[Sequence[str]] = [_DEVICE_HEADS]
    for part in (*facts.instances("fuse"), *facts.instances("breaker")):
        time, order = (_cell(facts, part, name, system) for name in _DEVICES[-2:])
        cells = [_cell(facts, part, name, system) for name in _DEVICES[:-2]]
        ahead = facts.fact(part, "upstream")
        after = str(ahead.value) if isinstance(ahead, Fact) else _NOTHING
        rows.append((part, *cells, time, order if after != _NOTHING else _NOTHING, after))
    _table(page, rows)
    page.line()
    page.para(
        "Opens at peak: by its curve. Order: least opening time of the next device towards the "
        "source against its own; below 200 % both may open."
    )


def _amperes(found: Survey, run: str, mode: str, system: str) -> str:
    """A current with three figures; what is only the rounding of a solver is no current."""
    one = found.currents.current(run, mode)
    if not one.known:
        return "?"
    return show(one.value, "A", system, 3) if abs(one.value) >= 5e-4 else "0 A"


def _table(page: Page, rows: Sequence[Sequence[str]]) -> None:
    for text in table_rows(rows, (0, len(rows[0]) - 1)):
        page.row(text)


def _mistakes(page: Page, found: Survey) -> None:
    if not found.topology.shorts:
        return
    page.heading("The plan joins sources wrongly")
    for name, way in found.topology.shorts:
        page.para(f"{name}: {way}.", label="-")
    if found.sound:
        page.para("Currents of the 12 V side mean nothing until this is mended.")
    else:
        page.para("Currents mean nothing until this is mended, so none are shown.")


def _alive(page: Page, found: Survey) -> None:
    topology = found.topology
    page.heading("What stays fed")
    for title, state in (
        ("with the key off", topology.key_off),
        ("with the disconnect open", topology.disconnect_off),
    ):
        if title.endswith("open") and not topology.has(group="disconnect"):
            page.para("With the disconnect open: the plan shows no disconnect.", label="-")
            continue
        fed = [
            one.part
            for one in topology.plan.consumers
            if one.kind in (*_FEEDING, "coil", "monitor") and state.fed(one.name)
        ]
        page.para(f"{title.capitalize()}: {_listed(fed)}.", label="-")
    for title, state in (
        ("Behind the shunt", topology.without_shunt),
        ("Behind a fuse or breaker", topology.without_devices),
    ):
        behind = [
            one.part
            for one in topology.plan.consumers
            if one.kind in _FEEDING and topology.closed.fed(one.name) and not state.fed(one.name)
        ]
        page.para(f"{title}: {_listed(behind)}.", label="-")


def _listed(names: Iterable[str]) -> str:
    return ", ".join(dict.fromkeys(names)) or "nothing"


def _ways(page: Page, found: Survey) -> None:
    page.heading("Ways of the current")
    topology = found.topology
    for one in topology.plan.consumers:
        if one.kind not in _FEEDING:
            continue
        if topology.closed.fed(one.name):
            page.para(f"{one.part}: {topology.round_trip(one, topology.closed)}", label="-")
        else:
            page.para(f"{one.part}: not fed by the listed cables", label="-")
