"""A record of earlier against the same review made now: what is the same, what differs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from advisor.findings.risk import LEVELS, Level

ABSENT = "not judged"


@dataclass(frozen=True, slots=True)
class Changed:
    """One check that comes out differently; `rule_changed` when its meaning did."""

    rule: str
    part: str
    level: Level
    then: str
    now: str
    rule_changed: bool


@dataclass(frozen=True, slots=True)
class Verification:
    """`inputs` are the differences of sheet, rules and program in words, `verdicts` of checks."""

    inputs: tuple[str, ...]
    outcome: tuple[str, str]
    verdicts: tuple[Changed, ...]
    compared: int

    @property
    def same(self) -> bool:
        """Whether the verdicts and the outcome are the same again."""
        return not self.verdicts and self.outcome[0] == self.outcome[1]


def verify(then: Mapping[str, Any], now: Mapping[str, Any]) -> Verification:
    """Compare two pieces of evidence, as `evidence` makes them."""
    before, after = _verdicts(then), _verdicts(now)
    keys = sorted(before.keys() | after.keys())
    changed = [
        Changed(rule, part, _level(one, other), _word(one), _word(other), _moved(one, other))
        for rule, part in keys
        for one, other in [(before.get((rule, part)), after.get((rule, part)))]
        if _word(one) != _word(other)
    ]
    changed.sort(key=lambda one: (-one.level, one.rule, one.part))
    return Verification(
        tuple(_inputs(then, now)), (then["outcome"], now["outcome"]), tuple(changed), len(keys)
    )


_Verdict = Mapping[str, Any]


def _verdicts(of: Mapping[str, Any]) -> dict[tuple[str, str], _Verdict]:
    return {(one["rule"], one["part"]): one for one in of["verdicts"]}


def _word(one: _Verdict | None) -> str:
    if one is None:
        return ABSENT
    return f"{one['verdict']} on an assumption" if one["assumed"] else str(one["verdict"])


def _level(*either: _Verdict | None) -> Level:
    return max(LEVELS.get(one["level"], Level.NOTICE) for one in either if one is not None)


def _moved(one: _Verdict | None, other: _Verdict | None) -> bool:
    return one is not None and other is not None and one["meaning"] != other["meaning"]


def _inputs(then: Mapping[str, Any], now: Mapping[str, Any]) -> Iterator[str]:
    sheet = (then["sheet"]["fingerprint"], now["sheet"]["fingerprint"])
    if sheet[0] != sheet[1]:
        yield f"The sheet was {sheet[0]} and is {sheet[1]}: its text was changed."
    old = {one["name"]: one["version"] for one in then["rulesets"]}
    new = {one["name"]: one["version"] for one in now["rulesets"]}
    for name in sorted(old.keys() | new.keys()):
        if old.get(name) != new.get(name):
            was, is_now = old.get(name, "not there"), new.get(name, "not there")
            yield f"Ruleset {name} was {was} and is {is_now}."
    rules = (then["rules_fingerprint"], now["rules_fingerprint"])
    if rules[0] != rules[1] and old == new:
        yield f"The rules were {rules[0]} and are {rules[1]}, with the same versions."
    for key, words in (("version", "program"), ("engine", "evaluator")):
        was, is_now = then["program"][key], now["program"][key]
        if was != is_now:
            yield f"The {words} was {was} and is {is_now}."


__all__ = ["ABSENT", "Changed", "Verification", "verify"]
