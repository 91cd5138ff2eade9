"""The numbers in the conditions of rules that cite a document, against that document or a table.

Every number of such a rule is accounted for: it is a published figure (compared here), or it is not
from the document, with the reason. Confidence: read (seen in the text), secondary (seen in a
reproduction), computed, memory. Where the figure stands in `advisor/tables` it is taken from there.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import pytest

from advisor.rules import load_rulesets
from advisor.rules.rule import Rule
from advisor.rules.tree import (
    All,
    Among,
    Arithmetic,
    Compare,
    Extreme,
    Holds,
    IsKnown,
    Negative,
    Not,
    Number,
    Read,
    Tree,
)
from advisor.rules.tree import Any as AnyOf
from advisor.tables.reader import table

BOOK = load_rulesets(examples=False)
RULES = {rule.name: rule for rule in BOOK.rules}

COMPUTED = frozenset(
    (
        "capacitor-law", "cell-charge-arithmetic", "charge-balance", "conductor-heat",
        "controller-power-balance", "kirchhoff-string", "lfp-open-circuit-curve",
        "motor-voltage-law", "newton-road", "ohms-law",
    )
)  # fmt: skip
"""Sources that are arithmetic; the published cases of `tests/published/` check that arithmetic."""


def _cell(name: str, row: str, column: str) -> tuple[float, str]:
    """A figure of a table in SI, and its confidence."""
    entry = table(name).value(row, column)
    assert entry is not None
    assert isinstance(entry.value, float)
    return entry.value, entry.confidence


def _awg(gauge: int) -> float:
    """Area of a wire of the American gauge in m2: d = 0.127 mm x 92^((36 - n) / 39), ASTM B258."""
    return math.pi / 4 * (0.127e-3 * 92 ** ((36 - gauge) / 39)) ** 2


HIGH_VOLTAGE = _cell("voltage-limits", "high-voltage", "dc")
FREEZING = _cell("chemistry", "lfp", "charge_temp_min")
COLD = (273.15 + 15.0, "read")  # LFP cell sheet: at most 0.2 of the capacity per hour, 0 to 15 °C


@dataclass(frozen=True)
class Published:
    """A figure of a document, in SI, and how the limit of the rule stands to it."""

    rule: str
    written: str
    figure: float
    confidence: str
    source: str
    holds: Callable[[float, float], bool] = lambda limit, figure: limit == figure


def _rounded(limit: float, figure: float) -> bool:
    """The limit is the figure to the digits that the rule writes, within 0.5 %."""
    return abs(limit - figure) <= 0.005 * abs(figure)


def _same(limit: float, figure: float) -> bool:
    """The limit is the figure in another unit."""
    return math.isclose(limit, figure, rel_tol=1e-9)


MPH = 1609.344 / 3600  # m/s, by the international mile
GOLF_CARS = (
    "secondary",
    "ANSI/ILTVA Z130.1 and Z135 as summarised by their association: below 15 and below 20 mph",
)
LOW_SPEED = ("secondary", "49 CFR 571.3(b) as reproduced: more than 20 and at most 25 mph")
LIGHT_FOUR_WHEELERS = (
    "secondary",
    "Regulation (EU) 168/2013 Annex I in a German copy: L6e 2 seats, 425 kg, 45 km/h",
)

PUBLISHED = (
    Published("no-isolation-above-60-v", "60 V", *HIGH_VOLTAGE, "49 CFR 571.305 S3"),
    Published("battery-above-60-volts", "60 V", *HIGH_VOLTAGE, "49 CFR 571.305 S3"),
    Published("isolation-too-low", "60 V", *HIGH_VOLTAGE, "49 CFR 571.305 S3"),
    Published(
        "charge-voltage-above-limit", "1.01", 14.7 / 14.6, "read",
        "data sheet of a 12.8 V LFP pack: 14.6 V plus or minus 0.1 V, and an error of a meter",
        lambda limit, figure: figure < limit < figure + 0.005,
    ),
    Published(
        "converter-output-far-too-high", "1.3", 16.0 / 12.0, "read",
        "ISO 16750-2: 12 V systems see 16 V at most in service; the rule warns a little earlier",
        lambda limit, figure: 0.95 * figure < limit <= figure,
    ),
    Published(
        "converter-output-far-too-high", "16 V", 16.0, "read",
        "ISO 16750-2: 12 V systems see 16 V at most in service",
    ),
    Published(
        "faster-than-twenty-miles-an-hour", "20 mph", 20 * 1609.344 / 3600, "read",
        "63 FR 33194 (17 June 1998): more than 20 mph; the international mile is 1609.344 m",
        lambda limit, figure: math.isclose(limit, figure, rel_tol=1e-9),
    ),
    Published(
        "many-parallel-packs-without-own-fuse", "500 A·h", 500 * 3600.0, "secondary",
        "ABYC E-11 (July 2025), 11.10.1.4.1, as quoted: parallel banks over 500 A·h",
    ),
    Published(
        "lamp-drop-too-large", "3 %", 0.03, "secondary",
        "ABYC E-11, as quoted: 3 % for critical circuits, among them navigation lights",
    ),
    Published(
        "conductor-below-power-size", "1.3 mm²", _awg(16), "read",
        "33 CFR 183.425: at least 16 AWG; area by ASTM B258. A cable of 16 AWG passes, 18 does not",
        lambda limit, figure: _awg(18) < limit <= figure,
    ),
    Published(
        "coil-warm", "110 %", 1.10, "secondary",
        "coil data sheets, 0.85 to 1.10 of the rated voltage; IEC 60947-4-1 8.2.1.2 from memory",
    ),
    Published(
        "coil-hot", "120 %", 1.15, "secondary",
        "coil data sheets, at most 1.10 or 1.15: the graver rule starts beyond both",
        lambda limit, figure: limit > figure,
    ),
    Published(
        "coil-hot", "1.3", 1.15, "secondary",
        "coil data sheets, at most 1.10 or 1.15: the graver rule starts beyond both",
        lambda limit, figure: limit > figure,
    ),
    Published(
        "rear-brakes-alone-on-steep-grade", "17.6 %", math.tan(math.radians(10.0)), "secondary",
        "trade summary by the engineers of the study: slopes of 10 degrees; grade is the tangent",
        _rounded,
    ),
    Published(
        "rear-brakes-on-a-steep-grade", "17.6 %", math.tan(math.radians(10.0)), "secondary",
        "trade summary by the engineers of the study: slopes of 10 degrees; grade is the tangent",
        _rounded,
    ),
    Published(
        "magnet-brake-may-not-release", "85 %", 0.85, "secondary",
        "coil data sheets: operating range from 0.85 of the rated voltage (another: 0.8)",
    ),
    Published(
        "magnet-brake-drags-at-sag", "75 %", 0.75, "secondary",
        "coil data sheets: release between 0.75 and 0.2 of the rated voltage",
    ),
    Published(
        "magnet-brake-coil-overheats", "120 %", 1.15, "secondary",
        "coil data sheets, at most 1.10 or 1.15: the rule starts beyond both",
        lambda limit, figure: limit > figure,
    ),
    Published(
        "packs-move-when-pulled", "25.4 mm", 0.0254, "read",
        "33 CFR 183.420(a): no more than 1 inch in any direction",
        lambda limit, figure: math.isclose(limit, figure, rel_tol=1e-9),
    ),
    Published(
        "part-not-made-for-the-hose", "5", 5.0, "secondary",
        "IEC 60529 as tabulated: second figure 5 is jets",
    ),
    Published(
        "part-not-made-for-the-pressure-washer", "9", 9.0, "secondary",
        "IEC 60529 as tabulated: second figure 9 is a hot jet of high pressure",
    ),
    Published(
        "part-not-made-for-mud", "5", 5.0, "secondary",
        "IEC 60529 as tabulated: first figure 5 is dust-protected",
    ),
    Published(
        "pack-stands-in-water", "7", 7.0, "secondary",
        "IEC 60529 as tabulated: second figure 7 is immersion for a time",
    ),
    Published(
        "thin-air-for-the-contacts", "2000 m", 2000.0, "read",
        "EN 1175-1:1998 with A1:2010, scope: altitude up to 2000 m",
    ),
    Published("faster-than-a-golf-car", "15 mph", 15 * MPH, *GOLF_CARS, _same),
    Published("faster-than-a-golf-car", "20 mph", 20 * MPH, *GOLF_CARS, _same),
    Published("low-speed-vehicle-lacks-equipment", "20 mph", 20 * MPH, *LOW_SPEED, _same),
    Published("faster-than-a-low-speed-vehicle", "25 mph", 25 * MPH, *LOW_SPEED, _same),
    Published(
        "state-decides-on-carts-on-the-road", "20 mph", 20 * MPH, "read",
        "63 FR 33194: what cannot exceed 20 mph is left to state and local law", _same,
    ),
    Published("heavier-or-faster-than-light-quadricycles", "2", 2.0, *LIGHT_FOUR_WHEELERS),
    Published("heavier-or-faster-than-light-quadricycles", "425 kg", 425.0, *LIGHT_FOUR_WHEELERS),
    Published(
        "heavier-or-faster-than-light-quadricycles", "45 km/h", 45 / 3.6, *LIGHT_FOUR_WHEELERS,
        _same,
    ),
    Published(
        "charger-above-pack-label", "1.007", 14.7 / 14.6, "read",
        "data sheet of a 12.8 V LFP pack: charge 14.6 V plus or minus 0.1 V", _rounded,
    ),
    Published(
        "charger-above-management-trip", "1.007", 14.7 / 14.6, "read",
        "data sheet of a 12.8 V LFP pack: charge 14.6 V plus or minus 0.1 V", _rounded,
    ),
    Published(
        "charger-nobody-stops", "1.007", 14.7 / 14.6, "read",
        "data sheet of a 12.8 V LFP pack: charge 14.6 V plus or minus 0.1 V", _rounded,
    ),
    Published("charging-below-cold-limit", "0 °C", *FREEZING, "data sheet of a 12.8 V LFP pack"),
    Published(
        "battery-weak-in-the-cold", "0 °C", 273.15, "read",
        "data sheet of an LFP cell: discharge at -20 to 0 °C at 0.2 of the capacity per hour",
    ),
    Published("charger-current-cold-indication", "15 °C", *COLD, "data sheet of an LFP cell"),
    Published(
        "charger-current-above-stated-cold-limit", "15 °C", *COLD, "data sheet of an LFP cell"
    ),
    Published("regeneration-far-above-cold-limit", "15 °C", *COLD, "data sheet of an LFP cell"),
    Published(
        "stored-too-hot", "1 months", 365.25 / 12 * 86400, "read",
        "data sheet of an LFP cell: up to 60 °C for at most one month",
        lambda limit, figure: abs(limit - figure) <= 0.02 * figure,  # a month is 30 or 30.4 days
    ),
    Published(
        "stored-full-or-empty", "60 %", 0.60, "secondary",
        "trade notes on storage: 40 to 60 %; 30 to 50 % is also quoted",
    ),
    Published(
        "stored-full-or-empty", "30 %", 0.30, "secondary",
        "trade notes on storage: 40 to 60 %; 30 to 50 % is also quoted",
    ),
    Published(
        "unequal-packs-joined-in-parallel", "100 mV", 0.1, "read",
        "manual of a pack, archive no. 3949741 p. 3: difference within 100 mV (another: 50 mV)",
    ),
    Published(
        "unequal-packs-joined-in-series", "100 mV", 0.1, "read",
        "manual of a pack, archive no. 3949741 p. 3: difference within 100 mV (another: 50 mV)",
    ),
    Published(
        "device-breaks-far-too-little", "20 kA", 20e3, "read",
        "SAND96-2797 (1996), suggested practices: 20 kA DC, one such fuse up to 1000 A·h",
    ),
    Published(
        "device-breaks-far-too-little", "1000 A·h", 1000 * 3600.0, "read",
        "SAND96-2797 (1996), suggested practices: 20 kA DC, one such fuse up to 1000 A·h",
    ),
    Published(
        "device-breaks-too-little", "20 kA", 20e3, "read",
        "SAND96-2797 (1996), suggested practices: 20 kA DC, one such fuse up to 1000 A·h",
    ),
    Published(
        "device-breaks-too-little", "1000 A·h", 1000 * 3600.0, "read",
        "SAND96-2797 (1996), suggested practices: 20 kA DC, one such fuse up to 1000 A·h",
    ),
    Published(
        "large-bank-above-twenty-kiloamperes", "20 kA", 20e3, "read",
        "SAND96-2797 (1996), suggested practices: 20 kA DC, one such fuse up to 1000 A·h",
    ),
    Published(
        "large-bank-above-twenty-kiloamperes", "1000 A·h", 1000 * 3600.0, "read",
        "SAND96-2797 (1996), suggested practices: 20 kA DC, one such fuse up to 1000 A·h",
    ),
    Published(
        "small-device-breaks-too-little", "20 kA", 20e3, "read",
        "SAND96-2797 (1996), suggested practices: 20 kA DC, one such fuse up to 1000 A·h",
    ),
    Published(
        "device-slightly-below-voltage", "100 %", 1.0, "read",
        "ISO 8820: a fuse-link has a rated voltage; above it nothing is promised",
    ),
)  # fmt: skip

NOT_FROM_THE_DOCUMENT = {
    ("many-parallel-packs-without-own-fuse", "2"): "two other packs feed a fault: trade practice",
    ("charger-above-management-trip", "0 mV/cell/K"): "a sign: compensated, or not",
    ("charger-nobody-stops", "0 mV/cell/K"): "a sign: compensated, or not",
    ("charger-shares-its-circuit", "50 %"): "half of the circuit is left to the others: ours",
    ("charger-cannot-wake-battery", "0 V"): "a sign: the charger needs some voltage to start",
    ("no-soft-start", "1 mF"): "where a contact begins to suffer; the guide gives the current",
    ("regeneration-far-above-cold-limit", "0.5"): "twice the stated limit: a grade of ours",
    ("motor-outlasted-by-controller", "1.25"): "ratings at different coolings: a margin of ours",
    ("shunt-and-monitor-differ", "102 %"): "eight times the usual tolerance of 0.25 %: ours",
    ("shunt-and-monitor-differ", "98 %"): "eight times the usual tolerance of 0.25 %: ours",
    ("hill-hold-lost-on-rear-brakes", "10 %"): "a grade of ours; the study names 10 degrees",
    ("device-breaks-far-too-little", "0.75"): "a third too little: a grade of ours",
    ("main-device-opens-at-the-peak", "3"): "beyond the gate of 200 % in UL 248-14: ours",
    ("main-device-opens-at-the-peak", "30 s"): "within the 2 minutes of UL 248-14: ours",
    ("short-at-the-far-end-not-cleared", "3"): "beyond the gate of 200 % in UL 248-14: ours",
    ("contactor-left-to-break-a-short", "100 ms"): "drop-out time of contactors: trade practice",
    ("stored-full-or-empty", "1 months"): "shorter is no storage: ours",
    ("charge-cut-off-in-full-flow", "0.5"): "half is no tail by any account: common practice",
    ("monitor-counts-backwards", "-1 A"): "noise of a meter: ours",
    ("monitor-counts-backwards", "5 A"): "enough to be seen beside the noise: ours",
    ("monitor-does-not-see-the-charge", "-1 A"): "noise of a meter: ours",
    ("monitor-does-not-see-the-charge", "0.2"): "a fifth of the current is not seen: ours",
    ("monitor-does-not-see-the-charge", "5 A"): "enough to be seen beside the noise: ours",
    ("monitor-sees-no-current", "-1 A"): "noise of a meter: ours",
    ("monitor-sees-no-current", "0.2"): "a fifth of the current is not seen: ours",
    ("monitor-sees-no-current", "5 A"): "enough to be seen beside the noise: ours",
    ("monitor-current-wrong", "110 %"): "errors of clamp and reading together: ours",
    ("monitor-current-wrong", "90 %"): "errors of clamp and reading together: ours",
    ("monitor-current-wrong", "102 %"): "eight times the usual tolerance of 0.25 %: ours",
    ("monitor-current-wrong", "98 %"): "eight times the usual tolerance of 0.25 %: ours",
    ("monitor-misses-part-of-the-current", "110 %"): "errors of clamp and reading together: ours",
    ("monitor-misses-part-of-the-current", "90 %"): "errors of clamp and reading together: ours",
    ("monitor-misses-part-of-the-current", "102 %"): "eight times the tolerance of 0.25 %: ours",
    ("monitor-misses-part-of-the-current", "98 %"): "eight times the tolerance of 0.25 %: ours",
    ("motor-at-its-limit-after-drive", "80 °C"): "below it no class is near its limit: ours",
    ("motor-at-its-limit-after-drive", "20 K"): "the inside is hotter than the case: ours",
    ("device-below-voltage", "105 %"): "a grade of ours above the rating",
    ("device-far-below-voltage", "125 %"): "a grade of ours above the rating",
    ("fords-deeper-than-live-parts", "0 cm"): "a sign: it goes through water, or not",
    ("pack-stands-in-water", "0 cm"): "a sign: it goes through water, or not",
    ("metal-close-to-terminals", "25 mm"): "how far a lid bends or a pack moves: ours",
    ("motor-fan-too-slow", "200 kg"): "a trailer that is felt on a hill: ours",
    ("pack-heavier-than-two-people-lift", "46 kg"): "twice 23 kg of NIOSH, from memory: a notice",
    ("old-battery-heavier-than-two-people-lift", "46 kg"): "twice 23 kg, from memory: a notice",
    ("thin-air-for-the-motor", "1000 m"): "IEC 60034-1 and the trade, from memory: a notice",
    ("parts-above-75-volts", "75 V"): "Directive 2014/35/EU, from memory: a notice that points",
}
"""Numbers of such rules that no document gives, with the reason."""

MEMORY_ONLY = (
    "charge-cut-off-in-full-flow",
    "charge-interlock-does-not-work",
    "charge-tail-high",
    "charger-not-isolated",
    "charger-shares-its-circuit",
    "charging-circuit-by-national-rules",
    "charging-circuit-by-the-local-code",
    "damaged-pack-travels-by-adr",
    "inlet-drives-while-plugged",
    "inlet-live-pins",
    "monitor-calls-full-too-early",
    "monitor-never-sees-full",
    "no-sign-that-it-is-ready",
    "no-sign-that-it-is-ready-among-people",
    "old-batteries-are-taken-back",
    "on-board-charger-no-interlock",
    "on-board-charger-not-earthed",
    "out-of-scope-counterbalanced-truck",
    "outlet-without-residual-current-device",
    "parts-above-75-volts",
    "polarised-breaker-both-ways",
    "tail-set-below-charger",
    "thin-air-for-the-motor",
    "voltage-above-60-not-labelled",
    "who-builds-a-pack-is-its-maker",
    "who-changes-a-machine-answers-for-it",
)
"""Every rule of which no source was seen: leads that somebody should look up."""


def _numbers(tree: Tree) -> Iterator[Number]:
    match tree:
        case Number():
            yield tree
        case Negative() | Not():
            yield from _numbers(tree.of)
        case Arithmetic() | Compare():
            yield from _numbers(tree.left)
            yield from _numbers(tree.right)
        case Extreme() | All() | AnyOf():
            for item in tree.items:
                yield from _numbers(item)
        case Read() | Among() | Holds() | IsKnown():
            return


def _written(number: Number) -> str:
    from advisor.units import unit

    used = unit(number.unit)
    value = (number.value - used.offset) / used.factor
    return f"{value:.6g} {used.spelling}".strip()


def _limits(rule: Rule) -> dict[str, float]:
    """The numbers of a rule as written, with their SI values; 0 and 1 of anything are counts."""
    trees = [tree for tree in (rule.applies, rule.when) if tree is not None]
    return {
        _written(one): one.value
        for tree in trees
        for one in _numbers(tree)
        if one.unit or one.value not in (0.0, 1.0)
    }


CITING = [
    rule for rule in BOOK.rules if any(one.key not in COMPUTED for one in rule.sources)
]  # rules that name a document


@pytest.mark.parametrize("one", PUBLISHED, ids=lambda one: f"{one.rule} {one.written}")
def test_a_published_limit(one: Published) -> None:
    limits = _limits(RULES[one.rule])
    assert one.written in limits, limits
    assert one.holds(limits[one.written], one.figure), (limits[one.written], one.figure)
    assert one.confidence in ("read", "secondary", "computed"), "memory is no support of a limit"


def test_every_limit_of_a_rule_that_cites_a_document_is_accounted_for() -> None:
    """Whoever adds such a rule adds its figure above, or says that it is not from the document."""
    known = {(one.rule, one.written) for one in PUBLISHED} | NOT_FROM_THE_DOCUMENT.keys()
    there = {(rule.name, written) for rule in CITING for written in _limits(rule)}
    assert sorted(there - known) == []
    assert sorted(known - there) == []


def test_the_rules_whose_only_support_is_memory() -> None:
    found = [
        rule.name
        for rule in BOOK.rules
        if rule.sources and all(source.read == "memory" for source in rule.sources)
    ]
    assert sorted(found) == list(MEMORY_ONLY)


@pytest.mark.parametrize("name", MEMORY_ONLY)
def test_no_hard_limit_rests_on_memory(name: str) -> None:
    """A rule from memory may ask whether something is there; it holds no number from memory.

    A number of ours, which the rule calls common practice, is told above with its reason.
    """
    rule = RULES[name]
    ours = {written for one, written in NOT_FROM_THE_DOCUMENT if one == name}
    assert not ours or rule.common_practice
    assert _limits(rule).keys() <= ours


def test_every_cited_source_is_in_the_table_of_sources() -> None:
    for rule in BOOK.rules:
        assert rule.sources or rule.common_practice, rule.name
        for source in rule.sources:
            assert source.key in BOOK.sources
            assert source.title
