"""`advisor commission`: the order of connection and test for one vehicle."""

from __future__ import annotations

import json as json_text
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any

import typer

from advisor.commands.shared import (
    OutputOption,
    RulesOption,
    SheetArgument,
    Units,
    UnitsOption,
    app,
    book_with,
    facts_with_plan,
    has_plan,
    put,
    refuse,
)


class GuideFormat(StrEnum):
    """Forms of the guide."""

    TEXT = "text"
    MARKDOWN = "markdown"
    HTML = "html"
    JSON = "json"


class PhaseWord(StrEnum):
    """The phases of the work, in one word each."""

    BEFORE = "before"
    BATTERY = "battery"
    CONTROLLER = "controller"
    POWER = "power"
    CONTACTOR = "contactor"
    ACCESSORIES = "accessories"
    CHARGING = "charging"
    WHEELS = "wheels"
    DRIVE = "drive"
    BRAKES = "brakes"
    AFTER = "after"


@app.command()
def commission(
    sheet: SheetArgument,
    format: Annotated[GuideFormat, typer.Option(help="Form of the guide.")] = GuideFormat.TEXT,
    phase: Annotated[PhaseWord | None, typer.Option(help="Only this phase.")] = None,
    open_only: Annotated[
        bool, typer.Option("--open", help="Only steps whose reading is still missing.")
    ] = False,
    units: UnitsOption = Units.SI,
    width: Annotated[int, typer.Option(min=40, max=400, help="Columns of the text.")] = 80,
    rules: RulesOption = None,
    output: OutputOption = None,
) -> None:
    """Guide the connection and the tests of this vehicle, step by step, with expected readings.

    Exit code: 0 the guide was made, 2 the sheet or the call is wrong, 3 internal error.
    """
    from advisor.commissioning.guide import Phase, Step
    from advisor.report.commissioning import guide_data, render_guide, render_markdown

    guide = Guides(sheet, units.value, rules).read()

    def wanted(step: Step) -> bool:
        if phase is not None and step.phase is not Phase[phase.name]:
            return False
        return not open_only or (step.open and (step.key is not None or bool(step.said)))

    match format:
        case GuideFormat.TEXT:
            text = render_guide(guide, width, wanted)
        case GuideFormat.MARKDOWN:
            text = render_markdown(guide, wanted)
        case GuideFormat.JSON:
            text = json_text.dumps(guide_data(guide, wanted), indent=2) + "\n"
        case GuideFormat.HTML:
            try:
                from advisor.report.commissioning_page import render_page
            except ModuleNotFoundError as error:
                raise refuse("--format html", *_engine_missing(error)) from None
            text = render_page(guide, wanted)
    put(text, output)


def _engine_missing(error: ModuleNotFoundError) -> tuple[str, str]:
    if error.name not in ("jinja2", "markupsafe"):
        raise error
    return (
        "the page needs jinja2, which is not installed",
        "install it with pip install 'conversion-advisor[report]', or use --format markdown",
    )


class Guides:
    """The guide of a sheet, made anew from its file each time; rules and steps are read once."""

    def __init__(self, sheet: Path, system: str, rules: Path | None = None) -> None:
        from advisor.commissioning.loading import load_steps
        from advisor.engine import Judge

        self.sheet = sheet
        self.system = system
        self.book = book_with(rules)
        self.screening: Any = None
        self._judge = Judge(self.book)
        self._steps = load_steps()
        self._subjects: dict[str, str] = {}
        self.full_voltage: float | None = None

    def read(self) -> Any:
        """The guide, screened for handoff. Raises ProblemsFoundError."""
        from advisor.commissioning.building import build_guide
        from advisor.facts.origins import Fact

        self.screening = screening = self.screened(self.sheet)
        build = screening.facts.build
        self._subjects = {one.id: one.subject for one in build.instances}
        full = screening.facts.fact("battery", "full_voltage")
        self.full_voltage = float(full.value) if isinstance(full, Fact) else None
        points = None
        if has_plan(build):
            from advisor.commissioning.ways import Ways

            points = Ways(screening.facts)
        return build_guide(screening, self._steps, self.system, points)

    def screened(self, sheet: Path) -> Any:
        """A sheet screened for handoff. Raises ProblemsFoundError."""
        from advisor.findings.screening import screen
        from advisor.sheet.reading import read_sheet

        build = read_sheet(sheet)
        facts = facts_with_plan(build)
        return screen(build, self.book, self._judge, "handoff", self.system, facts)

    def subject_of(self, part: str) -> str:
        """The kind of a part of the guide that was read last."""
        return self._subjects[part]
