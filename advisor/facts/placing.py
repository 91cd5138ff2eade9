"""Derivations about where parts sit: room in the bay, hold-down, water and dirt."""

from __future__ import annotations

import re
from collections.abc import Sequence

from advisor.facts.assembly import counts
from advisor.facts.derivation import Derivation, Result, derive

_GRAVITY = 9.80665
_GAP = 0.010  # m around each pack, common practice, no source
_MARK = re.compile(r"IP([0-6X])([0-9X])", re.I)
_ALONE = 4  # IEC 60529: 7 or 8 alone does not stand for the jets of 5 and 6


def _marks(text: str) -> list[tuple[str, str]]:
    """The figures of a mark; IP67/IP69 is two marks. The K of other standards says the same."""
    return _MARK.findall(text.replace(" ", ""))


def _dust(text: str) -> Result:
    """The first figure: against solids; None where the mark leaves it out."""
    return max((float(first) for first, _ in _marks(text) if first not in "Xx"), default=None)


def _jets(text: str) -> Result:
    """The figure against spray and jets. 7 and 8 alone do not stand for 5 and 6."""
    seconds = [float(second) for _, second in _marks(text) if second not in "Xx"]
    return max((_ALONE if two in (7.0, 8.0) else two for two in seconds), default=None)


def _dipped(text: str) -> Result:
    """7 or 8 where the part may stand in water, else 0."""
    seconds = [float(second) for _, second in _marks(text) if second not in "Xx"]
    if not seconds:
        return None
    return max((two for two in seconds if two in (7.0, 8.0)), default=0.0)


def _fits(
    long: Sequence[float],
    wide: Sequence[float],
    high: Sequence[float],
    number: Sequence[float | None],
    *bay: float,
) -> Result:
    """Whether the packs stand upright in the bay in one layer, with a gap beside each.

    Equal packs are set out in rows, lengthwise or across. Unlike packs: no when one is too large or
    their floor is larger than the bay's, else undecided.
    """
    length, width, height = bay
    boxes = list(zip(long, wide, high, strict=True))
    if not boxes:
        return None
    many = counts(number, len(boxes))
    if any(tall > height for _, _, tall in boxes):
        return False
    if len(set(boxes)) == 1:
        a, b = boxes[0][0] + _GAP, boxes[0][1] + _GAP
        rows = max(_in(length, a) * _in(width, b), _in(length, b) * _in(width, a))
        return rows >= sum(many)
    floor = sum(a * b * times for (a, b, _), times in zip(boxes, many, strict=True))
    return False if floor > length * width else None


def _in(room: float, piece: float) -> int:
    return int(room / piece + 1e-9)


def _water(subject: str) -> list[Derivation]:
    source = "IEC 60529, as summarised in tables"
    return [
        derive(f"{subject}.ip_dust", f"{subject}.ip", _dust, "first figure of the mark", source),
        derive(
            f"{subject}.ip_jets",
            f"{subject}.ip",
            _jets,
            "second figure of the mark; 7 or 8 alone counts as 4, as it does not stand for jets",
            source,
        ),
        derive(
            f"{subject}.ip_dipped",
            f"{subject}.ip",
            _dipped,
            "7 or 8 where the mark has it, else 0",
            source,
        ),
    ]


DERIVATIONS: list[Derivation] = [
    *(
        one
        for subject in ("pack", "motor", "controller", "charger", "converter", "connector")
        for one in _water(subject)
    ),
    derive(
        "battery.fits_bay",
        "pack[].length pack[].width pack[].height pack[].count? vehicle.tray_length "
        "vehicle.tray_width vehicle.tray_height",
        _fits,
        "packs side by side, upright, in one layer, 10 mm between them",
        "common practice, no source",
    ),
    derive(
        "mount.force_needed",
        "battery.mass",
        lambda mass: 2 * mass * _GRAVITY,
        "twice the weight of the battery",
        "common practice, no source",
    ),
]
