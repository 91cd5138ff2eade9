"""For the owner: how to switch the vehicle off, store it and tow it."""

from __future__ import annotations

from advisor.report.record.blocks import Section, bullets
from advisor.report.record.told import ASK, Told, several

REACH = {
    "driver-seat": "within reach of the driver's seat",
    "beside": "beside the vehicle's seat",
    "under-seat": "under the seat",
    "bay": "in the battery bay",
    "needs-tools": "behind a cover that needs tools",
}
_MAGNETS = {"pm-dc", "pm-ac"}


def switching_off(told: Told) -> Section:
    """How to switch it off, daily and in an emergency."""
    lines = ["Every day: stop, set the parking brake, turn the key off and take it out."]
    lines += main_switches(told)
    if told.yes("provisions", "emergency_stop"):
        lines.append("The emergency stop takes the drive off at once. The battery stays live.")
    alive = several(_alive(told)) if _alive(told) else ""
    if alive:
        lines.append(f"With the main switch off these still have current: {alive}.")
    lines.append("Switching off does not make the battery itself harmless. It is live always.")
    return Section("off", "How to switch it off", (bullets(lines),))


def main_switches(told: Told) -> list[str]:
    """Where the main switch is, one line for each."""
    lines = []
    for one in told.all("disconnect"):
        if told.word(one, "circuit") not in ("traction", ""):
            continue
        where = REACH.get(told.word(one, "reach"), "")
        key = " Its key can be taken out." if told.yes(one, "removable_key") else ""
        place = f"It is {where}." if where else f"Where it is, is not stated. {ASK}"
        lines.append(f"In an emergency, and for work on it: the main switch {one}. {place}{key}")
    return lines or [
        f"The papers name no main switch. {ASK} Have it shown to you before you drive."
    ]


def _alive(told: Told) -> list[str]:
    return [
        words
        for one in told.all("disconnect")
        if (told.number(one, "leaves_alive_count") or 0) > 0
        and (words := told.said(one, "leaves_alive"))
    ]


def storing(told: Told) -> Section:
    """How to leave it standing for weeks."""
    charge = told.said("battery", "stored_charge")
    lines = [
        f"For some weeks or longer: leave the battery at about {charge} of charge, not full "
        "and not empty."
        if charge
        else f"How much charge to leave in it is not stated. {ASK} Never store it empty."
    ]
    state = told.word("use", "stored_state")
    lines.append(
        {
            "disconnect-open": "Turn the main switch off.",
            "key-off": "Turn the key off and take it out.",
            "plugged-in": "It was judged for standing plugged in. Look at it every few days.",
        }.get(state, f"In which state to leave it is not stated. {ASK}")
    )
    days = told.about("battery", "days_to_cutoff")
    if days:
        lines.append(
            f"Standing like that it runs down in about {days}. Look at its charge at "
            "least once a month, and charge it well before."
        )
    else:
        lines.append(
            "How fast it runs down is not known. Look at its charge at least once a month."
        )
    lines.append(_temperature(told))
    lines.append("Before the first drive after that: look for damage and wet, then charge it.")
    return Section("storing", "How to store it", (bullets(lines),))


def _temperature(told: Told) -> str:
    packs = told.all("pack")
    low = [told.number(one, "storage_temperature_min") for one in packs]
    high = [told.number(one, "storage_temperature_max") for one in packs]
    least = [one for one in low if one is not None]
    most = [one for one in high if one is not None]
    if not packs or len(least) < len(packs) or len(most) < len(packs):
        return f"Between which temperatures it may stand is not stated. {ASK}"
    return (
        f"Keep it between {told.both_degrees(max(least))} and {told.both_degrees(min(most))}, dry."
    )


def towing(told: Told) -> Section:
    """How to move it when it does not drive."""
    lines = []
    tow = told.yes("provisions", "tow_switch")
    if tow:
        lines.append("Turn the key off, and the tow switch to towing as the builder showed you.")
    elif tow is False:
        lines.append("It has no tow switch. Turn the key and the main switch off first.")
    else:
        lines.append(f"Whether it has a tow switch is not stated. {ASK}")
    motors = told.all("motor")
    brake = [told.yes(one, "electromagnetic_brake") for one in motors]
    if any(brake):
        release = told.yes("provisions", "brake_release")
        lines.append(
            "Its motor holds a brake without power. "
            + (
                "Release it by hand as the builder showed you, and chock the wheels first."
                if release
                else f"How to release it is not stated. {ASK} Do not drag it."
            )
        )
    elif not motors or any(one is None for one in brake):
        lines.append(f"Whether the motor holds a brake without power is not stated. {ASK}")
    kinds = [told.word(one, "type") for one in motors]
    if any(one in _MAGNETS for one in kinds):
        lines.append(
            "Its motor makes voltage when the wheels turn. Lift the driven wheels, or "
            "roll it no faster than a walk."
        )
    elif not kinds or any(not one for one in kinds):
        lines.append(f"Whether its motor makes voltage while it is towed is not stated. {ASK}")
    lines.append("Tow it no faster than a walk and no farther than needed. A trailer is better.")
    lines.append("Somebody sits at the wheel and brakes. On a slope nobody stands below it.")
    return Section("towing", "How to tow it", (bullets(lines),))


__all__ = ["REACH", "main_switches", "storing", "switching_off", "towing"]
