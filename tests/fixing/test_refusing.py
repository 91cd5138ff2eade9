"""Fixes that would make a sheet invalid are refused with the reason of its reader."""

from __future__ import annotations

import pytest

from advisor.facts import facts_of
from advisor.findings.judged import judged
from advisor.fixing.applying import chosen_fixes
from advisor.fixing.offers import Offer, Variant, offers
from advisor.fixing.refusing import sound, why_not
from advisor.fixing.trials import tried
from advisor.fixing.workshop import Workshop
from advisor.problems import ProblemsFoundError
from advisor.rules import load_rulesets
from advisor.sheet.reading import read_sheet_bytes
from advisor.sheet.rewriting import with_values

BOOK = load_rulesets(examples=False)
SHEET = """sheet: 1
use: {ambient: 0 .. 40 degC, region: us}
parts:
  packs:
    - {id: pack-a, chemistry: lfp, cells_in_series: 16, nominal_voltage: 51.2 V,
       full_voltage: 58.4 V, capacity: 100 Ah}
  converters:
    - {id: conv, output_voltage: 12 V, output_current: 20 A, input_min: 36 V, input_max: 50 V}
  chargers:
    - {id: mains, set_voltage: 58.4 V, profile: lithium, equalise: yes,
       equalise_can_be_disabled: no, equalise_voltage: 62 V}
choices:
  - id: high
    parts:
      converters:
        - {id: conv, output_voltage: 12 V, output_current: 20 A, input_min: 40 V, input_max: 90 V}
"""
BUILD = read_sheet_bytes(SHEET.encode(), "sheet.yaml")
WORKSHOP = Workshop(facts_of(BUILD), BOOK)
OFFERED = offers(WORKSHOP.facts, WORKSHOP.before.values())


@pytest.mark.parametrize(
    ("part", "name", "text", "words"),
    [
        ("mains", "set_voltage", "58 V", ""),
        ("mains", "set_voltage", "-5 V", "is too low for the charge voltage"),
        ("mains", "set_voltage", "5 A", "is a current, not a voltage"),
        ("mains", "profile", "gold", "is not a known"),
        ("mains", "equalise", "perhaps", "is not yes or no"),
        ("mains", "set_voltage", "unknown", "is no value"),
        ("conv", "input_min", "51 V", "the lowest value"),
        ("conv", "input_max", "20 V", "the lowest value"),
        ("conv", "input_max", "60 V", ""),
    ],
)
def test_the_reason_is_that_of_the_reader(part: str, name: str, text: str, words: str) -> None:
    """What is refused here the reader of the changed sheet refuses, too; what is not, it takes."""
    changes = {(part, name): text}
    why = why_not(BUILD, {(part, name): (text, 0.0)})
    assert words in why and bool(why) is bool(words)
    if text == "unknown":
        return  # a sheet may say so, but it is no fix
    if why:
        with pytest.raises(ProblemsFoundError):
            with_values(SHEET, BUILD, changes)
    else:
        assert text in with_values(SHEET, BUILD, changes)


def offer(rule: str, *variants: Variant) -> Offer:
    one = next(two for two in OFFERED if two.judgement.rule.name == rule)
    return Offer(one.judgement, one.number, one.text, variants)


def test_only_the_ways_that_leave_the_sheet_valid_are_kept() -> None:
    high = {("conv", "input_max"): ("60 V", 60.0)}
    low = {("conv", "input_max"): ("20 V", 20.0)}
    both = offer("converter-destroyed-when-full", low, high)
    none = offer("converter-destroyed-when-full", low)
    kept, refused = sound(BUILD, [both, none])
    assert [one.variants for one in kept] == [(high,)]
    assert [one.offer for one in refused] == [none] and "lowest value" in refused[0].reason


def test_every_fix_of_the_shipped_rules_that_is_offered_here_is_valid() -> None:
    kept, refused = sound(BUILD, OFFERED)
    assert kept == OFFERED and refused == [] and OFFERED


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("converter-destroyed-when-full", "would make the sheet invalid"),
        ("converter-destroyed-when-full@conv.1", "would make the sheet invalid"),
        ("charger-equalises@mains.9", "write charger-equalises@mains.1"),
        ("charger-equalise", 'write "charger-equalises"'),
        ("charger-for-lead-acid", "is not violated; it needs no fix"),
        ("charger-for-lead-acid@mains.1", "charger-for-lead-acid on mains is not violated"),
        ("coil-hot@conv.1", "there is no fix"),
        ("nothing-like-it", "advisor fix SHEET lists them"),
        ("outlet-overloaded", "what would decide it"),
    ],
)
def test_a_name_that_is_no_fix_gets_the_reason(name: str, words: str) -> None:
    low = {("conv", "input_max"): ("20 V", 20.0)}
    _, refused = sound(BUILD, [offer("converter-destroyed-when-full", low)])
    others = [one for one in OFFERED if one.judgement.rule.name == "charger-equalises"]
    with pytest.raises(ProblemsFoundError, match=words):
        chosen_fixes("s.yaml", tried(WORKSHOP, others), refused, WORKSHOP.before, [name])


def test_a_fix_that_was_applied_is_not_needed_again() -> None:
    name = "charger-equalises@mains.1"
    found = tried(WORKSHOP, OFFERED)
    picked = chosen_fixes("s.yaml", found, [], WORKSHOP.before, [name])
    text = with_values(SHEET, BUILD, {key: text for key, (text, _) in picked.items()})
    after = judged(facts_of(read_sheet_bytes(text.encode(), "s.yaml")), BOOK).checks
    with pytest.raises(ProblemsFoundError, match="is not violated; it needs no fix"):
        chosen_fixes("s.yaml", [], [], after, [name])
