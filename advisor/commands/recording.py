"""`advisor record`: what was read and done on the vehicle, into its sheet."""

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
        str,
        typer.Argument(
            metavar="VALUE",
            help='What was read, with its unit: "53.1 V". A step with nothing to read: done. Any '
            "step that was left out: not-done.",
        ),
    ] = "",
    instrument: Annotated[str, typer.Option(help="With which instrument.")] = "",
    who: Annotated[str, typer.Option(help="Who read or did it.")] = "",
    time: Annotated[str, typer.Option(help="When: 2026-03-02 14:10. Without it: now.")] = "",
    note: Annotated[
        str, typer.Option(help="What else to keep with it; of not-done the reason.")
    ] = "",
    phase: Annotated[PhaseWord | None, typer.Option(help="Ask for this phase only.")] = None,
    units: UnitsOption = Units.SI,
) -> None:
    """Put a reading or a done step into the sheet; without STEP ask for all open ones.

    The asking can be stopped at any time: what was given is in the sheet at once, and the next time
    it goes on from there. Earlier entries stay in the sheet; the last one counts.

    Exit code: 0 recorded, 1 a reading is dangerous, 2 the sheet, the step or the value is wrong,
    3 internal error.
    """
    from advisor.commissioning.guide import Standing
    from advisor.commissioning.recording import add, checked_about, find_step, outcome, turned
    from advisor.report.page import Page

    about = checked_about(instrument, who, time, note)
    guides = Guides(sheet, units.value)
    if not step:
        if note:
            raise refuse("--note", "goes with one STEP", "leave it out, or name the step")
        _ask_all(sheet, guides, (instrument, who, time), phase)
        return
    if phase is not None:
        raise refuse("--phase", "goes without STEP", "leave one of them out")
    before = guides.read()
    found = find_step(before, step)
    if not value:
        wanted = f"what was read ({found.unit or 'a number'})" if found.key else "done or not-done"
        raise refuse("VALUE", "is missing", f"write {wanted}")
    add(sheet, found, guides.subject_of, value, about, guides.full_voltage)
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
        add,
        checked_about,
        find_step,
        outcome,
        turned,
        with_note,
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

    def save(step: Step, value: str, note: str) -> Guide:
        nonlocal guide
        about = with_note(checked_about(*words), note)
        add(sheet, step, guides.subject_of, value, about, guides.full_voltage)
        after: Guide = guides.read()
        others = turned(guide, after, step.name)
        for label, text in outcome(find_step(after, step.name), others):
            paragraph(label, text)
        guide = after
        return after

    wanted = None if phase is None else Phase[phase.name]
    steps = open_steps(guide, lambda one: wanted is None or one.phase is wanted)
    if not steps:
        say("Every step is done. `advisor commission` shows how each stands.\n")
        return
    paragraph("", f"{guide.title}: {headline(guide)}")
    if guide.warning:
        paragraph("", guide.warning)
    for lost in guide.unknown:
        paragraph("", lost.text)
    paragraph("", NOTE)
    try:
        done = walk(guide, steps, paragraph, _ask, save)
    except KeyboardInterrupt:
        say("\nStopped. What was given is in the sheet; start again to go on.\n")
        raise typer.Exit(130) from None
    saved = "1 entry" if done.saved == 1 else f"{done.saved} entries"
    end = f"{saved} saved, {done.left} steps still open."
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
