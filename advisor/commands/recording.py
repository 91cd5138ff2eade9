"""`advisor record`: what was read on the vehicle, into its sheet."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated, Any

import typer

from advisor.commands.commissioning import Guides, PhaseWord
from advisor.commands.shared import SheetArgument, Units, UnitsOption, app, refuse, say


@app.command(context_settings={"ignore_unknown_options": True})  # a value may be "-3.5 A"
def record(
    sheet: SheetArgument,
    step: Annotated[
        str, typer.Argument(metavar="STEP", help="Step, as `advisor commission` names it.")
    ] = "",
    value: Annotated[
        str, typer.Argument(metavar="VALUE", help='What was read, with its unit: "53.1 V".')
    ] = "",
    instrument: Annotated[str, typer.Option(help="With which instrument.")] = "",
    who: Annotated[str, typer.Option(help="Who read it.")] = "",
    time: Annotated[str, typer.Option(help="When: 2026-03-02 14:10. Without it: now.")] = "",
    phase: Annotated[PhaseWord | None, typer.Option(help="Ask for this phase only.")] = None,
    units: UnitsOption = Units.SI,
) -> None:
    """Put a reading into the sheet and say how it stands; without STEP ask for all open ones.

    The asking can be stopped at any time: what was given is in the sheet at once, and the next time
    it goes on from there. Earlier readings stay in the sheet; the last one counts.

    Exit code: 0 recorded, 1 a reading is dangerous, 2 the sheet, the step or the value is wrong,
    3 internal error.
    """
    from advisor.commissioning.guide import Standing
    from advisor.commissioning.recording import (
        add_reading,
        checked_about,
        checked_value,
        find_step,
        outcome,
        turned,
    )
    from advisor.report.page import Page

    about = checked_about(instrument, who, time)
    guides = Guides(sheet, units.value)
    if not step:
        _ask_all(sheet, guides, (instrument, who, time), phase)
        return
    if phase is not None:
        raise refuse("--phase", "goes without STEP", "leave one of them out")
    before = guides.read()
    found = find_step(before, step)
    subject = guides.subject_of(found.key[0]) if found.key else ""
    if not value:
        raise refuse("VALUE", "is missing", f"write what was read ({found.unit or 'a number'})")
    taken = checked_value(found, subject, value, guides.full_voltage)
    add_reading(sheet, found, taken, about)
    guide = guides.read()
    after, others = find_step(guide, found.name), turned(before, guide, found.name)
    page = Page(80)
    for label, text in outcome(after, others):
        page.para(text, 0, f"{label}:")
    say(page.text())
    if any(one.standing is Standing.DANGEROUS for one in (after, *others)):
        raise typer.Exit(1)


def _ask_all(
    sheet: Path, guides: Any, words: tuple[str, str, str], phase: PhaseWord | None
) -> None:
    from advisor.commissioning.asking import open_steps, walk
    from advisor.commissioning.guide import Guide, Phase, Step
    from advisor.commissioning.recording import (
        add_reading,
        checked_about,
        checked_value,
        find_step,
        outcome,
        turned,
    )
    from advisor.report.commissioning import NOTE, headline
    from advisor.report.page import Page

    def paragraph(label: str, text: str) -> None:
        page = Page(80)
        if not label:
            page.line()
        page.para(text, 2 if label else 0, f"{label}:" if label else "")
        say(page.text() if label else f"\n{page.text().lstrip()}")

    guide: Guide = guides.read()

    def save(step: Step, value: str) -> Guide:
        nonlocal guide
        assert step.key is not None
        subject = guides.subject_of(step.key[0])
        value = checked_value(step, subject, value, guides.full_voltage)
        add_reading(sheet, step, value, checked_about(*words))
        after: Guide = guides.read()
        others = turned(guide, after, step.name)
        for label, text in outcome(find_step(after, step.name), others):
            paragraph(label, text)
        guide = after
        return after

    wanted = None if phase is None else Phase[phase.name]
    steps = open_steps(guide, lambda one: wanted is None or one.phase is wanted)
    if not any(one.key is not None for one in steps):
        say("Every reading is taken. `advisor commission` shows how each stands.\n")
        return
    paragraph("", f"{guide.title}: {headline(guide)}")
    if guide.warning:
        paragraph("", guide.warning)
    paragraph("", NOTE)
    try:
        done = walk(guide, steps, paragraph, _ask, save)
    except KeyboardInterrupt:
        say("\nStopped. What was given is in the sheet; start again to go on.\n")
        raise typer.Exit(130) from None
    saved = "1 reading" if done.saved == 1 else f"{done.saved} readings"
    end = f"{saved} saved, {done.left} still open."
    if done.left:
        end += " Start `advisor record` again to go on."
    if done.dangerous:
        end += f" {done.dangerous} dangerous: do not go on before that is settled."
    paragraph("", end)
    if done.dangerous:
        raise typer.Exit(1)


def _ask(question: str) -> str:
    """One line from the terminal. Raises EOFError at the end of input."""
    say(question)
    line = sys.stdin.readline()
    if not line:
        raise EOFError
    return line
