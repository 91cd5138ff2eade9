"""Every miswired copy of a clean vehicle, screened: the hazard is named, with its part and way.

The ways were traced by finger on the list of cables; the program judges with both evaluators.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

import pytest

from advisor.engine import Judge
from advisor.findings.report_model import Finding
from advisor.findings.screening import screen
from advisor.rules import load_rulesets
from advisor.rules.rule import RuleBook
from advisor.sheet.reading import read_sheet_bytes
from advisor.wiring.survey import surveyed
from tests.wiring.test_miswired import CASES, clean, end, moved, with_extra

Found = Mapping[tuple[str, str], Finding]
TWIN = "twin-packs-in-parallel"


@cache
def judging() -> tuple[RuleBook, Judge]:
    book = load_rulesets(examples=False)
    return book, Judge(book)


@cache
def findings(text: str) -> Found:
    book, judge = judging()
    build = read_sheet_bytes(text.encode(), "sheet.yaml")
    found = screen(build, book, judge, "wiring", facts=surveyed(build))
    return {(one.rule.name, one.about): one for one in found.all_findings()}


MAIN = "pack-a > pack-to-fuse > main-fuse > fuse-to-switch > main-switch > switch-to-bus > plus-bus"
BACK = "minus-bus > bus-to-shunt > meter > shunt-to-pack > pack-a"

NAMED = [
    [
        ("device-too-large-for-conductor", "converter-lead", "400 A"),
        ("disconnect-leaves-parts-alive", "main-switch", "conv-12"),
    ],
    [("current-past-the-shunt", "conv-12", "converter-return > shunt-to-pack > pack-a")],
    [
        ("current-past-the-management", "charger-a", "charger-a > charge-return > pack-a"),
        ("current-past-the-shunt", "charger-a", "charger-a > charge-return > pack-a"),
    ],
    [("supply-polarity-reversed", "conv-12", "minus-bus > converter-return > conv-12")],
    [
        ("returns-through-the-frame", "ctrl-1", f"ctrl-1 > drive-to-bus > extra > {BACK}"),
        ("conductor-too-small", "extra", "15 A"),
    ],
    [
        ("part-without-supply", "horn", "horn.plus"),
        ("cable-leads-nowhere", "horn-return", "lamp-minus > horn-return"),
    ],
    [("pack-shorted-by-the-plan", "pack-a", f"{MAIN} > extra > {BACK}")],
    [
        ("cable-leads-nowhere-live", "horn-strap", "lamp-plus > horn-strap"),
        ("device-connected-at-one-end", "horn-fuse", "horn-fuse"),
        ("part-without-supply", "horn", "horn.plus"),
    ],
    [
        ("key-line-fed-with-key-off", "ctrl-1", "control-fuse > key-lead"),
        (
            "relay-held-with-key-off",
            "lamp-relay",
            f"{MAIN} > control-strap > control-fuse > key-lead",
        ),
        ("cable-in-a-loop", "extra", "key-a"),
    ],
    [
        ("coil-fed-with-key-off", "main-contactor", f"{MAIN} > key-to-coil > main-contactor"),
        ("drive-fed-with-key-off", "ctrl-1", f"{MAIN} > bus-to-contactor > main-contactor"),
        ("thinner-cable-behind-a-large-device", "key-to-coil", "main-fuse"),
    ],
    [
        ("drive-fed-with-key-off", "ctrl-1", f"{MAIN} > bus-to-contactor > extra > ctrl-1"),
        ("thinner-cable-behind-a-large-device", "extra", "main-fuse"),
    ],
    [
        (
            "drive-past-the-disconnect",
            "ctrl-1",
            "fuse-to-switch > extra > switch-to-bus > plus-bus",
        ),
        ("disconnect-leaves-parts-alive", "main-switch", "ctrl-1, charger-a, conv-12"),
    ],
    [
        ("current-past-every-device", "ctrl-1", "pack-a > pack-to-fuse > main-switch"),
        ("cable-without-device-in-reach", "bus-to-contactor", "pack-to-fuse > main-switch"),
    ],
]


@pytest.mark.parametrize(
    ("text", "named"),
    [(one[1], named) for one, named in zip(CASES, NAMED, strict=True)],
    ids=[one[0] for one in CASES],
)
def test_a_moved_cable_is_named(text: str, named: list[tuple[str, str, str]]) -> None:
    new = {key: one for key, one in findings(text).items() if key not in findings(clean())}
    for rule, about, words in named:
        assert (rule, about) in new, sorted(new)
        assert words in new[rule, about].text


def change(old: str, new: str, sheet: str) -> str:
    return moved((old, new), sheet=sheet)


MORE = [
    (
        "a cable of more than 7 in before the fuse",
        "orchard-four-seater",
        moved(("to: main-fuse.in, circuit: traction, protected_by: main-fuse, gauge: 3/0 AWG, "
               "size_system: awg, length: 7 in",
               "to: main-fuse.in, circuit: traction, protected_by: main-fuse, gauge: 3/0 AWG, "
               "size_system: awg, length: 80 in"),
              ("internal_fuse: yes", "internal_fuse: no"),
              ("      internal_fuse_rating: 400 A\n", ""),
              ("      internal_fuse_dc_voltage: 80 V\n", "")),
        ("cable-without-device-in-reach", "pack-to-fuse", "pack-a > pack-to-fuse"),
    ),
    (
        "a thin precharge lead behind the main fuse",
        TWIN,
        change("to: soft-start.in, circuit: precharge, protected_by: main-fuse, gauge: 4 AWG, "
               "size_system: awg, length: 5 in",
               "to: soft-start.in, circuit: precharge, protected_by: main-fuse, gauge: 18 AWG, "
               "size_system: awg, length: 6 ft", TWIN),
        ("thinner-cable-behind-a-large-device", "soft-start-in", "main-fuse with 150 A"),
    ),
    (
        "parallel packs with unequal leads",
        TWIN,
        change("to: pack-minus.stud-2, circuit: traction, protected_by: fuse-b, gauge: 1/0 AWG, "
               "size_system: awg, length: 29 in",
               "to: pack-minus.stud-2, circuit: traction, protected_by: fuse-b, gauge: 8 AWG, "
               "size_system: awg, length: 29 ft", TWIN),
        ("packs-share-unequally", "pack-a", "of an equal share"),
    ),
    (
        "12 V taken from the lower of two packs",
        "two-lots-in-series",
        clean("two-lots-in-series"),
        ("fed-from-part-of-the-string", "beacon", "lower-pack > beacon-tap"),
    ),
    (
        "the meter lead ahead of its fuse",
        "campus-ac-drive",
        change("id: meter-lead, from: meter-fuse.out", "id: meter-lead, from: pack-36.plus",
               "campus-ac-drive"),
        ("device-too-large-for-conductor", "meter-lead", "425 A"),
    ),
    (
        "a precharge resistor that nothing switches",
        TWIN,
        change("place: across-contactor, controlled_by: controller",
               "place: across-contactor, controlled_by: none", TWIN),
        ("precharge-conducts-with-key-off", "soft-start", "soft-start-in > soft-start"),
    ),
    (
        "one family of connectors in the charge and in the 12 V circuit",
        TWIN,
        moved(("\nparts:\n",
               "\nparts:\n  connectors:\n"
               "    - {id: charge-plug, family: genderless-50, voltage_rating: 80 V}\n"
               "    - {id: lamp-plug, family: genderless-50, voltage_rating: 80 V}\n"),
              ("id: inlet-lead, from: charge-fuse.out, to: side-inlet.plus",
               "id: plug-lead, from: charge-fuse.out, to: charge-plug.in, gauge: 8 AWG}\n"
               "  - {id: inlet-lead, from: charge-plug.out, to: side-inlet.plus"),
              ("id: lamp-lead, from: lamp-fuse.out, to: lamps.plus",
               "id: bulb-lead, from: lamp-fuse.out, to: lamp-plug.in, gauge: 14 AWG}\n"
               "  - {id: lamp-lead, from: lamp-plug.out, to: lamps.plus"), sheet=TWIN),
        ("connectors-can-be-exchanged", "charge-plug", "lamp-plug"),
    ),
]  # fmt: skip


@pytest.mark.parametrize(
    ("sheet", "text", "named"),
    [one[1:] for one in MORE],
    ids=[one[0] for one in MORE],
)
def test_a_changed_cable_is_named(sheet: str, text: str, named: tuple[str, str, str]) -> None:
    rule, about, words = named
    found = findings(text)
    assert (rule, about) in found, sorted(found)
    assert words in found[rule, about].text
    if text != clean(sheet):
        assert (rule, about) not in findings(clean(sheet))


def test_the_clean_vehicle_has_none_of_these_findings() -> None:
    wrong = {rule for named in NAMED for rule, _, _ in named}
    assert not {key for key in findings(clean()) if key[0] in wrong}


def test_no_random_lead_makes_the_evaluators_differ() -> None:
    """A load the wrong way round, and 12 V joined to the battery: every value is finite."""
    for text in (
        moved(end("converter-lead", "converter-fuse.out", "conv-12.in-minus"),
              end("converter-return", "conv-12.in-plus", "minus-bus.stud-4")),
        with_extra("conv-12.out-plus", "plus-bus.stud-6"),
        with_extra("conv-12.out-plus", "pack-a.minus"),
    ):  # fmt: skip
        assert findings(text)
