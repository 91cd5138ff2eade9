"""Page one: for the owner, in plain words, from the facts of this build and from nothing else."""

from __future__ import annotations

from advisor.handoff.model import Outcome, Review
from advisor.report.record.blocks import Block, Part, Section, bullets, notice, pairs
from advisor.report.record.outcome import owner_list
from advisor.report.record.owner_charging import charging
from advisor.report.record.owner_keeping import storing, switching_off, towing
from advisor.report.record.owner_warnings import calling, never, warnings
from advisor.report.record.told import ASK, Told, counted, several
from advisor.units import show

CHEMISTRY = {
    "lfp": "lithium iron phosphate",
    "nmc": "lithium nickel manganese cobalt oxide",
    "nca": "lithium nickel cobalt aluminium oxide",
    "lmo": "lithium manganese oxide",
    "lto": "lithium titanate",
    "lead-flooded": "lead-acid with liquid acid",
    "lead-agm": "lead-acid, sealed (glass mat)",
    "lead-gel": "lead-acid, sealed (gel)",
}
_KIND = {
    "golf-cart": "golf cart",
    "hunting-cart": "hunting cart",
    "utility-cart": "utility cart",
    "burden-carrier": "load carrier",
    "tow-tractor": "tow tractor",
    "campus-vehicle": "campus vehicle",
    "neighbourhood-vehicle": "neighbourhood vehicle",
}


def owner_part(review: Review, told: Told) -> Part:
    """The part for the owner."""
    sections = [
        *_first(review),
        Section("done", "What was done", (_done(told), _limits(told))),
        charging(told),
        switching_off(told),
        storing(told),
        towing(told),
        warnings(review, told),
        never(told),
        calling(),
    ]
    return Part(
        "owner",
        "For the owner",
        "Read this before the first drive, and keep it with the vehicle.",
        tuple(sections),
    )


def _first(review: Review) -> list[Section]:
    """What stands in the way or must be known, before everything else."""
    if review.outcome is Outcome.READY:
        return []
    grave = review.outcome is Outcome.NOT_READY
    signal = "WARNING" if grave else "NOTICE"
    title = "Do not drive it, and do not charge it" if grave else "Know this before you drive"
    first, *others = owner_list(review)
    return [
        Section(
            "first",
            "Before anything else",
            (notice(signal, title, first, others),),
        )
    ]


def _done(told: Told) -> Block:
    kind = _KIND.get(told.word("vehicle", "kind"), "vehicle")
    lines = [*_taken_out(told), _put_in(told, kind)]
    change = told.number("vehicle", "mass_change")
    if change is not None:
        words = show(abs(change), "kg", told.system, 2)
        more = "more" if change > 0 else "less"
        lines.append(f"The {kind} now weighs about {words} {more} than before.")
        if change < -1:
            lines.append("A lighter vehicle steers, brakes and bounces differently. Try it slowly.")
        elif change > 1:
            lines.append("A heavier vehicle needs more way to stop. Try the brakes slowly.")
    return bullets(lines)


def _taken_out(told: Told) -> list[str]:
    taken = []
    for part in told.all("removed"):
        number = told.number(part, "count") or 1
        what = (
            told.word(part, "kind")
            .replace("-", " ")
            .replace("lead acid block", "lead-acid battery")
        )
        many = what[:-1] + "ies" if what.endswith("y") else what + "s"
        taken.append(counted(number, what, many))
    return [f"Taken out: {several(taken)}."] if taken else []


def _put_in(told: Told, kind: str) -> str:
    packs = sum(told.number(one, "count") or 1 for one in told.all("pack"))
    chemistry = CHEMISTRY.get(told.word("battery", "chemistry"), "")
    energy = told.number("battery", "energy")
    volts = told.about("battery", "nominal_voltage", 3)
    what = f"a battery of {counted(packs, 'pack')}" if packs else "a battery"
    kept = [
        one
        for one in (
            chemistry,
            volts,
            f"it holds {show(energy, 'kWh', told.system, 3)}" if energy else "",
        )
        if one
    ]
    return f"Put in: {what} for the {kind}" + (f" ({'; '.join(kept)})." if kept else f". {ASK}")


def _limits(told: Told) -> Block:
    """What the vehicle was judged for."""
    top = told.about("vehicle", "top_speed", 3)
    computed = told.about("vehicle", "top_speed_predicted")
    rows = [
        ("Range, warm", told.about("battery", "range_warm")),
        ("Range, coldest use", told.about("battery", "range_cold")),
        ("Top speed", top) if top else ("Top speed, computed", computed),
        ("Steepest slope", told.said("use", "grade_max")),
        ("Heaviest load", told.said("vehicle", "payload_max")),
        ("Reserve to keep", told.said("battery", "reserve")),
    ]
    return pairs([(words, value or ASK) for words, value in rows], "What to expect")


__all__ = ["CHEMISTRY", "owner_part"]
