"""Checks across a whole sheet: references, ranges, and packs that make the stated battery."""

from __future__ import annotations

from functools import cache

from advisor.problems import Place, nearest, shown
from advisor.sheet.bench import check_points
from advisor.sheet.build import Build, Instance
from advisor.sheet.curves import check_curve
from advisor.sheet.notes import Notes
from advisor.sheet.prices import check_price
from advisor.sheet.terminals import a_part, check_ends
from advisor.vocabulary import VOCABULARY, Attribute, Kind

_REFERS_TO = {
    "controller.drives": ("motor",),
    "run.via": ("connector",),
    "run.protected_by": ("fuse", "breaker"),
}


def check_build(build: Build, refused: set[str], notes: Notes) -> None:
    """Note what does not fit together; `refused` ids were written wrongly at the part itself."""
    by_id = {one.id: one for one in build.instances}
    for one in build.instances:
        _references(one, by_id, refused, notes)
        _ranges(one, notes)
        check_price(one, _path(one, "price"), notes)
        if one.subject == "run":
            check_ends(one, by_id, refused, notes)
        elif one.subject in ("fuse", "breaker"):
            check_curve(one, _path(one, "curve"), notes)
        elif one.subject == "motor":
            check_points(one, _path(one, "bench_points"), notes)
    _arrangement(build, notes)


def _path(one: Instance, attribute: str) -> str:
    section = VOCABULARY.subjects[one.subject].section
    if one.subject == "bms":
        return f"parts.packs[{one.id.removesuffix('.bms')}].bms.{attribute}"
    where = f"{section}[{one.id}]" if VOCABULARY.subjects[one.subject].many else section
    return f"{where}.{attribute}"


def _references(one: Instance, by_id: dict[str, Instance], refused: set[str], notes: Notes) -> None:
    for attribute in _referring(one.subject):
        written = one.values.get(attribute.name)
        if written is None:
            continue
        allowed = _REFERS_TO.get(attribute.path, ())
        target = by_id.get(str(written.value))
        known = [i.id for i in by_id.values() if not allowed or i.subject in allowed]
        path = _path(one, attribute.name)
        if target is None and written.value in refused:
            continue
        if target is None:
            advice = nearest(str(written.value), known) or "write the id of a listed part"
            notes.add(written.place, path, f"there is no part {shown(written.text)}", advice)
        elif target is one:
            notes.add(written.place, path, "a part cannot refer to itself", "write another id")
        elif allowed and target.subject not in allowed:
            wanted = " or ".join(VOCABULARY.subjects[kind].meaning for kind in allowed)
            advice = nearest(str(written.value), known) or f"write the id of a {wanted}"
            problem = f"{shown(written.text)} is {a_part(target.subject)}, not a {wanted}"
            notes.add(written.place, path, problem, advice)


@cache
def _referring(subject: str) -> tuple[Attribute, ...]:
    """The attributes of a kind of part that name another part."""
    listed = VOCABULARY.subjects[subject].attributes
    return tuple(one for one in listed if one.kind is Kind.REFERENCE)


@cache
def _pairs(subject: str) -> tuple[str, ...]:
    """The names of a kind of part that have a lowest and a highest value."""
    lowest = [one for one in VOCABULARY.subjects[subject].attributes if one.name.endswith("_min")]
    return tuple(sorted({one.pair or one.name.removesuffix("_min") for one in lowest}))


def _ranges(one: Instance, notes: Notes) -> None:
    for pair in _pairs(one.subject):
        low, high = one.values.get(f"{pair}_min"), one.values.get(f"{pair}_max")
        if low is None or high is None:
            continue
        if (
            isinstance(low.value, float)
            and isinstance(high.value, float)
            and low.value > high.value
        ):
            notes.add(
                low.place,
                _path(one, f"{pair}_min"),
                f"the lowest value {shown(low.text)} is above the highest {shown(high.text)}",
                "write the lower one first",
            )


def _arrangement(build: Build, notes: Notes) -> None:
    """Packs in series times packs in parallel must be the packs listed, when all are known."""
    if notes.has("parts.packs", ("", "]", ".id", ".count")):
        return  # a pack that could not be counted
    battery = next(one for one in build.instances if one.subject == "battery")
    series = battery.values.get("packs_in_series")
    parallel = battery.values.get("packs_in_parallel")
    packs = [one for one in build.instances if one.subject == "pack"]
    if any("count" in pack.answers for pack in packs):
        return
    number = 0.0
    for pack in packs:
        count = pack.values.get("count")
        number += float(count.value) if count is not None else 1.0
    if (series is None and parallel is None) or not packs:
        return
    place: Place = (series or parallel or packs[0]).place
    wanted = float(series.value) if series else 1.0
    strings = float(parallel.value) if parallel else 1.0
    if series is not None and parallel is not None and wanted * strings != number:
        notes.add(
            place,
            "battery",
            f"{wanted:g} in series x {strings:g} in parallel is {wanted * strings:g} packs, "
            f"but {number:g} are listed",
            "correct the numbers, or list every pack (or its count)",
        )
    elif (series is None or parallel is None) and number % (wanted * strings):
        notes.add(
            place,
            "battery",
            f"{number:g} packs do not divide into {wanted * strings:g}",
            "correct the number, or list every pack (or its count)",
        )
