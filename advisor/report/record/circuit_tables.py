"""For the technician: cable runs, short circuits, fuses and breakers, with their limits."""

from __future__ import annotations

from advisor.facts import Facts
from advisor.facts.origins import Fact, Unknown
from advisor.findings.wording import fact_text
from advisor.report.record.blocks import Block, table, text
from advisor.report.record.told import Told
from advisor.units import show
from advisor.wiring.clearing import NEVER

_TIMES = ("clearing_time", "withstand_time", "opening_time_peak")
_RUN_HEADS = (
    *("Run", "From", "To", "Size", "Length", "Insulation", "Lasting", "Peak", "Drop", "Stands"),
    *("Warm", "Protected by"),
)
_RUN = ("current_carried", "current_peak", "drop", "ampacity", "temperature")
_FAULT_HEADS = ("Run", "Most, at its start", "Least, at its end", "Opens in", "Stands for")
_FAULT = ("fault_current", "fault_current_least", "clearing_time", "withstand_time")
_DEVICE_HEADS = (
    *("Device", "Kind", "Role", "Rating", "DC voltage", "Breaks", "Lasting", "Peak"),
    *("Short circuit", "Opens at peak in", "Next to the source"),
)
_DEVICE = (
    *("kind", "role", "rating", "dc_voltage_known", "interrupting_known", "current_continuous"),
    *("current_peak", "fault_current", "opening_time_peak", "upstream"),
)
_SWITCH_HEADS = ("Part", "Kind", "DC voltage", "Current", "Lasting", "Peak", "Breaks or makes")
_OPEN = "?"


def cell(facts: Facts, part: str, name: str, system: str) -> str:
    """A value for a table: `?` where unknown, `*` where it rests on an assumption."""
    fact = facts.fact(part, name)
    if isinstance(fact, Unknown):
        return _OPEN
    words = fact_text(fact, system)
    if name in _TIMES and isinstance(fact.value, float) and fact.value >= NEVER:
        words = "never"
    elif name == "drop" and isinstance(fact.value, float):
        words = show(round(fact.value, 3), "V", system, 3)
    return f"{words} *" if fact.assumed else words


def runs(told: Told) -> list[Block]:
    """Every cable run: where it goes, what it carries and stands, what protects it."""
    facts, rows = told.facts, []
    for run in told.all("run"):
        instance = facts.instance(run)
        assert instance is not None
        written = {name: one.text for name, one in instance.values.items()}
        insulation = " ".join(
            one
            for name in ("insulation", "insulation_temperature")
            if (one := told.said(run, name))
        )
        rows.append(
            (
                run,
                *(written.get(name, _OPEN) for name in ("from", "to", "gauge", "length")),
                insulation or _OPEN,
                *(cell(facts, run, name, told.system) for name in _RUN),
                _guard(facts, run),
            )
        )
    if not rows:
        return [
            text(
                "The sheet lists no cable runs, so nothing of them could be checked. Inspect "
                "every cable, lug and fuse on the vehicle."
            )
        ]
    note = (
        "Lasting: the largest current that flows for long. Stands: what the conductor carries for "
        "long in its place, a yardstick. Warm: heat balance of the cable in still air. Contacts, "
        "lugs and fuses count for nothing; measure the drop under load. ?: not known. *: on an "
        "assumption."
    )
    return [table("Each run: what it carries and what it stands", _RUN_HEADS, rows, note)]


def _guard(facts: Facts, run: str) -> str:
    device, open_end = facts.fact(run, "device_name"), facts.fact(run, "unprotected")
    named = str(device.value) if isinstance(device, Fact) else ""
    if isinstance(open_end, Fact) and open_end.value is True:
        return f"{named}, at its end" if named else "NOTHING"
    return named or "-"


def short_circuits(told: Told) -> list[Block]:
    """The two ends of every fault, and whether the device is faster than the conductor."""
    rows = []
    for run in told.all("run"):
        cells = [cell(told.facts, run, name, told.system) for name in _FAULT]
        if set(cells) != {_OPEN}:
            rows.append((run, *cells))
    if not rows:
        return []
    note = (
        "Opens in: until a device has opened at the least current, by its curve, or by that of its "
        "class (invented) where none is stated. Stands for: until the insulation is too hot. "
        "*: on an assumption."
    )
    return [table("Short circuits", _FAULT_HEADS, rows, note)]


def devices(told: Told) -> list[Block]:
    """Fuses and breakers against what they see."""
    rows = [
        (part, *(cell(told.facts, part, name, told.system) for name in _DEVICE))
        for part in (*told.all("fuse"), *told.all("breaker"))
    ]
    if not rows:
        return [text("The sheet lists no fuse and no breaker.")]
    note = "Breaks: the current it can interrupt, marked or by its class. *: on an assumption."
    return [table("Fuses and breakers", _DEVICE_HEADS, rows, note)]


def switches(told: Told) -> list[Block]:
    """Disconnects and contactors against what they see."""
    facts, rows = told.facts, []
    for part in told.all("disconnect"):
        values = [
            cell(facts, part, name, told.system)
            for name in (
                "purpose",
                "voltage_rating",
                "current_rating",
                "current_carried",
                "current_through_peak",
                "load_break_current",
            )
        ]
        rows.append((part, f"disconnect, {values[0]}", *values[1:]))
    for part in told.all("contactor"):
        values = [
            cell(facts, part, name, told.system)
            for name in (
                "role",
                "contact_dc_voltage",
                "continuous_current",
                "current_carried",
                "current_peak",
                "break_current",
            )
        ]
        rows.append((part, f"contactor, {values[0]}", *values[1:]))
    return [table("Switches", _SWITCH_HEADS, rows)] if rows else []


__all__ = ["cell", "devices", "runs", "short_circuits", "switches"]
