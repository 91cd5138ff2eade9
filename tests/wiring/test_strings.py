"""Packs that stand against their string: two, three, and packs side by side."""

from __future__ import annotations

from advisor.wiring.plan import Consumer, Joint, Plan, Supply
from advisor.wiring.strings import opposed
from advisor.wiring.topology import Topology, topology_of
from tests.wiring.rewiring import PARALLEL, SERIES, at
from tests.wiring.test_miswired import clean, moved
from tests.wiring.test_miswired_named import findings

RULE = "pack-against-its-string"


def told(text: str) -> set[str]:
    return {about for rule, about in findings(text) if rule == RULE}


def test_clean_plans_tell_nothing() -> None:
    assert not told(clean(SERIES))
    assert not told(clean(PARALLEL))
    assert not told(clean("twin-packs-in-parallel"))


def test_of_two_packs_the_one_against_the_poles_is_named() -> None:
    lower = moved(
        at("series-link", "lower-pack.plus", "upper-pack.plus", SERIES),
        at("pack-to-fuse", "upper-pack.minus", "main-fuse.in", SERIES),
        sheet=SERIES,
    )
    assert told(lower) == {"upper-pack"}


def test_a_whole_battery_reversed_is_told_of_the_parts_it_feeds() -> None:
    """No pack stands against another then: it is the polarity of every consumer."""
    text = moved(
        at("series-link", "lower-pack.minus", "upper-pack.plus", SERIES),
        at("pack-to-fuse", "upper-pack.minus", "main-fuse.in", SERIES),
        at("shunt-to-pack", "hall-meter.battery", "lower-pack.plus", SERIES),
        sheet=SERIES,
    )
    assert not told(text)
    assert ("supply-polarity-reversed", "hall-ctrl") in findings(text)


def small_plan(packs: str, runs: list[tuple[str, str]]) -> Topology:
    """Packs named by one letter, a drive `ctrl`, and bare runs."""
    joints = [Joint(f"w{n}", a, b, "run", f"w{n}") for n, (a, b) in enumerate(runs)]
    return topology_of(
        Plan(
            tuple(joints),
            tuple(Supply(one, f"{one}.plus", f"{one}.minus", "pack") for one in packs),
            (Consumer("ctrl", "ctrl", "ctrl.plus", "ctrl.minus", "drive"),),
            tuple(one.name for one in joints),
            (),
            frozenset(end for pair in runs for end in pair),
            True,
        )
    )


def test_of_three_packs_the_odd_one_is_named() -> None:
    right = [("ctrl.minus", "a.minus"), ("a.plus", "b.minus"), ("b.plus", "c.minus")]
    assert opposed(small_plan("abc", [*right, ("c.plus", "ctrl.plus")])) == {}
    turned = [("ctrl.minus", "a.minus"), ("a.plus", "b.plus"), ("b.minus", "c.minus")]
    found = opposed(small_plan("abc", [*turned, ("c.plus", "ctrl.plus")]))
    assert found == {"b": "a > w1 > b and b > w2 > c"}


def test_of_three_packs_two_turned_name_the_one_that_stands_alone() -> None:
    """Two of three turned: the battery works backwards, and the third stands against it."""
    turned = [("ctrl.minus", "a.minus"), ("a.plus", "b.plus"), ("b.minus", "c.plus")]
    found = opposed(small_plan("abc", [*turned, ("c.minus", "ctrl.plus")]))
    assert set(found) == {"a"}


def test_two_strings_side_by_side_joined_in_the_middle_are_right() -> None:
    runs = [
        ("ctrl.minus", "a.minus"), ("a.plus", "b.minus"), ("b.plus", "ctrl.plus"),
        ("ctrl.minus", "c.minus"), ("c.plus", "d.minus"), ("d.plus", "ctrl.plus"),
    ]  # fmt: skip
    assert opposed(small_plan("abcd", runs)) == {}
    assert opposed(small_plan("abcd", [*runs, ("a.plus", "c.plus")])) == {}
