"""More miswired copies, screened: the rule, its part, and the whole way in order.

`test_miswired_named.py` names the copies of `test_miswired.py`; here are the hazards that have no
copy there, and whole ways for those that have. The ways were traced by finger on the list of
cables. Hazards that no finding names yet are in `test_missed_hazards.py`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

import pytest

from tests.wiring.rewiring import NO_PACK_FUSE, PARALLEL, SERIES, at, heavy
from tests.wiring.test_miswired import clean, moved, with_extra
from tests.wiring.test_miswired_named import MORE, findings

PLUS = "pack-a > pack-to-fuse > main-fuse > fuse-to-switch > main-switch > switch-to-bus > plus-bus"
MINUS = "minus-bus > bus-to-shunt > meter > shunt-to-pack > pack-a"
DRIVE = f"bus-to-contactor > main-contactor > contactor-to-drive > ctrl-1 > drive-to-bus > {MINUS}"


def with_breaker(start: str, stop: str) -> str:
    """The main fuse replaced by a breaker that is marked for one direction."""
    fuse = re.search(r"    - {id: main-fuse, [^}]*}\n", clean())
    assert fuse is not None
    breaker = fuse[0].replace("kind: class-t", "kind: magnetic, polarised: yes")
    return moved(
        (fuse[0], ""),
        ("  disconnects:\n", f"  breakers:\n{breaker}  disconnects:\n"),
        at("pack-to-fuse", "pack-a.plus", start),
        at("fuse-to-switch", stop, "main-switch.in"),
    )


@dataclass(frozen=True)
class Hazard:
    """A miswired copy, what must be said about it, and the same vehicle wired well."""

    name: str
    text: str
    rule: str
    about: str
    words: str
    good: str


def orchard(name: str, text: str, rule: str, about: str, words: str) -> Hazard:
    return Hazard(name, text, rule, about, words, clean())


PAST_SHUNT = moved(at("converter-return", "conv-12.in-minus", "meter.battery"))
CELLS_ON_BUS = with_extra("pack-a.cells-minus", "minus-bus.stud-6")
BARE_CHARGER = moved(at("charge-lead", "pack-a.plus", "charger-a.plus"), *NO_PACK_FUSE)
SHARED_FAMILY = MORE[-1][2]
OTHER_FAMILY = SHARED_FAMILY.replace(
    "lamp-plug, family: genderless-50", "lamp-plug, family: barrel"
)

NAMED = [
    orchard(
        "current past the shunt", PAST_SHUNT, "current-past-the-shunt", "conv-12",
        f"{PLUS} > converter-strap > converter-fuse > converter-lead > conv-12 > "
        "converter-return > shunt-to-pack > pack-a",
    ),
    orchard(
        "a cable past the management switch, on the bus", CELLS_ON_BUS,
        "management-bypassed-by-a-cable", "pack-a",
        "pack-a > shunt-to-pack > meter > bus-to-shunt > minus-bus > extra > pack-a",
    ),
    orchard(
        "and the drive current that takes it", CELLS_ON_BUS, "current-past-the-management",
        "ctrl-1",
        f"{PLUS} > bus-to-contactor > main-contactor > contactor-to-drive > ctrl-1 > "
        "drive-to-bus > minus-bus > extra > pack-a",
    ),
    orchard(
        "and the loop it closes", CELLS_ON_BUS, "cable-in-a-loop", "extra",
        "pack-a > shunt-to-pack > meter > bus-to-shunt > minus-bus",
    ),
    orchard(
        "a charger past every fuse", BARE_CHARGER, "current-past-every-device", "charger-a",
        "pack-a > charge-lead > charger-a",
    ),
    orchard(
        "and the dead end that it leaves", BARE_CHARGER, "cable-leads-nowhere-live", "charge-strap",
        f"{PLUS} > charge-strap",
    ),
    orchard(
        "and the fuse that hangs on it", BARE_CHARGER, "device-connected-at-one-end", "charge-fuse",
        "no listed cable at one of its ends",
    ),
    orchard(
        "the drive past the disconnect", with_extra("main-switch.in", "main-switch.out"),
        "drive-past-the-disconnect", "ctrl-1",
        "pack-a > pack-to-fuse > main-fuse > fuse-to-switch > extra > switch-to-bus > plus-bus > "
        + DRIVE,
    ),
    orchard(
        "the contactor is bridged", with_extra("main-contactor.in", "main-contactor.out"),
        "drive-fed-with-key-off", "ctrl-1",
        f"{PLUS} > bus-to-contactor > extra > contactor-to-drive > ctrl-1 > drive-to-bus > {MINUS}",
    ),
    orchard(
        "the charger returns through the frame",
        moved(
            at("charge-return", "charger-a.minus", "vehicle.frame"),
            heavy(("vehicle.frame", "minus-bus.stud-3")),
        ),
        "returns-through-the-frame", "charger-a",
        f"{PLUS} > charge-strap > charge-fuse > charge-lead > charger-a > charge-return > "
        f"heavy-1 > {MINUS}",
    ),
    orchard(
        "both poles on the frame",
        moved(heavy(("plus-bus.stud-6", "vehicle.frame"), ("vehicle.frame", "minus-bus.stud-6"))),
        "pack-shorted-by-the-plan", "pack-a", f"{PLUS} > heavy-1 > heavy-2 > {MINUS}",
    ),
    orchard(
        "charger plus and minus exchanged",
        moved(
            at("charge-lead", "charge-fuse.out", "charger-a.minus"),
            at("charge-return", "charger-a.plus", "minus-bus.stud-3"),
        ),
        "supply-polarity-reversed", "charger-a",
        "pack-a > shunt-to-pack > meter > bus-to-shunt > minus-bus > charge-return > charger-a > "
        "charge-lead > charge-fuse > charge-strap > plus-bus > switch-to-bus > main-switch > "
        "fuse-to-switch > main-fuse > pack-to-fuse > pack-a",
    ),
    orchard(
        "a lamp's plus and minus exchanged",
        moved(
            at("left-lead", "left-fuse.out", "lamp-left.minus"),
            at("left-return", "lamp-left.plus", "lamp-minus.stud-2"),
        ),
        "supply-polarity-reversed", "lamp-left",
        "conv-12 > low-return > lamp-minus > left-return > lamp-left > left-lead > left-fuse > "
        "left-strap > lamp-plus > relay-to-lamps > lamp-relay > low-to-relay > lamp-fuse > "
        "low-lead > conv-12",
    ),
    orchard(
        "both ends of the converter on the plus bar",
        moved(at("converter-return", "conv-12.in-minus", "plus-bus.stud-6")),
        "part-shorted-out", "conv-12",
        f"{PLUS} > converter-strap > converter-fuse > converter-lead > conv-12 > "
        "converter-return > plus-bus > switch-to-bus",
    ),
    orchard(
        "the converter past its own fuse",
        moved(at("converter-lead", "pack-a.plus", "conv-12.in-plus"), *NO_PACK_FUSE),
        "current-past-every-device", "conv-12", "pack-a > converter-lead > conv-12",
    ),
    orchard(
        "the case of the pack on its minus", with_extra("pack-a.case", "pack-a.minus"),
        "pack-case-tied-to-a-pole", "pack-a", "The case of pack-a",
    ),
    Hazard(
        "8 in of bare cable before the first fuse, where 7 in are allowed",
        moved(at("pack-to-fuse", "pack-a.plus", "main-fuse.in", length="8 in", place="free-air"),
              *NO_PACK_FUSE),
        "cable-without-device-in-reach", "pack-to-fuse", "Way: pack-a > pack-to-fuse",
        moved(at("pack-to-fuse", "pack-a.plus", "main-fuse.in", length="7 in", place="free-air"),
              *NO_PACK_FUSE),
    ),
    Hazard(
        "a polarised breaker mounted backwards", with_breaker("main-fuse.out", "main-fuse.in"),
        "breaker-mounted-backwards", "main-fuse", "from out to in",
        with_breaker("main-fuse.in", "main-fuse.out"),
    ),
    Hazard(
        "a light on the lower of two packs", clean(SERIES),
        "fed-from-part-of-the-string", "beacon",
        "lower-pack > beacon-tap > beacon-fuse > beacon-lead > beacon > beacon-return > "
        "minus-bus > bus-to-shunt > hall-meter > shunt-to-pack > lower-pack",
        moved(at("beacon-tap", "upper-pack.plus", "beacon-fuse.in", SERIES), sheet=SERIES),
    ),
    Hazard(
        "the second of two parallel packs the wrong way round",
        moved(at("chain-plus", "twin-right.minus", "twin-left.plus", PARALLEL),
              at("chain-minus", "twin-right.plus", "twin-left.minus", PARALLEL), sheet=PARALLEL),
        "pack-shorted-by-the-plan", "twin-left",
        "twin-left > chain-plus > twin-right and twin-left > chain-minus > twin-right",
        clean(PARALLEL),
    ),
    Hazard(
        "one family of connectors in two circuits, told of the other one as well", SHARED_FAMILY,
        "connectors-can-be-exchanged", "lamp-plug", "charge-plug", OTHER_FAMILY,
    ),
]  # fmt: skip


@pytest.mark.parametrize("hazard", NAMED, ids=lambda one: one.name)
def test_a_hazard_is_named_with_its_way(hazard: Hazard) -> None:
    found = findings(hazard.text)
    assert (hazard.rule, hazard.about) in found, sorted(found)
    assert hazard.words in found[hazard.rule, hazard.about].text


@pytest.mark.parametrize("hazard", NAMED, ids=lambda one: one.name)
def test_the_same_vehicle_wired_well_has_no_such_finding(hazard: Hazard) -> None:
    assert (hazard.rule, hazard.about) not in findings(hazard.good)


def test_the_clean_vehicle_has_no_finding_of_these_rules() -> None:
    rules = {one.rule for one in NAMED}
    assert not {key for key in findings(clean()) if key[0] in rules}
