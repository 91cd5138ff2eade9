"""Derivations about standing: who draws how much, and how long the battery lasts."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.facts.assembly import total
from advisor.facts.derivation import Derivation, Result, assume, derive
from advisor.physics import storage

_DAY = 86400.0


def _converters(fed: Sequence[str], idle: Sequence[float], wanted: tuple[str, ...]) -> float:
    return sum(current for place, current in zip(fed, idle, strict=True) if place in wanted)


def _ahead(fed: Sequence[str | None], past: Sequence[bool | None]) -> list[str | None]:
    """Where converters are fed from; one that the plan feeds past the disconnect is ahead of it."""
    pairs = zip(fed, past, strict=True)
    return ["ahead-of-disconnect" if by_plan else stated for stated, by_plan in pairs]


def _disconnected(
    boards: float,
    fed: Sequence[str],
    past: Sequence[bool | None],
    idle: Sequence[float],
    monitors: Sequence[float],
    monitors_past: Sequence[bool | None],
    chargers: Sequence[float],
    chargers_past: Sequence[bool | None],
    loads: float,
    present: bool,
) -> Result:
    if not present:
        return None
    ahead = [str(place) for place in _ahead(fed, past)]
    converters = _converters(ahead, idle, ("ahead-of-disconnect",))
    alive = _not_behind(monitors, monitors_past) + _not_behind(chargers, chargers_past)
    return boards + converters + alive + loads


def _not_behind(drawn: Sequence[float], past: Sequence[bool | None]) -> float:
    """What parts draw, but for those that the plan shows dead with the disconnect open."""
    return sum(one for one, fed in zip(drawn, past, strict=True) if fed is not False)


def _loads(
    switched: Sequence[bool],
    standby: Sequence[float | None],
    current: Sequence[float | None],
    number: Sequence[float | None],
    bus: Sequence[str | None],
    output: float | None,
    efficiency: float | None,
    battery: float,
) -> Result:
    """Current of loads that stay on, at battery voltage; 12 V loads through the converter."""
    drawn = 0.0
    for on, idle, full, times, where in zip(switched, standby, current, number, bus, strict=True):
        if not on:
            continue
        own = idle if idle is not None else full
        if own is None:
            return None
        through = 1.0
        if where == "12v" and output and battery:
            through = output / battery / (efficiency or 0.85)
        drawn += own * (times or 1.0) * through
    return drawn


def _loads_disconnected(
    switched: Sequence[bool],
    standby: Sequence[float | None],
    current: Sequence[float | None],
    number: Sequence[float | None],
    bus: Sequence[str | None],
    output: float | None,
    efficiency: float | None,
    battery: float,
    buffered: bool | None,
    fed: Sequence[str | None],
    past: Sequence[bool | None],
) -> Result:
    """The same with the disconnect open; the buffer battery then feeds those of 12 V alone."""
    places = _ahead(fed or (), past or ())
    alone = buffered and places and all(one not in (None, "ahead-of-disconnect") for one in places)
    drawing = [
        on and not (alone and where == "12v") for on, where in zip(switched, bus, strict=True)
    ]
    return _loads(drawing, standby, current, number, bus, output, efficiency, battery)


def _key_off(
    boards: float,
    controllers: Sequence[float],
    monitors: Sequence[float],
    fed: Sequence[str],
    idle: Sequence[float],
    chargers: Sequence[float],
    loads: float,
) -> float:
    converters = _converters(fed, idle, ("after-disconnect", "ahead-of-disconnect"))
    return boards + sum(controllers) + sum(monitors) + converters + sum(chargers) + loads


def _stored(state: str, opened: float | None, key_off: float | None) -> Result:
    return {"disconnect-open": opened, "key-off": key_off, "plugged-in": 0.0}.get(state)


def _days(available: float, drain: float, rate: Sequence[float], capacity: float) -> Result:
    seconds = storage.time_to_empty(available, drain, max(rate), capacity)
    return float(seconds)


_ALWAYS_FED = (
    "load[].{flag} load[].standby_current? load[].current? load[].count? load[].bus? "
    "converter.output_voltage? converter.efficiency? battery.nominal_voltage"
)

DERIVATIONS: list[Derivation] = [
    derive(
        "battery.drain_boards",
        "bms[].standby_current pack[].count?",
        lambda boards, number: total(boards, number),
        "standby currents of the management systems, added",
    ),
    derive(
        "battery.drain_after_cutoff",
        "battery.can_open_discharge battery.drain_boards",
        lambda opens, boards: boards if opens else None,
        "the management alone, as it has switched off the rest",
    ),
    derive(
        "battery.drain_after_cutoff",
        "battery.can_open_discharge battery.drain_stored",
        lambda opens, drain: None if opens else drain,
        "everything, as nothing switches it off",
    ),
    assume(
        "controller.standby_current",
        "",
        lambda: 0.005,
        "a controller with its key off draws a few milliamperes; 5 mA is used",
        "from memory",
    ),
    assume(
        "monitor.consumption",
        "",
        lambda: 0.010,
        "a battery monitor draws about 10 mA",
        "from memory",
    ),
    derive(
        "charger.drain_unplugged",
        "charger.on_board",
        lambda on_board: None if on_board else 0.0,
        "nothing, as it stays behind when the vehicle drives",
        fallback=True,
    ),
    assume(
        "charger.drain_unplugged",
        "charger.on_board",
        lambda on_board: 0.010 if on_board else None,
        "an on-board charger draws 5 to 20 mA unplugged; 10 mA is used",
        "from memory",
    ),
    assume(
        "converter.idle_current",
        "",
        lambda: 0.030,
        "a converter without load draws 0.05 W to a few watts; 30 mA is used",
        "from memory",
    ),
    derive(
        "converter.input_current_idle",
        "converter.idle_current",
        lambda current: current,
        "its idle current",
    ),
    *(
        assume(
            f"load.{flag}",
            "",
            lambda: False,
            f"a load {what} unless it is said to",
            "common practice, no source",
        )
        for flag, what in (
            ("on_with_key_off", "goes off with the key"),
            ("ahead_of_disconnect", "hangs behind the disconnect"),
        )
    ),
    derive(
        "battery.loads_key_off",
        _ALWAYS_FED.format(flag="on_with_key_off"),
        _loads,
        "currents of the loads that stay on with the key off, as battery current; those of 12 V "
        "through the converter's efficiency, 0.85 if not stated",
    ),
    derive(
        "battery.loads_disconnected",
        _ALWAYS_FED.format(flag="ahead_of_disconnect")
        + " buffer.present? converter[].fed_from? converter[].fed_past_disconnect?",
        _loads_disconnected,
        "currents of the loads that stay fed with the disconnect open, as battery current; those "
        "of 12 V through the converter's efficiency, 0.85 if not stated, or not at all where a "
        "buffer battery feeds them and no converter lies ahead of the disconnect",
    ),
    derive(
        "battery.drain_key_off",
        "battery.drain_boards controller[].standby_current monitor[].consumption "
        "converter[].fed_from converter[].input_current_idle charger[].drain_unplugged "
        "battery.loads_key_off",
        _key_off,
        "standby of management, controller, monitor, converters ahead of the contactor, charger "
        "and loads, added",
    ),
    derive(
        "battery.drain_disconnected",
        "battery.drain_boards converter[].fed_from converter[].fed_past_disconnect? "
        "converter[].input_current_idle monitor[].consumption monitor[].fed_past_disconnect? "
        "charger[].drain_unplugged charger[].fed_past_disconnect? battery.loads_disconnected "
        "disconnect.present",
        _disconnected,
        "management, what is fed ahead of the disconnect, and monitor and charger unless the plan "
        "shows that they hang behind it, added",
    ),
    derive(
        "battery.drain_disconnected",
        "disconnect.present battery.drain_key_off",
        lambda present, drain: None if present else drain,
        "as with the key off, because there is no disconnect",
    ),
    derive(
        "battery.drain_stored",
        "use.stored_state battery.drain_disconnected? battery.drain_key_off?",
        _stored,
        "drain of the state it is stored in",
    ),
    assume(
        "battery.stored_charge",
        "",
        lambda: 0.50,
        "lithium is stored half full (40 to 60 %)",
        "trade note on storage, as reproduced",
    ),
    derive(
        "battery.days_to_cutoff",
        "battery.capacity battery.stored_charge battery.drain_stored pack[].self_discharge",
        lambda capacity, charge, drain, rate: _days(capacity * charge, drain, rate, capacity),
        "charge in store over drain and self-discharge",
        "charge balance",
    ),
    derive(
        "battery.days_to_damage",
        "battery.days_to_cutoff battery.capacity battery.drain_after_cutoff pack[].self_discharge",
        lambda days, capacity, drain, rate: (
            days + _as_float(_days(0.05 * capacity, drain, rate, capacity))
        ),
        "days to cut-off, then 5 % of the capacity over the management's own draw and "
        "self-discharge",
        "charge balance; 5 % left at 2.8 V per cell: open-circuit curve of an LFP cell model",
    ),
    derive(
        "battery.standing_days_left",
        "battery.days_to_damage use.storage_time",
        lambda days, standing: days - standing,
        "days to damage less storage time",
    ),
]


def _as_float(value: Result) -> float:
    return float(value) if isinstance(value, int | float) else float("nan")
