"""Fixes that would make the sheet invalid: refused with the reason that its reader gives."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from advisor.fixing.offers import Offer, Variant
from advisor.problems import Place
from advisor.sheet.alternatives import with_choice
from advisor.sheet.build import Answer, Build, Instance, Written
from advisor.sheet.checks import check_build
from advisor.sheet.notes import Notes
from advisor.sheet.values import ValueProblemError, read_value
from advisor.vocabulary import VOCABULARY
from advisor.yaml_text import Scalar


@dataclass(frozen=True, slots=True)
class Refused:
    """An offer that no way to write its numbers makes valid, and why."""

    offer: Offer
    reason: str


def sound(build: Build, offers: Iterable[Offer]) -> tuple[list[Offer], list[Refused]]:
    """The offers that leave the sheet valid, written in ways that do; and the others."""
    kept: list[Offer] = []
    refused: list[Refused] = []
    for offer in offers:
        reasons = [why_not(build, variant) for variant in offer.variants]
        good = [one for one, why in zip(offer.variants, reasons, strict=True) if not why]
        if good:
            kept.append(
                offer if len(good) == len(reasons) else replace(offer, variants=tuple(good))
            )
        else:
            refused.append(Refused(offer, reasons[0]))
    return kept, refused


def why_not(build: Build, variant: Variant) -> str:
    """Why a sheet with a variant in would be refused; an empty text where it would not."""
    reasons: list[str] = []
    changed: dict[str, Instance] = {}
    for (part, name), (text, _) in variant.items():
        one = changed.get(part) or next(one for one in build.instances if one.id == part)
        attribute = VOCABULARY.attributes[f"{one.subject}.{name}"]
        try:
            written = read_value(attribute, Scalar(text, Place()))
        except ValueProblemError as error:
            reasons.append(f"{part}.{name}: {error.problem}; {error.advice}")
            continue
        if isinstance(written, Answer):
            reasons.append(f"{part}.{name}: {text} is no value")
            continue
        changed[part] = _with(one, name, written)
    if reasons:
        return ", ".join(reasons)
    new = tuple(changed.get(one.id, one) for one in build.instances)
    after = replace(build, instances=new)
    for whole in (after, *(with_choice(after, one) for one in build.alternatives)):
        notes = Notes(build.file)
        check_build(whole, set(), notes)
        if notes.problems:
            return ", ".join(f"{one.path}: {one.problem}" for one in notes.problems[:3])
    return ""


def _with(one: Instance, name: str, written: Written) -> Instance:
    """A part with a value in, where it is looked for first."""
    if name in one.settings:
        return replace(one, settings={**one.settings, name: written})
    return replace(one, values={**one.values, name: written})


__all__ = ["Refused", "sound", "why_not"]
