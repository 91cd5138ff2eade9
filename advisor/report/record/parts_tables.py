"""For the technician: the build in numbers, the parts with what is stated of them, the settings."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.findings.report_model import Screening
from advisor.findings.wording import fact_text, part_text, value_text
from advisor.report.record.blocks import Block, bullets, table, text
from advisor.report.record.told import Told
from advisor.sheet.build import Instance, Written
from advisor.vocabulary import VOCABULARY, Attribute, Kind

_APART = {"run", "segment", "trip", "removed", "retained"}
_TORQUES = ("terminal_torque", "torque")


def attribute_of(subject: str, name: str) -> Attribute:
    return VOCABULARY.attributes[f"{subject}.{name}"]


def written_text(attribute: Attribute, value: Written, system: str) -> str:
    """A value as the person wrote it, with the reader's units where they differ."""
    shown = value_text(attribute, value.value, system)
    if attribute.kind is not Kind.QUANTITY or shown.replace("·", "") == value.text.replace("·", ""):
        return shown
    return value.text if value.text.strip() else shown


def in_numbers(screening: Screening, system: str) -> Block:
    """The figures a reader wants to know, whether or not anything is wrong."""
    rows = [
        (
            fact.attribute.meaning,
            part_text(screening.facts, fact.instance),
            fact_text(fact, system) + (" (on an assumption)" if fact.assumed else ""),
        )
        for fact in screening.figures
    ]
    return table("Key figures", ("What", "Of", "Value"), rows)


def parts(told: Told) -> list[Block]:
    """Every part with what the sheet states of it."""
    rows = [
        (one.id, _kind(one), "; ".join(_stated(one, told.system)) or "nothing stated")
        for one in told.facts.build.instances
        if one.subject not in _APART and VOCABULARY.subjects[one.subject].many
    ]
    rows += [
        (one.id, _kind(one), "; ".join(_stated(one, told.system)))
        for one in told.facts.build.instances
        if one.subject == "bms" and one.values
    ]
    heads = ("Part", "Kind", "What the sheet states")
    note = "In the words of the sheet; docs/vocabulary.md says what each means."
    blocks = [table("Each part, and what is stated of it", heads, rows, note)]
    absent = sorted(
        VOCABULARY.subjects[one].meaning
        for one in told.facts.build.absent | told.facts.build.complete
        if one in VOCABULARY.subjects and not told.all(one)
    )
    if absent:
        blocks.append(text(f"Not fitted, by the sheet: {', '.join(absent)}."))
    return blocks


def sections(told: Told) -> Block:
    """What the sheet states of the vehicle, its use and its provisions."""
    rows = [
        (VOCABULARY.subjects[one.subject].meaning, "; ".join(_stated(one, told.system)))
        for one in told.facts.build.instances
        if one.subject in ("vehicle", "use", "supply", "battery", "provisions") and one.values
    ]
    return table("Vehicle, use and provisions", ("Section", "What the sheet states"), rows)


def trips(told: Told) -> list[Block]:
    """The trips it was judged for, piece by piece."""
    rows = [
        (one.id, "; ".join(_stated(one, told.system)))
        for one in told.facts.build.instances
        if one.subject in ("trip", "segment")
    ]
    if not rows:
        return [text("The sheet lists no trips.")]
    note = "After each trip its pieces, in order. The record of a drive has no pieces."
    return [
        table("Trips it was judged for", ("Trip or piece", "What the sheet states"), rows, note)
    ]


def old_parts(told: Told) -> list[Block]:
    """Parts taken out and parts kept."""
    rows = [
        (one.id, one.subject, "; ".join(_stated(one, told.system)))
        for one in told.facts.build.instances
        if one.subject in ("removed", "retained")
    ]
    return [
        table("Old parts", ("Part", "Taken out or kept", "What the sheet states"), rows)
    ] * bool(rows)


def _kind(one: Instance) -> str:
    return VOCABULARY.subjects[one.subject].meaning


def _stated(one: Instance, system: str) -> Iterator[str]:
    for name, value in one.values.items():
        attribute = attribute_of(one.subject, name)
        yield f"{_words(name)} {written_text(attribute, value, system)}"
    for name, answer in one.answers.items():
        detail = f" ({answer.detail})" if answer.detail else ""
        yield f"{_words(name)}: {answer.said}{detail}"


def _words(name: str) -> str:
    return name.replace("_", " ")


def settings(told: Told) -> list[Block]:
    """What is programmed into parts, and what a data sheet or a plan says should be."""
    rows: list[tuple[str, str, str, str]] = []
    for one in told.facts.build.instances:
        for attribute in VOCABULARY.subjects[one.subject].attributes:
            if not attribute.programmable:
                continue
            programmed, stated = one.settings.get(attribute.name), one.values.get(attribute.name)
            if programmed is None and stated is None:
                continue
            rows.append(
                (
                    one.id,
                    attribute.meaning,
                    written_text(attribute, programmed, told.system)
                    if programmed
                    else "not stated",
                    written_text(attribute, stated, told.system) if stated else "",
                )
            )
    if not rows:
        return [text("The sheet states no settings.")]
    heads = ("Part", "Setting", "Read back from the part", "At the part in the sheet")
    note = "Read every setting back from the part and compare it with both columns."
    return [table("Programmed values", heads, rows, note)]


def torques(told: Told) -> list[Block]:
    """Tightening torques that the sheet states."""
    rows = []
    for one in told.facts.build.instances:
        for name in _TORQUES:
            if name not in one.values:
                continue
            size = told.said(one.id, "terminals") or told.said(one.id, "stud_size") or "?"
            torque = one.values[name]
            shown = written_text(attribute_of(one.subject, name), torque, told.system)
            rows.append((one.id, size, shown, ""))
    if not rows:
        return [text("The sheet states no tightening torques. Take those of the makers.")]
    note = "Follow the maker where it differs. Mark each joint after it was tightened."
    return [table("Tightening torques", ("Part", "Size", "Torque", "Done"), rows, note)]


def differences(screening: Screening, system: str) -> list[Block]:
    """Values that two sources give differently."""
    lines = []
    for one in screening.disagreements:
        part = part_text(screening.facts, one.used.instance)
        lines.append(
            f"{part}, {one.used.attribute.meaning}: {fact_text(one.used, system)} was used; "
            f"another source gives {fact_text(one.other, system)}."
        )
    return [bullets(lines, "Values that do not agree")] if lines else []


__all__ = [
    "differences",
    "in_numbers",
    "old_parts",
    "parts",
    "sections",
    "settings",
    "torques",
    "trips",
    "written_text",
]
