"""The smallest set of choices after which nothing wanted is left, with a proof or without.

Best-first over sets. A set is followed only by choices that can touch one of the things still left:
every solution that contains the set must hold one of them. Sets are looked at in the order of their
size and of a bound on what is still needed, so the first that leaves nothing is a smallest one.
"""

from __future__ import annotations

import heapq
import time
from collections.abc import Callable, Collection, Hashable, Iterable, Mapping
from dataclasses import dataclass
from typing import Generic, TypeVar

T = TypeVar("T", bound=Hashable)
Chosen = frozenset[int]
_NONE: Chosen = frozenset()


@dataclass(frozen=True, slots=True)
class Found(Generic[T]):
    """The best set, what it leaves, how many sets were looked at, and whether none is smaller.

    `proved` holds for a set that leaves nothing, and also where no set does: `left` is then the
    least that any leaves of those looked at.
    """

    chosen: Chosen
    left: frozenset[T]
    looked_at: int
    proved: bool


def smallest(
    left: Callable[[Chosen], frozenset[T]],
    touching: Callable[[Chosen, T], Iterable[int]],
    clash: Mapping[int, frozenset[int]] | None = None,
    seconds: float = 10.0,
    tell: Callable[[int, int], None] = lambda done, total: None,
) -> Found[T]:
    """The smallest set of choices that leaves nothing.

    `left` gives what a set of choices leaves; `touching` the choices that can change whether one
    thing is left beside a set (more than those that do is allowed, fewer is not). `clash` are
    choices that exclude each other. Ends after some seconds with the best found so far.
    """
    clash = clash or {}
    until = time.monotonic() + seconds
    best: tuple[int, int, Chosen, frozenset[T]] | None = None
    first: frozenset[T] | None = None
    queue: list[tuple[int, int, int, Chosen]] = [(0, 0, 0, frozenset())]
    seen: set[Chosen] = {frozenset()}
    number = looked_at = 0
    while queue:
        _, _, _, chosen = heapq.heappop(queue)
        rest = left(chosen)
        looked_at += 1
        tell(looked_at, 0)
        first = rest if first is None else first
        if best is None or (len(rest), len(chosen)) < best[:2]:
            best = (len(rest), len(chosen), chosen, rest)
        if not rest:
            return Found(chosen, rest, looked_at, True)
        if time.monotonic() > until:
            return Found(best[2], best[3], looked_at, False)
        shut = frozenset().union(*(clash.get(one, _NONE) for one in chosen)) | chosen
        ways = {one: frozenset(touching(chosen, one)) - shut for one in rest}
        if not all(ways.values()):
            continue  # something left can be touched by nothing more: no larger set helps
        needed = _apart(ways.values())
        broken = [ways[one] for one in rest - first]
        for more in _next(ways.values(), broken):
            larger = chosen | more
            if larger not in seen and not any(clash.get(one, _NONE) & more for one in more):
                seen.add(larger)
                number += 1
                least = len(chosen) + max(needed, 1)
                heapq.heappush(queue, (least, len(rest), number, larger))
    assert best is not None
    return Found(best[2], best[3], looked_at, True)


def _next(
    ways: Collection[frozenset[int]], broken: Collection[frozenset[int]]
) -> list[frozenset[int]]:
    """What to add to a set: all that only one choice can touch, else each choice of the fewest.

    Every solution holds the only choice of each such thing, so they are added together. Of equals
    come first those of what the choices broke themselves, which is the likeliest to lead nowhere.
    """
    only = frozenset().union(*(way for way in ways if len(way) == 1))
    if only:
        return [only]
    fewest = min(len(one) for one in ways)
    narrow = [one for one in broken if len(one) == fewest] or ways
    chosen = min(narrow, key=_late)
    return [frozenset({one}) for one in sorted(chosen)]


def _apart(ways: Iterable[frozenset[int]]) -> int:
    """How many of some sets have nothing in common, picked greedily: so many choices are needed."""
    used: set[int] = set()
    count = 0
    for way in sorted(ways, key=_order):
        if not way & used:
            used |= way
            count += 1
    return count


def _late(way: frozenset[int]) -> tuple[int, int]:
    """The fewest choices first; of equals the latest, which are the likeliest to lead nowhere."""
    return len(way), -max(way)


def _order(way: frozenset[int]) -> tuple[int, list[int]]:
    return len(way), sorted(way)


__all__ = ["Found", "smallest"]
