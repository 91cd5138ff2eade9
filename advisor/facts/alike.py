"""Derivations about what the packs of a battery have in common, and what sets them apart."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.facts.assembly import pick
from advisor.facts.derivation import Derivation, Result, derive
from advisor.facts.packs import LEAD

Values = Sequence[float]

FOLLOWING = ("bms", "controller")
"""Drivers of a contactor that opens when a management with an external contactor says so."""


def _management(kinds: Sequence[str]) -> Result:
    if not kinds:
        return None
    if all(kind in ("internal-switch", "external-contactor") for kind in kinds):
        return "full"
    return "none" if all(kind == "none" for kind in kinds) else "partial"


def _opens(kinds: Sequence[str | None] | None, drivers: Sequence[str | None] | None) -> Result:
    """True with one switch or contactor that follows the management; false when none can.

    A controller that drives a contactor hears the management.
    """
    if not kinds:
        return None
    if "internal-switch" in kinds:
        return True
    if None in kinds:
        return None
    if "external-contactor" not in kinds:
        return False
    return None if drivers is None else _any_true([_follows(one) for one in drivers] or [False])


def _follows(driver: str | None) -> bool | None:
    return None if driver is None else driver in FOLLOWING


def _differ(values: Sequence[object]) -> Result:
    return len(set(values)) > 1


def _spread(values: Values) -> Result:
    return max(values) - min(values) if len(values) > 1 else 0.0


def _capacity_differs(values: Values) -> Result:
    return bool(values) and max(values) - min(values) > 0.02 * max(values)


def _one_listed(identities: Sequence[object]) -> Result:
    return False if len(identities) == 1 else None


def _all_true(found: Sequence[bool | None] | None) -> Result:
    """False as soon as one is known to be false; true only when every one is known to be true."""
    if not found:
        return None
    if any(one is False for one in found):
        return False
    return True if all(found) else None


def _any_true(found: Sequence[bool | None] | None) -> Result:
    """True as soon as one is known to be true; false only when every one is known to be false."""
    if not found:
        return None
    if any(found):
        return True
    return False if all(one is False for one in found) else None


def _any_is(word: str, found: Sequence[str | None] | None) -> Result:
    """Whether any of these words is this one; an unknown word may be it."""
    return _any_true([None if one is None else one == word for one in found or ()])


def _own_devices(
    inside: Sequence[bool],
    fuses: Sequence[str | None] | None,
    breakers: Sequence[str | None] | None,
    packs: float,
) -> Result:
    """True when there are enough; undecided while a device may exist whose role is not stated."""
    listed = [*(fuses or ()), *(breakers or ())]
    if sum(inside) + listed.count("pack") >= packs:
        return True
    return None if fuses is None or breakers is None or None in listed else False


DERIVATIONS: list[Derivation] = [
    derive("battery.bms", "bms[].kind", _management, "the management systems of all packs"),
    derive(
        "battery.opened_by_management",
        "bms[].kind? contactor[].driver?",
        _opens,
        "the switches of the packs, and the contactors that follow a management",
    ),
    derive(
        "battery.any_pack_without_bms",
        "bms[].kind?",
        lambda kinds: _any_is("none", kinds),
        "at least one pack is stated without",
    ),
    derive(
        "battery.low_temperature_charge_block",
        "bms[].low_temperature_charge_block?",
        _all_true,
        "every pack blocks",
    ),
    derive(
        "battery.regen_blocked_cold",
        "bms[].low_temperature_charge_block?",
        _any_true,
        "one pack that blocks is enough to refuse",
    ),
    derive(
        "battery.precharge_built_in",
        "bms[].precharge_built_in",
        lambda found: all(found) if found else None,
        "every pack charges the bus softly",
    ),
    derive(
        "battery.can_stop_charger",
        "bms[].can_stop_charger?",
        _all_true,
        "every pack can stop the charger",
    ),
    derive(
        "battery.can_open_discharge",
        "bms[].can_open_discharge",
        lambda found: any(found) if found else None,
        "one pack that can is enough to end the drive",
    ),
    derive(
        "battery.lithium_and_lead",
        "pack[].chemistry",
        lambda found: len({one in LEAD for one in found}) > 1,
        "both kinds are listed as traction packs",
    ),
    *(
        derive(f"battery.{name}", "pack[].present", _one_listed, "all packs are listed as one kind")
        for name in (
            "chemistry_differs",
            "cells_differ",
            "capacity_differs",
            "model_differs",
            "age_differs",
            "lot_differs",
        )
    ),
    derive("battery.chemistry_differs", "pack[].chemistry", _differ, "the words differ"),
    derive("battery.cells_differ", "pack[].cells_in_series", _differ, "the counts differ"),
    derive("battery.capacity_differs", "pack[].capacity", _capacity_differs, "by more than 2 %"),
    derive("battery.model_differs", "pack[].model", _differ, "the marks differ"),
    derive(
        "battery.age_differs",
        "pack[].age",
        lambda ages: max(ages) - min(ages) > 365.25 * 86400 if ages else None,
        "ages differ by more than a year",
    ),
    derive("battery.lot_differs", "pack[].lot", _differ, "the marks differ"),
    derive(
        "battery.resting_spread", "pack[].resting_voltage", _spread, "highest less lowest reading"
    ),
    derive(
        "battery.packs_have_own_device",
        "pack[].internal_fuse",
        lambda found: True if found and all(found) else None,
        "each has a fuse inside",
    ),
    derive(
        "battery.packs_have_own_device",
        "pack[].internal_fuse fuse[].role? breaker[].role? battery.pack_count",
        _own_devices,
        "fuses inside and devices with the role `pack` against the number of packs",
    ),
    derive("battery.series_limit", "pack[].series_limit", pick(min), "the strictest maker decides"),
    derive(
        "battery.parallel_limit", "pack[].parallel_limit", pick(min), "the strictest maker decides"
    ),
    derive(
        "battery.separate_ports",
        "bms[].port?",
        lambda found: _any_is("separate", found),
        "one pack with separate ports is enough",
    ),
]
