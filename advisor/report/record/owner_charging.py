"""For the owner: with which charger, where, how long, and when not."""

from __future__ import annotations

from advisor.report.record.blocks import Block, Section, bullets, notice, steps
from advisor.report.record.told import ASK, Told, several

_PLACES = {
    "outdoors": "outdoors",
    "carport": "in the carport",
    "garage-attached": "in the garage at the house",
    "garage-detached": "in the garage apart from the house",
    "shed": "in the shed",
    "indoors-living": "indoors",
}
_SIDES = {
    "front": "at the front",
    "rear": "at the back",
    "side": "at the side",
    "under-seat": "under the seat",
}
_ICE = 273.15


def charging(told: Told) -> Section:
    """How to charge."""
    blocks = [_which(told), _cold(told), steps(_steps(told)), bullets(_place(told), "The place")]
    return Section("charging", "How to charge", tuple(blocks))


def _which(told: Told) -> Block:
    chargers = [told.named(one) for one in told.all("charger")]
    other = (
        "Any other charger, also the old one, can overcharge the battery and start a fire. A plug "
        "that fits proves nothing."
    )
    if not chargers:
        return notice(
            "WARNING",
            "Do not charge yet",
            f"The papers name no charger for this battery. {ASK} {other}",
        )
    which = f"Charge only with: {several(chargers, 'or')}."
    return notice("WARNING", "One charger only", f"{which} {other}")


def _cold(told: Told) -> Block:
    """When it is too cold, and what stops a charge then."""
    found = told.fact("battery", "charge_temperature_min")
    blocks = told.yes("battery", "low_temperature_charge_block")
    heated = any(told.yes(one, "heater") for one in told.all("pack"))
    stops = {
        True: "The battery itself refuses to charge then. Do not try to get round that.",
        False: "Nothing on this vehicle stops you: you must not plug it in then.",
        None: "The papers do not say that anything stops it: you must not plug it in then.",
    }[blocks]
    warm = (
        "The battery has a heater; leave it plugged in and wait."
        if heated
        else ("After a cold night the battery stays cold for many hours, even in a warm room.")
    )
    if found is None or not isinstance(found.value, float):
        words = f"Never charge in frost. The papers do not give the lowest temperature. {ASK}"
        return notice("WARNING", "Not in the cold", f"{words} {stops} {warm}")
    least = told.both_degrees(found.value)
    frost = " So never in frost." if found.value >= _ICE - 0.05 else ""
    usual = found.assumed or told.general(found)
    unsure = f" That is usual for its kind. {ASK} This one may need more." if usual else ""
    words = f"Never charge while the battery is colder than {least}.{frost}{unsure}"
    return notice("WARNING", "Not in the cold", f"{words} {stops} {warm}")


def _steps(told: Told) -> list[str]:
    chargers = told.all("charger")
    on_board = bool(chargers) and all(told.yes(one, "on_board") for one in chargers)
    lines = [
        "Park it, set the parking brake, turn the key off and take it out.",
        "Look at the plug, the cable and the charger. Do not use them when damaged or wet.",
    ]
    inlets = told.all("inlet")
    sides = [_SIDES.get(told.word(one, "place"), "") for one in inlets]
    where = f" ({several([s for s in sides if s])})" if any(sides) else ""
    outlet = _outlet(told)
    if on_board:
        lines.append(f"The charger is built in. Plug its cable into {outlet}.")
    elif inlets:
        socket = several(list(inlets))
        lines.append(f"Plug the charger into the vehicle ({socket}){where}, then into {outlet}.")
    else:
        lines.append(f"Plug it in as the builder showed you, then into {outlet}.")
    lines += [
        *_times(told, chargers),
        _end(told, chargers),
        "When it is done, unplug at the wall first, then at the vehicle. " + _drive_off(told),
    ]
    return lines


def _outlet(told: Told) -> str:
    volts, amps = told.said("supply", "voltage"), told.said("supply", "circuit_rating")
    if volts and amps:
        return f"an outlet of {volts} on a circuit of {amps}"
    return f"an outlet of {volts}" if volts else "the outlet that the builder named"


def _times(told: Told, chargers: tuple[str, ...]) -> list[str]:
    lines = []
    for one in chargers:
        which = f" with {one}" if len(chargers) > 1 else ""
        full = told.about(one, "charge_time")
        day = told.about(one, "day_charge_time")
        if full:
            lines.append(f"It takes about {full}{which} from the reserve to full.")
        if day:
            lines.append(f"After a usual day it takes about {day}{which}.")
    known = any("takes" in one for one in lines)
    return lines if known else [f"How long it takes is not known. {ASK}"]


def _end(told: Told, chargers: tuple[str, ...]) -> str:
    if chargers and all(told.yes(one, "own_voltage_cutoff") for one in chargers):
        return "The charger stops by itself when the battery is full."
    return f"The papers do not say that the charger stops by itself. {ASK} Until then stay with it."


def _drive_off(told: Told) -> str:
    locks = [told.yes(one, "drive_interlock") for one in told.all("inlet")]
    if locks and all(locks):
        return "The vehicle does not drive while it is plugged in."
    return "The papers do not say that the vehicle stands still while plugged in: look first."


def _place(told: Told) -> list[str]:
    place = _PLACES.get(told.word("supply", "place"), "")
    lines = [
        f"It was judged for charging {place}."
        if place
        else f"Where it may be charged is not stated. {ASK}"
    ]
    alarm = told.yes("supply", "smoke_alarm")
    if alarm is False:
        lines.append(
            "There is no smoke alarm at that place. Fit one that is heard in the bedrooms."
        )
    elif alarm is None:
        lines.append("Have a smoke alarm there that is heard in the bedrooms.")
    lines.append("Keep what burns, and the way out, clear of the vehicle.")
    cord = told.yes("supply", "cord_used")
    if cord:
        lines.append(
            "Unroll the extension cord all the way. Feel it after half an hour: warm is "
            "a warning, hot is a stop."
        )
    else:
        lines.append("Do not use an extension cord unless the builder chose one for it.")
    if told.yes("supply", "shared_circuit") is not False:
        lines.append("Nothing else that draws much may run on the same circuit meanwhile.")
    lines.append(
        "Smell, smoke, hissing, swelling or a hot battery: unplug at the wall only if you "
        "can do it safely, go away from it, and call the fire service."
    )
    return lines


__all__ = ["charging"]
