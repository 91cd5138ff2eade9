"""The order of upright pieces of wire in a channel: few crossings, and no two on one line."""

from __future__ import annotations

from dataclasses import dataclass, field

from advisor.report.diagram.nodes import Edge, Side

CLEAR = 9
"""Least distance of a wire from other wires, symbols and labels."""
BAD = 10_000
"""Cost of two wires on one piece of line."""


@dataclass(eq=False, slots=True)
class Upright:
    """A vertical piece of a wire in a channel: two heights, each with the side it goes on to.

    Without a side it goes on to another upright of the same channel, on a level of its own.
    """

    channel: int
    ends: tuple[tuple[int, Side | None], tuple[int, Side | None]]
    track: int = 0

    @property
    def low(self) -> int:
        return min(y for y, _ in self.ends)

    @property
    def high(self) -> int:
        return max(y for y, _ in self.ends)


@dataclass(slots=True)
class Route:
    """A wire: level at the start, then each upright with the level it leads to."""

    edge: Edge
    uprights: list[Upright] = field(default_factory=list)


def give_tracks(listed: list[Upright], known: set[int], routes: list[Route]) -> int:
    """Give the uprights of a channel their tracks; their number."""
    ordered, clash = _ordered(listed)
    while clash is not None:
        _split(clash, listed, known, routes)
        ordered, clash = _ordered(listed)
    for at, one in enumerate(ordered):
        one.track = 1 + max(
            (other.track for other in ordered[:at] if _meet(one, other)), default=-1
        )
    return 1 + max(one.track for one in ordered)


def _ordered(listed: list[Upright]) -> tuple[list[Upright], Upright | None]:
    """Uprights from left to right with few crossings, and one that must be split, if any.

    Where two would share a piece of line one way round, only the other way is taken. When such
    demands run in a ring, one of the ring must be split.
    """
    cost = {(a, b): _crossings(a, b) for a in listed for b in listed if a is not b and _meet(a, b)}
    before = {one: [a for a in listed if cost.get((one, a), 0) >= BAD] for one in listed}
    rest = sorted(listed, key=lambda one: (one.low, one.high))
    ordered: list[Upright] = []
    while rest:
        ready = [one for one in rest if not any(a in rest for a in before[one])]
        if not ready:
            return ordered, _ring(rest, before)
        best = min(
            ready,
            key=lambda one: sum(
                min(cost.get((one, a), 0), BAD) - min(cost.get((a, one), 0), BAD)
                for a in rest
                if a is not one
            ),
        )
        ordered.append(best)
        rest.remove(best)
    for _ in range(2 * len(ordered)):
        moved = False
        for at in range(len(ordered) - 1):
            a, b = ordered[at], ordered[at + 1]
            if cost.get((a, b), 0) > cost.get((b, a), 0):
                ordered[at], ordered[at + 1] = b, a
                moved = True
        if not moved:
            break
    return ordered, None


def _ring(rest: list[Upright], before: dict[Upright, list[Upright]]) -> Upright:
    """One of a ring of uprights each of which must stand left of the next."""
    seen: set[Upright] = set()
    here = rest[0]
    while here not in seen:
        seen.add(here)
        here = next(a for a in before[here] if a in rest)
    return here


def _split(clash: Upright, listed: list[Upright], known: set[int], routes: list[Route]) -> None:
    """Draw one upright as two, with a level of its own between them."""
    levels = known | {y for one in listed for y, _ in one.ends}
    y = (clash.low + clash.high) // 2
    step = 1
    while any(abs(y - one) < 5 for one in levels):
        y += step
        step = -step - 1 if step > 0 else -step + 1
    first, last = clash.ends
    pieces = [
        Upright(clash.channel, (first, (y, None))),
        Upright(clash.channel, ((y, None), last)),
    ]
    listed.remove(clash)
    listed += pieces
    for one in routes:
        if clash in one.uprights:
            at = one.uprights.index(clash)
            one.uprights[at : at + 1] = pieces


def _meet(a: Upright, b: Upright) -> bool:
    return a.low <= b.high + CLEAR and b.low <= a.high + CLEAR


def _crossings(left: Upright, right: Upright) -> int:
    """Crossings when one upright stands left of another; `BAD` where lines would coincide."""
    found = 0
    for y, side in left.ends:
        if side == "R":
            if any(y == other and way == "L" for other, way in right.ends):
                return BAD
            found += right.low <= y <= right.high
    for y, side in right.ends:
        if side == "L":
            found += left.low <= y <= left.high
    return found
