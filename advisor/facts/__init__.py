"""Facts of a build: everything that can be computed, looked up or must be assumed, with origins."""

from __future__ import annotations

from advisor.facts import (
    alike,
    assembly,
    auxiliary,
    charging,
    drive,
    expected_battery,
    expected_drive,
    expected_isolation,
    expected_supply,
    packs,
    placing,
    protection,
    runs,
    standing,
    switching,
    vehicle,
)
from advisor.facts.derivation import Derivation
from advisor.facts.graph import Facts
from advisor.facts.origins import Key
from advisor.sheet.build import Build

__all__ = ["DERIVATIONS", "Facts", "facts_of"]


def _by_key(lists: list[list[Derivation]]) -> dict[Key, tuple[Derivation, ...]]:
    found: dict[Key, tuple[Derivation, ...]] = {}
    for derivations in lists:
        for one in derivations:
            key = (one.subject, one.attribute)
            found[key] = (*found.get(key, ()), one)
    return found


DERIVATIONS = _by_key(
    [
        module.DERIVATIONS
        for module in (
            packs,
            assembly,
            alike,
            drive,
            switching,
            protection,
            charging,
            auxiliary,
            standing,
            runs,
            placing,
            vehicle,
            expected_battery,
            expected_drive,
            expected_isolation,
            expected_supply,
        )
    ]
)
"""Every derivation by (subject, attribute), in the order they are tried."""


def facts_of(build: Build) -> Facts:
    """The facts of a build."""
    return Facts(build, DERIVATIONS)
