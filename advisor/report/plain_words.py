"""Words for a reader who does not know electricity: what a risk means, what a term means.

Severity and probability follow MIL-STD-882E, Tables I and II, in the words of one vehicle; the loss
of things alone has words of its own. The terms are explained in our own words.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from advisor.findings.risk import INJURES_WHEN_GRAVE, PROPERTY_ONLY, level_of, signal_word
from advisor.rules.rule import Rule

_HURT = {
    "catastrophic": "somebody can die or stay disabled",
    "critical": "somebody can be hurt for good, or several people badly",
    "marginal": "somebody can be hurt and miss days of work",
    "negligible": "nobody is hurt beyond a scratch or a fright",
}
_LOST = {
    "catastrophic": "the vehicle and more can be lost",
    "critical": "an expensive part is ruined",
    "marginal": "it costs a repair, or a day",
    "negligible": "it costs a little money or patience",
}
_STANDS = "the vehicle stands and has to be fetched"
_LIKELY = {
    "frequent": "on most drives or charges",
    "probable": "several times in ordinary use",
    "occasional": "sometimes, as it needs one ordinary coincidence",
    "remote": "hardly, as something else has to fail first",
    "improbable": "so unlikely that it may never happen",
}
KINDS = {
    "shock": "an electric shock",
    "fire": "fire",
    "arc": "a flash that burns and blinds",
    "burn": "burns",
    "loss-of-control": "the vehicle does not do what the driver wants",
    "loss-of-drive": "the vehicle loses its drive",
    "loss-of-braking": "the vehicle cannot be held or stopped",
    "crash": "a crash",
    "crush": "crushed hands or feet",
    "chemical": "contact with harmful substances",
    "damage": "damage to the vehicle",
    "cost": "money lost",
    "nuisance": "a nuisance",
}


def risk_words(rule: Rule) -> str:
    """The risk of a rule in sentences; an empty text where it only concludes."""
    hazard = rule.hazard
    if hazard is None:
        return ""
    what = KINDS[hazard.kind]
    if rule.notice:
        return f"NOTICE. It informs about: {what}."
    level = level_of(rule)
    only_lost = hazard.kind in PROPERTY_ONLY
    if only_lost:
        bad = _LOST[hazard.severity]
    elif hazard.kind in INJURES_WHEN_GRAVE and hazard.severity in ("marginal", "negligible"):
        bad = _STANDS
    else:
        bad = _HURT[hazard.severity]
    return (
        f"{signal_word(hazard, level)}, {level.word.upper()} risk. What can happen: {what}. "
        f"How bad: {bad} ({hazard.severity}). How likely, in ten years of this vehicle as it "
        f"stands: {_LIKELY[hazard.probability]} ({hazard.probability})."
    )


def risk_data(rule: Rule) -> dict[str, str] | None:
    """The same as data; None where the rule only concludes."""
    hazard = rule.hazard
    if hazard is None:
        return None
    level = level_of(rule)
    return {
        "level": level.word,
        "signal_word": signal_word(hazard, level),
        "kind": hazard.kind,
        "severity": hazard.severity,
        "probability": hazard.probability,
    }


TERMS = {
    "balance": "to bring all cells of a pack to the same charge",
    "breaker": "a switch that opens by itself when the current is too large",
    "buffer": "a small battery on the 12 V side that helps the converter",
    "bus bar": "a metal bar on which several cables meet",
    "capacitor": "a part that stores a little electricity; while it is empty, it takes current "
    "like a short circuit",
    "cell": "the smallest unit of a battery; many of them make a pack",
    "coil": "a winding that moves a switch by magnetism when current flows through it",
    "contactor": "a strong switch that a coil closes and a spring opens",
    "contacts": "the two metal faces inside a switch that touch when it is closed",
    "controller": "the box between battery and motor; it gives the motor what the pedal asks for",
    "converter": "a box that makes 12 V for lamps and horn from the high battery voltage",
    "current": "how much electricity flows, in amperes (A); too much of it makes things hot",
    "disconnect": "a switch or plug with which a hand cuts the battery off",
    "equalise stage": "a time at the end of a charge when the charger raises the voltage on "
    "purpose; it is made for lead-acid batteries and overcharges lithium",
    "fault current": "the current that flows in a short circuit, hundreds or thousands of amperes",
    "float": "to hold a full battery at a voltage instead of switching off",
    "frame": "the metal body of the vehicle",
    "fuse": "a weak spot that melts and cuts the current off before the cable burns",
    "grade": "a slope; 20 % means that the road rises 20 m on 100 m",
    "inlet": "the socket on the vehicle for the plug of the charger",
    "inrush": "the first rush of current when something is switched on",
    "isolation": "what keeps electricity in its cables and away from the frame",
    "lead-acid": "the older kind of battery, filled with acid, that was in the vehicle before",
    "lug": "the metal end of a cable with a hole for a bolt",
    "management": "the electronics inside a lithium pack; it watches the cells and switches the "
    "pack off when one leaves its limits",
    "opens": "of a battery, switch or fuse: it cuts the current off",
    "pack": "one battery box with its cells and their management",
    "parallel": "side by side, plus to plus and minus to minus: the currents add",
    "plating": "lithium that settles as metal inside a cell and stays there",
    "precharge": "a way to fill the capacitors slowly before the strong switch closes",
    "regeneration": "braking with the motor, which then charges the battery",
    "residual-current device": "a switch in the house wiring that cuts off when current leaks "
    "through somebody",
    "resistor": "a part that lets only a little current through",
    "sag": "the voltage falls while much current flows",
    "series": "one after the other, plus to minus: the voltages add",
    "short circuit": "a direct way from plus to minus; nothing limits the current in it",
    "shunt": "a part in the main cable by which a monitor measures the current",
    "solenoid": "an older word for a contactor, often made for short use only",
    "string": "packs joined one after the other",
    "terminal": "a pole of the battery or of a part, where a cable is fastened",
    "tow switch": "a switch that lets the vehicle be towed without harm to the drive",
    "traction": "what moves the vehicle: battery, controller, motor and the thick cables",
    "trip of the management": "the limit at which the management switches off",
    "vent": "to burst open and blow out hot gas that burns",
    "voltage": "the push behind the current, in volts (V); above about 60 V a touch is dangerous",
    "weld": "to melt together, so that a switch cannot open any more",
}


def terms_in(texts: Iterable[str]) -> dict[str, str]:
    """The terms that some texts use, in order, with what they mean."""
    whole = " ".join(texts).lower()
    return {term: means for term, means in TERMS.items() if _PATTERNS[term].search(whole)}


def _pattern(term: str) -> re.Pattern[str]:
    """A term as a whole word, also as several; verbs with their endings."""
    forms = [term, *_FORMS.get(term, (f"{term}s", f"{term}es"))]
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, forms))})\b")


_FORMS = {
    "balance": ("balances", "balanced", "balancing"),
    "float": ("floats", "floated", "floating"),
    "opens": ("opens", "opened"),
    "plating": ("plates as metal", "plated", "plate as metal"),
    "residual-current device": ("residual-current devices", "residual-current protection"),
    "sag": ("sags", "sagged", "sagging"),
    "trip of the management": ("management trip", "management trips"),
    "vent": ("vents", "vented", "venting"),
    "weld": ("welds", "welded", "welding"),
}
_PATTERNS = {term: _pattern(term) for term in TERMS}
