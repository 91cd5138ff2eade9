"""The smallest set against looking at every set, on problems made at random."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.fixing.smallest import Chosen, smallest


@dataclass(frozen=True)
class Problem:
    """Things left: each cleared by any of some sets of choices, and brought back by others.

    A thing with `at_first` false is not there until a choice brings it.
    """

    choices: int
    clears: tuple[tuple[Chosen, ...], ...]
    brings: tuple[Chosen, ...]
    at_first: tuple[bool, ...]
    clash: dict[int, frozenset[int]]

    def left(self, chosen: Chosen) -> frozenset[int]:
        found = set()
        for thing, ways in enumerate(self.clears):
            there = self.at_first[thing] or bool(self.brings[thing] & chosen)
            if there and not any(way <= chosen for way in ways):
                found.add(thing)
        return frozenset(found)

    def touching(self, chosen: Chosen, thing: int) -> Iterable[int]:
        return frozenset().union(*self.clears[thing], self.brings[thing])

    def allowed(self, chosen: Iterable[int]) -> bool:
        return not any(b in self.clash.get(a, ()) for a, b in combinations(sorted(chosen), 2))

    def brute(self) -> int | None:
        """The size of the smallest set that leaves nothing, by looking at all of them."""
        for size in range(self.choices + 1):
            for one in combinations(range(self.choices), size):
                if self.allowed(one) and not self.left(frozenset(one)):
                    return size
        return None


@st.composite
def problems(draw: st.DrawFn) -> Problem:
    choices = draw(st.integers(1, 7))
    things = draw(st.integers(0, 6))
    some = st.frozensets(st.integers(0, choices - 1), max_size=2)
    full = st.frozensets(st.integers(0, choices - 1), min_size=1, max_size=3)
    clears = tuple(tuple(draw(st.lists(full, max_size=3))) for _ in range(things))
    brings = tuple(draw(some) for _ in range(things))
    first = tuple(draw(st.booleans()) for _ in range(things))
    pairs = draw(st.lists(st.tuples(*[st.integers(0, choices - 1)] * 2), max_size=3))
    clash: dict[int, frozenset[int]] = {}
    for a, b in pairs:
        if a != b:
            clash[a] = clash.get(a, frozenset()) | {b}
            clash[b] = clash.get(b, frozenset()) | {a}
    return Problem(choices, clears, brings, first, clash)


@given(problems())
@settings(max_examples=600, deadline=None)
def test_it_is_as_small_as_any(problem: Problem) -> None:
    found = smallest(problem.left, problem.touching, problem.clash, seconds=60)
    best = problem.brute()
    assert found.proved
    assert found.left == problem.left(found.chosen)
    assert problem.allowed(found.chosen)
    if best is None:
        assert found.left
    else:
        assert not found.left
        assert len(found.chosen) == best


@pytest.mark.parametrize("size", [0, 1, 4])
def test_things_that_each_need_their_own_choice(size: int) -> None:
    ways = tuple((frozenset({n}),) for n in range(size))
    problem = Problem(6, ways, (frozenset(),) * size, (True,) * size, {})
    assert len(smallest(problem.left, problem.touching).chosen) == size


def test_one_choice_for_all_beats_one_for_each() -> None:
    ways = tuple((frozenset({n}), frozenset({9})) for n in range(9))
    problem = Problem(10, ways, (frozenset(),) * 9, (True,) * 9, {})
    assert smallest(problem.left, problem.touching).chosen == {9}


def test_without_time_the_best_found_is_not_called_proved() -> None:
    ways = tuple((frozenset({n}),) for n in range(5))
    problem = Problem(5, ways, (frozenset(),) * 5, (True,) * 5, {})
    found = smallest(problem.left, problem.touching, seconds=-1.0)
    assert not found.proved and found.looked_at == 1 and len(found.left) == 5
