"""Miswired copies that were missed once, each with the words that must tell it now.

A hazard that is missed is the worst there is. One found later comes here with a reason: it is then
expected to fail until its rule is there, and an unexpected pass is an error.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from tests.wiring.rewiring import BUFFERED, NO_PACK_FUSE, ORCHARD, SERIES, at, heavy
from tests.wiring.test_miswired import EXTRA, clean, moved, with_extra
from tests.wiring.test_miswired_named import findings


@dataclass(frozen=True)
class Missed:
    """A miswired copy that must be told: any new finding about one of the parts with the words.

    Findings of the rules in `weak` do not count: they say something else.
    """

    text: str
    about: tuple[str, ...]
    words: str
    good: str
    weak: tuple[str, ...] = ("cable-in-a-loop", "part-without-supply", "cable-leads-nowhere")


def missed(name: str, reason: str, text: str, about: str, words: str = "", sheet: str = ORCHARD,
           good: str = "") -> object:  # fmt: skip
    return pytest.param(
        Missed(text, tuple(about.split()), words, good or clean(sheet)),
        marks=pytest.mark.xfail(strict=True, raises=AssertionError, reason=reason)
        if reason
        else (),
        id=name,
    )


LAMPS_BY_FRAME = (
    at("left-return", "lamp-left.minus", "vehicle.frame"),
    heavy(("vehicle.frame", "lamp-minus.stud-2")),
)
# Alone it is named by `thinner-cable-behind-a-large-device`.
THIN = EXTRA.removeprefix("wiring:\n") % ("main-contactor.in", "main-contactor.out") + "\n"
NOT_ISOLATED = (
    "      isolated: yes\n      efficiency: 90 %",
    "      isolated: no\n      efficiency: 90 %",
)

MISSED = [
    missed(
        "drive plus and minus exchanged", "",
        moved(at("contactor-to-drive", "main-contactor.out", "ctrl-1.minus"),
              at("drive-to-bus", "ctrl-1.plus", "minus-bus.stud-1")),
        "ctrl-1", "minus-bus > drive-to-bus > ctrl-1",
    ),
    missed(
        "a wire from 12 V plus to 12 V minus", "",
        moved(heavy(("lamp-plus.stud-6", "lamp-minus.stud-6"))),
        "conv-12 heavy-1", "lamp-plus > heavy-1 > lamp-minus",
    ),
    missed(
        "a thin wire past the contactor, beside a short of the 12 V side", "",
        moved((heavy()[0], heavy(("lamp-plus.stud-6", "lamp-minus.stud-6"))[1] + THIN)),
        "extra", "main-fuse with 200 A",
    ),
    missed(
        "a wire across the 12 V buffer battery", "",
        moved(heavy(("lamp-battery.plus", "lamp-battery.minus")), sheet=BUFFERED),
        "lamp-battery heavy-1", "lamp-battery > heavy-1 > lamp-battery", BUFFERED,
    ),
    missed(
        "the 12 V buffer battery the wrong way round", "",
        moved(at("buffer-lead", "lamp-battery.minus", "buffer-fuse.in", BUFFERED),
              at("buffer-return", "low-minus.stud-2", "lamp-battery.plus", BUFFERED),
              sheet=BUFFERED),
        "lamp-battery buffer-lead buffer-return", "", BUFFERED,
    ),
    missed(
        "one pack of a string the wrong way round", "",
        moved(at("series-link", "lower-pack.plus", "upper-pack.plus", SERIES),
              at("pack-to-fuse", "upper-pack.minus", "main-fuse.in", SERIES), sheet=SERIES),
        "lower-pack upper-pack", "lower-pack > series-link > upper-pack", SERIES,
    ),
    missed(
        "a heavy cable past the main fuse, behind the fuse of the pack", "",
        moved(heavy(("main-fuse.in", "main-fuse.out"))),
        "fuse-to-switch switch-to-bus", "400 A",
    ),
    missed(
        "the meter lead on the pack without any fuse", "",
        moved(at("meter-lead", "pack-a.plus", "meter.sense"), *NO_PACK_FUSE),
        "meter meter-lead", "", good=moved(*NO_PACK_FUSE),
    ),
    missed(
        "short key leads on the pack without any fuse", "",
        moved(at("key-lead", "pack-a.plus", "key-a.in", length="1 ft"),
              at("key-to-drive", "key-a.out", "ctrl-1.key", length="1 ft"),
              at("key-to-coil", "key-a.out", "main-contactor.coil-plus", length="1 ft"),
              at("key-to-relay", "main-contactor.coil-plus", "lamp-relay.coil-plus",
                 length="1 ft"), *NO_PACK_FUSE),
        "key-lead key-to-drive key-to-coil key-to-relay", "", good=moved(*NO_PACK_FUSE),
    ),
    missed(
        "a lamp returns through the frame", "",
        moved(*LAMPS_BY_FRAME), "lamp-left conv-12 left-return", "left-return > heavy-1",
    ),
    missed(
        "a lamp returns through the frame of a converter that is not isolated", "",
        moved(*LAMPS_BY_FRAME, NOT_ISOLATED), "lamp-left conv-12 left-return battery", "frame",
        good=moved(NOT_ISOLATED),
    ),
    missed(
        "the relay of the lamps is bridged", "",
        moved(heavy(("lamp-relay.in", "lamp-relay.out"))),
        "lamp-relay", "lamp-relay > heavy-1 > lamp-relay",
    ),
    missed(
        "a thin 12 V lead past the fuse at the converter", "",
        moved(at("low-to-relay", "conv-12.out-plus", "lamp-relay.in", gauge="18 AWG")),
        "low-to-relay", "conv-12 can drive 32 A through it, its conductor stands 20 A",
    ),
    missed(
        "both 12 V poles on the traction bars", "",
        moved(heavy(("lamp-plus.stud-6", "plus-bus.stud-6"),
                    ("lamp-minus.stud-6", "minus-bus.stud-6"))),
        "conv-12 pack-a", "",
    ),
    missed(
        "the way of a converter that stays alive with the disconnect open", "",
        moved(at("converter-strap", "main-switch.in", "converter-fuse.in")),
        "main-switch conv-12", "fuse-to-switch > converter-strap > converter-fuse",
    ),
    missed(
        "the way from the case of a pack to its pole", "",
        with_extra("pack-a.case", "pack-a.minus"), "pack-a", "pack-a > extra > pack-a",
    ),
    missed(
        "the way of a converter past its fuse", "",
        moved(at("converter-lead", "pack-a.plus", "conv-12.in-plus"), *NO_PACK_FUSE),
        "conv-12", "pack-a > converter-lead > conv-12",
    ),
]  # fmt: skip


def test_the_thin_wire_alone_is_named() -> None:
    found = findings(with_extra("main-contactor.in", "main-contactor.out"))
    assert "main-fuse with 200 A" in found["thinner-cable-behind-a-large-device", "extra"].text


@pytest.mark.parametrize("one", MISSED)
def test_a_hazard_is_named(one: Missed) -> None:
    before = findings(one.good)
    told = [
        found
        for (rule, about), found in findings(one.text).items()
        if about in one.about
        and rule not in one.weak
        and (rule, about) not in before
        and one.words in found.text
    ]
    assert told
