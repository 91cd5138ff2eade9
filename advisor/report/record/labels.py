"""Labels to print and cut: main disconnect, voltage, charging, first responders."""

from __future__ import annotations

from dataclasses import asdict, dataclass

from advisor.facts.origins import Fact
from advisor.handoff.model import Review
from advisor.report.record.fonts import printed
from advisor.report.record.outcome import LINE
from advisor.report.record.owner import CHEMISTRY
from advisor.report.record.owner_keeping import REACH
from advisor.report.record.page import page
from advisor.report.record.paper import typeset
from advisor.report.record.signals import signals
from advisor.report.record.told import Told, several
from advisor.report.record.words import safe
from advisor.tables.reader import table
from advisor.units import show

FILL = "____________________"
HOW_TO_USE = (
    "Fill in what is blank, check every line against the vehicle, and cut along the dashes. Cover "
    "the labels with clear film. Fit each where it is read before a hand gets there."
)


@dataclass(frozen=True, slots=True)
class Label:
    """One label: signal word, what it is about, facts, and what to do."""

    signal: str
    title: str
    facts: tuple[tuple[str, str], ...]
    lines: tuple[str, ...]


def labels_of(review: Review, system: str) -> tuple[Label, ...]:
    """The labels of a build. What is not known is a line to fill in, never a guess."""
    told = Told(review.screening.facts, system)
    made = (*_disconnects(told), _voltage(told), *_charging(told), _responders(told))
    return tuple(
        Label(
            one.signal,
            safe(one.title),
            tuple((safe(name), safe(value)) for name, value in one.facts),
            tuple(safe(line) for line in one.lines),
        )
        for one in made
    )


def _disconnects(told: Told) -> list[Label]:
    lines = (
        "Turn it OFF in an emergency and before any work.",
        "The battery and its first cables stay live.",
    )
    parts = [one for one in told.all("disconnect") if told.word(one, "circuit") in ("traction", "")]
    return [
        Label("WARNING", "Main switch of the battery", (("Switch", told.named(one)),), lines)
        for one in parts
    ] or [Label("WARNING", "Main switch of the battery", (("Switch", FILL),), lines)]


def _voltage(told: Told) -> Label:
    full = told.number("battery", "full_voltage")
    limit = table("voltage-limits").value("class-a", "dc")
    assert limit is not None
    most = float(limit.value)
    above = full is not None and full > most
    facts = (
        ("Direct voltage, at most", _volts(told, "full_voltage")),
        ("Nominal", _volts(told, "nominal_voltage")),
        ("Voltage class", FILL if full is None else _class(above, show(most, "V"))),
    )
    if above or full is None:
        lines = (
            "Touching live parts can kill. A short circuit burns.",
            "Qualified persons only. Do not open the covers.",
        )
    else:
        lines = (
            "A short circuit burns and throws molten metal.",
            "No jewelry. Insulated tools. Do not open the covers.",
        )
    return Label("WARNING", "Battery voltage", facts, lines)


def _class(above: bool, limit: str) -> str:
    """The voltage class. Source: scope of EN 50604-1, in the table `voltage-limits`."""
    return f"B (above {limit} direct)" if above else f"A (up to {limit} direct)"


def _own(told: Told, fact: Fact) -> bool:
    """Whether a value is stated of this very battery."""
    return not fact.assumed and not told.general(fact)


def _charging(told: Told) -> list[Label]:
    chargers = told.all("charger")
    least = told.fact("battery", "charge_temperature_min")
    cold = (
        told.both_degrees(least.value)
        if least is not None and isinstance(least.value, float) and _own(told, least)
        else FILL
    )
    lines = ("Any other charger can start a fire.", "Never charge in frost or when damaged.")
    if not chargers:
        blank = (("Only with", FILL), ("Battery not colder than", cold))
        return [Label("WARNING", "Charge here", blank, lines)]
    made = []
    for one in chargers:
        output = [
            words for name in ("set_voltage", "current_max") if (words := told.said(one, name))
        ]
        facts = (
            ("Only with", told.named(one)),
            ("Its output", ", ".join(output) or FILL),
            ("Battery not colder than", cold),
        )
        made.append(Label("WARNING", "Charge here", facts, lines))
    return made


def _responders(told: Told) -> Label:
    """For the fire service. What to do is common practice, no source; they decide."""
    energy = told.number("battery", "energy")
    chemistry = CHEMISTRY.get(told.word("battery", "chemistry"), "")
    switches = [
        f"{one}{', ' + reach if (reach := REACH.get(told.word(one, 'reach'), '')) else ''}"
        for one in told.all("disconnect")
        if told.word(one, "circuit") in ("traction", "")
    ]
    facts = (
        ("Battery", chemistry or FILL),
        ("Voltage", f"{_volts(told, 'nominal_voltage')}, at most {_volts(told, 'full_voltage')}"),
        ("Energy", FILL if energy is None else show(energy, "kWh", told.system, 3)),
        ("Packs", told.said("battery", "pack_count") or FILL),
        ("Where they are", FILL),
        ("Disconnect here", several(switches) if switches else FILL),
    )
    lines = (
        "Smoke is toxic and can burn. Cool with much water. It can burn again after hours or days.",
    )
    return Label("WARNING", "First responders", facts, lines)


def _volts(told: Told, name: str) -> str:
    value = told.number("battery", name)
    return FILL if value is None else show(value, "V", told.system, 3)


def labels_html(review: Review, system: str) -> str:
    """The labels as one HTML page."""
    return page(
        "labels.html.j2",
        labels=labels_of(review, system),
        title=safe(review.build.title or review.build.file),
        outcome=LINE[review.outcome],
        use=HOW_TO_USE,
        fingerprint=review.build.fingerprint,
    )


def labels_pdf(review: Review, system: str) -> bytes:
    """The labels as PDF."""
    told = Told(review.screening.facts, system)
    made = [
        {
            "signal": one.signal,
            "title": printed(one.title),
            "facts": [[printed(name), printed(value)] for name, value in one.facts],
            "lines": [printed(line) for line in one.lines],
        }
        for one in labels_of(review, system)
    ]
    data = {
        "title": printed(safe(review.build.title or review.build.file)),
        "outcome": LINE[review.outcome],
        "use": HOW_TO_USE,
        "fingerprint": review.build.fingerprint,
        "paper": "us-letter" if told.word("use", "region") == "us" else "a4",
        "labels": made,
        "signals": {one.word: asdict(one) for one in signals()},
    }
    return typeset("labels.typ", data)


__all__ = ["FILL", "Label", "labels_html", "labels_of", "labels_pdf"]
