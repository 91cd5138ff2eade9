"""For the owner: what the warnings mean, what never to do, whom to call."""

from __future__ import annotations

from advisor.handoff.model import Review
from advisor.report.record.blocks import Section, bullets, pairs, text
from advisor.report.record.told import ASK, Told

_ALARM = {"buzzer": "The buzzer of", "contact": "The warning of", "display": "The display of"}
_AGAIN = {
    "load-removal": "Let go of the pedal and wait; then it comes back.",
    "charger": "It comes back when the charger is plugged in.",
    "automatic": "It comes back by itself after a while.",
    "button": "It comes back after its button is pressed.",
}


def warnings(review: Review, told: Told) -> Section:
    """What each warning of this vehicle means."""
    rows: list[tuple[str, str]] = []
    for one in told.all("monitor"):
        alarm = _ALARM.get(told.word(one, "alarm_output"), "")
        if alarm:
            rows.append((f"{alarm} {one}", "The charge is low. Drive home slowly and charge."))
    if told.yes("provisions", "low_battery_alarm") and not rows:
        rows.append(("The low-battery alarm", "The charge is low. Drive home slowly and charge."))
    if not rows:
        rows.append(("Low charge", f"The papers name no alarm for it. {ASK} Watch the charge."))
    if any(told.sure(one, "foldback_start") for one in told.all("controller")):
        rows.append(
            (
                "It gets weaker while driving",
                "The battery is nearly empty or very cold. Drive on slowly, then charge.",
            )
        )
    rows.append(("It stops and everything is dark", _stops(told)))
    if told.yes("battery", "low_temperature_charge_block"):
        rows.append(
            (
                "It does not start to charge in the cold",
                "The battery refuses, as it must. Let it get warm first.",
            )
        )
    rows += [
        (
            "A fuse is blown, or it switched off twice",
            f"Stop using it. {ASK} Never put in a bigger fuse.",
        ),
        (
            "Smell, smoke, hissing, a swollen or hot battery",
            "Leave it at once, keep people away, call the fire service. Never open the battery.",
        ),
        (
            "It was under water, crashed, or something fell on the battery",
            "Do not drive and do not charge it. Keep it outdoors, away from buildings, and ask.",
        ),
        ("A lamp or a code that you do not know", f"{ASK} Do not drive until you know."),
    ]
    blocks = (pairs(rows),)
    return Section("warnings", "What the warnings mean", blocks)


def _stops(told: Told) -> str:
    """The battery has switched itself off: what brings it back."""
    ways = {told.word(f"{one}.bms", "recovery") for one in told.all("pack")}
    known = [_AGAIN[one] for one in sorted(ways) if one in _AGAIN]
    back = " ".join(known) if known and len(known) == len(ways) else f"What brings it back: {ASK}"
    return f"The battery has switched itself off to protect itself. Brake, park safely. {back}"


def never(told: Told) -> Section:
    """What not to do with this vehicle."""
    lines = [
        "Never charge it with another charger, in the cold as said above, or when it is damaged.",
        "Never open the battery, its covers or its cables. Never bridge a fuse or a switch.",
        "Never connect anything new to the battery. It is the builder's work.",
        "Never change settings of the battery, the drive or the charger.",
        "Never turn the main switch off while it drives, except in an emergency.",
    ]
    wash = told.word("use", "wash")
    lines.append(
        {
            "none": "Do not wash it with water; it was judged for no washing.",
            "wet-cloth": "Wash it with a wet cloth only. No hose.",
            "hose": "A garden hose is all right. No pressure washer.",
            "pressure": "Keep the pressure washer off the battery, plugs and electric parts.",
        }.get(wash, f"Do not wash it with a hose. How it may be washed is not stated. {ASK}")
    )
    wade = told.said("use", "wade_depth")
    lines.append(
        f"Never drive through water deeper than {wade}." if wade else "Do not drive through water."
    )
    grade = told.said("use", "grade_max")
    if grade:
        lines.append(f"Never drive on slopes steeper than {grade}. It was not judged for them.")
    if told.yes("vehicle", "relies_on_electric_braking"):
        lines.append("Never start down a long slope with a full battery: it then brakes less.")
    if told.yes("use", "children_present"):
        lines.append("Never leave the key in it. Children play with it.")
    return Section("never", "What not to do", (bullets(lines),))


def calling() -> Section:
    """Whom to call: lines to fill in, for the sheet holds no telephone numbers."""
    rows = [
        ("Fire, injury", "emergency number of the place: ____________"),
        ("The builder", "name, telephone: ____________________"),
        ("A technician", "name, telephone: ____________________"),
        ("An electrician", "licensed; for the outlet: _______________"),
    ]
    say = text(
        "Tell the fire service that it is a lithium battery of a vehicle. The label on the vehicle "
        "gives them its kind, voltage and energy."
    )
    return Section("calling", "Whom to call", (pairs(rows), say))


__all__ = ["calling", "never", "warnings"]
