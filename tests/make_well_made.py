"""The page of the well-made builds: what is found on each, and why it stands."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import yaml

from advisor.driving.survey import surveyed
from advisor.engine import Judge
from advisor.facts.origins import Fact
from advisor.findings.report_model import Screening
from advisor.findings.screening import screen
from advisor.rules import load_rulesets
from advisor.sheet.reading import read_sheet

ROOT = Path(__file__).parents[1]
EXPECTED = Path(__file__).with_name("well_made") / "expected.yaml"
_WORDS = {"us": "United States", "eu": "European Union"}


@cache
def builds() -> tuple[dict[str, Any], ...]:
    """The rows of the list: sheet, what it is, its findings with reasons."""
    rows: list[dict[str, Any]] = yaml.safe_load(EXPECTED.read_text(encoding="utf-8"))
    return tuple(rows)


@cache
def judge() -> Judge:
    """The shipped rules, loaded once."""
    return Judge(load_rulesets(examples=False))


@cache
def screened(sheet: str, stage: str = "wiring") -> Screening:
    """One of the builds, screened with its plan and its trips."""
    build = read_sheet(ROOT / f"{sheet}.yaml")
    return screen(build, judge().book, judge(), stage, facts=surveyed(build))


def features(sheet: str) -> dict[str, str]:
    """What makes a build another kind than the next one, from its facts."""
    facts = screened(sheet).facts

    def value(part: str, name: str) -> Any:
        known = facts.fact(part, name)
        assert isinstance(known, Fact), (part, name)
        return known.value

    motor = facts.instances("motor")[0]
    series, parallel = (value("battery", f"packs_in_{way}") for way in ("series", "parallel"))
    volts = value("battery", "nominal_voltage")
    return {
        "battery": f"{volts:.1f} V",
        "chemistry": str(value("battery", "chemistry")),
        "packs": f"{series:.0f} in series, {parallel:.0f} in parallel",
        "drive": str(value(motor, "type")),
        "place": str(value("use", "place")),
        "region": _WORDS.get(str(value("use", "region")), "elsewhere"),
    }


def page() -> str:
    """The text of `docs/well-made-builds.md`."""
    rows = [(one, features(one["sheet"])) for one in builds()]
    lines = [
        "# Well-made builds",
        "",
        "<!-- made by python -m tests.make_docs; do not edit -->",
        "",
        "Builds of different kinds that a practitioner would pass, with complete sheets and plans",
        "of their cables, judged for the stages order and wiring. Everything that is found on them",
        "stands here, with the reason. The sheets lie in `scenarios/` and in `tests/well_made/`.",
        "",
        "| build | battery | chemistry | packs | drive | place | region |",
        "| --- | --- | --- | --- | --- | --- | --- |",
    ]
    for one, kind in rows:
        cells = " | ".join(kind.values())
        lines.append(f"| {Path(one['sheet']).name} | {cells} |")
    for one, _ in rows:
        screening = screened(one["sheet"])
        levels = {(f.rule.name, f.about): f.level.word for f in screening.all_findings()}
        title = screening.facts.build.title
        lines += ["", f"## {title}", "", f"`{one['sheet']}.yaml`: {one['what']}.", ""]
        if not one["findings"]:
            lines.append("Nothing is found.")
        for found in one["findings"]:
            level = levels.get((found["rule"], found["about"]), "not found")
            said = f"{found['rule']} on {found['about']}"
            lines.append(f"- {level}: {said}. {_sentence(found['why'])}")
    return "\n".join(lines) + "\n"


def _sentence(text: str) -> str:
    return text[0].upper() + text[1:] + ("" if text.endswith(".") else ".")
