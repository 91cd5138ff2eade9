"""A bridged contact is named, also where the drive hangs on the same bars."""

from __future__ import annotations

from advisor.wiring.plan import Consumer, Joint, Plan, Supply
from advisor.wiring.topology import Topology, topology_of


def plan(*more: Joint) -> Topology:
    """One pack, a drive behind `main`, a converter behind `aux`; neither coil is wired."""
    runs = [
        ("pack.plus", "main.in"), ("main.out", "ctrl.plus"), ("ctrl.minus", "pack.minus"),
        ("main.out", "aux.in"), ("aux.out", "conv.in-plus"), ("conv.in-minus", "pack.minus"),
    ]  # fmt: skip
    joints = [Joint(f"w{n}", a, b, "run", f"w{n}") for n, (a, b) in enumerate(runs)]
    joints += [
        Joint(name, f"{name}.in", f"{name}.out", "switch", name, "contactor")
        for name in ("main", "aux")
    ]
    every = (*joints, *more)
    return topology_of(
        Plan(
            every,
            (
                Supply("pack", "pack.plus", "pack.minus", "pack"),
                Supply("conv", "conv.out-plus", "conv.out-minus", "converter"),
            ),
            (
                Consumer("ctrl", "ctrl", "ctrl.plus", "ctrl.minus", "drive"),
                Consumer("conv", "conv", "conv.in-plus", "conv.in-minus", "converter"),
            ),
            tuple(one.name for one in every if one.kind == "run"),
            (),
            frozenset(end for one in every for end in (one.a, one.b)),
            True,
        )
    )


def bridge(a: str, b: str) -> Joint:
    return Joint("extra", a, b, "run", "extra")


def test_without_a_bridge_nothing_is_told() -> None:
    assert plan().bridged_contacts == {}


def test_a_contact_beside_the_drive_is_told() -> None:
    """Its ends hang on the drive's own bar; the drive is cut by its own contactor all the same."""
    assert plan(bridge("aux.in", "aux.out")).bridged_contacts == {"aux": "aux > extra > aux"}


def test_the_contactor_of_the_drive_is_told_of_the_drive() -> None:
    topology = plan(bridge("main.in", "main.out"))
    assert topology.bridged_contacts == {}
    assert topology.key_off.fed("ctrl")


def test_a_cable_past_both_is_told_of_the_one_that_the_drive_does_not_tell() -> None:
    """From the pack straight to the converter: it stays fed, the drive too, backwards over aux."""
    topology = plan(bridge("pack.plus", "conv.in-plus"))
    assert topology.key_off.fed("conv")
    assert set(topology.bridged_contacts) <= {"main", "aux"}
