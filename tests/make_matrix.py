"""The page of the matrix: steps x hazards and part kinds x part kinds, from `matrix.yaml`.

A cell holds the rules that belong to both its row and its column, computed from what the rules are
about, what they read, their hazard and their stage. An empty cell has a reason, written by hand.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fnmatch import fnmatchcase
from functools import cache
from itertools import combinations
from pathlib import Path
from typing import Any

import yaml

from advisor.facts import DERIVATIONS
from advisor.rules import load_rulesets
from advisor.rules.rule import Rule

SOURCE = Path(__file__).with_name("matrix.yaml")
PARTS = (
    *("pack", "bms", "motor", "controller", "contactor", "precharge", "key_switch", "fuse"),
    *("breaker", "disconnect", "bus_bar", "connector", "monitor", "charger", "inlet", "supply"),
    *("converter", "buffer", "load", "run", "mount", "vehicle", "retained"),
)
Cell = tuple[str, str]


@cache
def data() -> Mapping[str, Any]:
    """What `matrix.yaml` says."""
    found: Mapping[str, Any] = yaml.safe_load(SOURCE.read_text(encoding="utf-8"))
    return found


@cache
def rules() -> tuple[Rule, ...]:
    """All rules, also those that only conclude."""
    return load_rulesets(examples=False).rules


def _like(names: Iterable[str], patterns: Iterable[str]) -> bool:
    listed = list(patterns)
    return any(fnmatchcase(name, pattern) for name in names for pattern in listed)


def _read(rule: Rule) -> set[str]:
    """What a rule reads, written as subject.attribute of the subject itself."""
    found = {name.written for name in rule.reads}
    found |= {
        f"{about}.{name.attribute.name}"
        for name in rule.reads
        for about in rule.about
        if name.reach == "self"
    }
    return found | {f"{name.attribute.subject}.{name.attribute.name}" for name in rule.reads}


def belongs(rule: Rule, row: Mapping[str, Any]) -> bool:
    """True when a rule belongs to a step or hazard: `stages`, `about` and `reads` must all hold
    where a step gives them with stages; kinds, names and reads stand beside each other."""
    if "stages" in row:
        return (
            rule.stage in row["stages"]
            and (not row.get("about") or bool({*row["about"]} & {*rule.about}))
            and not {*row.get("not_about", ())} & {*rule.about}
            and ("reads" not in row or _like(_read(rule), row["reads"]))
        )
    if rule.hazard is not None and rule.hazard.kind in row.get("kinds", ()):
        return True
    if {*row.get("about", ())} & {*rule.about}:
        return True
    return _like([rule.name], row.get("names", ())) or _like(_read(rule), row.get("reads", ()))


@cache
def step_cells() -> dict[Cell, tuple[str, ...]]:
    """The rules of each cell of steps x hazards."""
    checks = [rule for rule in rules() if rule.hazard is not None]
    of_step = {
        step: {rule.name for rule in checks if belongs(rule, row)}
        for step, row in data()["steps"].items()
    }
    of_hazard = {
        hazard: {rule.name for rule in checks if belongs(rule, row)}
        for hazard, row in data()["hazards"].items()
    }
    return {
        (step, hazard): tuple(sorted(of_step[step] & of_hazard[hazard]))
        for step in of_step
        for hazard in of_hazard
    }


def touched(rule: Rule) -> set[str]:
    """The part kinds beside its own that a rule looks at: by name, by derivation, by the plan."""
    found: set[str] = set()
    for name in rule.reads:
        subject = name.attribute.subject
        if name.reach != "self":
            found.add(subject)
        for own in rule.about if name.reach == "self" else (subject,):
            for derivation in DERIVATIONS.get((own, name.attribute.name), ()):
                found |= {need.subject for need in derivation.needs}
    for row in data()["plan"]:
        if _like(_read(rule), [row["reads"]]):
            found |= {*row["from"]}
    return {"pack" if one == "battery" else one for one in found}


@cache
def pair_cells() -> dict[Cell, tuple[str, ...]]:
    """The rules of each pair of part kinds, in the order of PARTS."""
    found: dict[Cell, set[str]] = {pair: set() for pair in combinations(PARTS, 2)}
    for rule in rules():
        abouts = ["pack" if one == "battery" else one for one in rule.about]
        for about in abouts:
            kinds = {about, *(touched(rule) - ({*abouts} - {about}))}
            for pair in combinations([one for one in PARTS if one in kinds], 2):
                found[pair].add(rule.name)
    return {pair: tuple(sorted(names)) for pair, names in found.items()}


def reason(cell: Cell, listed: str) -> str:
    """Why a cell has no rule: the first reason whose two sides hold the cell; "" without one."""
    for row in data()[listed]:
        sides = [_side(row[key]) for key in ("of", "with")]
        for first, second in (sides, sides[::-1]) if listed == "pair_reasons" else (sides,):
            if _holds(cell[0], first) and _holds(cell[1], second):
                return str(row["why"])
    return ""


def _side(written: str | list[str]) -> list[str]:
    return [written] if isinstance(written, str) else written


def _holds(name: str, side: list[str]) -> bool:
    return name in side or side == ["any"]


def page() -> str:
    """The text of `docs/coverage-matrix.md`."""
    steps, hazards = list(data()["steps"]), list(data()["hazards"])
    cells = step_cells()
    lines = [
        "# The matrix",
        "",
        "<!-- made by python -m tests.make_docs; do not edit -->",
        "",
        "Each step of the job against each hazard, and each kind of part against each other kind.",
        "A number says how many rules look at it, a dash that there is none; the reason stands",
        "below. The rules of a cell are computed from what they are about, what they read, their",
        "hazard and their stage; the reasons are written by hand.",
        "",
        "## Steps and hazards",
        "",
        "| hazard | " + " | ".join(steps) + " |",
        "| --- |" + " --- |" * len(steps),
    ]
    for hazard in hazards:
        counts = [str(len(cells[step, hazard]) or "-") for step in steps]
        lines.append(f"| {hazard} | {' | '.join(counts)} |")
    lines += ["", "### Why a cell has none", ""]
    empty = [cell for cell in cells if not cells[cell]]
    lines += _why(empty, "step_reasons")
    for hazard in hazards:
        lines += ["", f"### Rules on {hazard}", ""]
        names = sorted({name for step in steps for name in cells[step, hazard]})
        for name in names:
            at = [step for step in steps if name in cells[step, hazard]]
            lines.append(f"- {name}: {', '.join(at)}")
    pairs = pair_cells()
    lines += ["", "## Parts and their neighbours", "", "| | " + " | ".join(PARTS) + " |"]
    lines.append("| --- |" + " --- |" * len(PARTS))
    for row in PARTS:
        counts = [_count(pairs, row, column) for column in PARTS]
        lines.append(f"| {row} | {' | '.join(counts)} |")
    lines += ["", "### Why two kinds have no rule together", ""]
    lines += _why([cell for cell in pairs if not pairs[cell]], "pair_reasons")
    lines += ["", "### Rules of two kinds", ""]
    for (first, second), names in pairs.items():
        if names:
            lines.append(f"- {first} and {second}: {', '.join(names)}")
    return "\n".join(lines) + "\n"


def _count(pairs: Mapping[Cell, tuple[str, ...]], row: str, column: str) -> str:
    if PARTS.index(row) >= PARTS.index(column):
        return ""
    return str(len(pairs[row, column]) or "-")


def _why(cells: list[Cell], listed: str) -> list[str]:
    """Empty cells under their reasons."""
    found: dict[str, list[Cell]] = {}
    for cell in cells:
        found.setdefault(reason(cell, listed), []).append(cell)
    return [f"- {_grouped(of)}: {why or 'NO REASON'}" for why, of in found.items()]


def _grouped(cells: list[Cell]) -> str:
    """Cells in words: `choose: children, water; order: children`."""
    rows: dict[str, list[str]] = {}
    for first, second in cells:
        rows.setdefault(first, []).append(second)
    return "; ".join(f"{first} with {', '.join(seconds)}" for first, seconds in rows.items())
