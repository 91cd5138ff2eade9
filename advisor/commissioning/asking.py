"""Asking for the open steps one after the other; what was given is saved at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from advisor.commissioning.guide import Guide, Standing, Step
from advisor.commissioning.recording import turned
from advisor.problems import ProblemsFoundError
from advisor.sheet.steps import DONE, NOT_DONE

_BARE_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")
_STATE = re.compile(r"(not[- ]done|done|yes|no|y|n)(?:[\s,.:;-]+(.*))?", re.I | re.S)

Say = Callable[[str, str], None]
"""Print one paragraph, with a label before it."""
Ask = Callable[[str], str]
"""Ask on the terminal; raises EOFError where the input ends."""
Save = Callable[[Step, str, str], Guide]
"""Put a reading or a state, with a note, into the sheet; gives the guide as it stands then.

Raises ProblemsFoundError."""


@dataclass(frozen=True, slots=True)
class Walk:
    """What a walk through the steps came to: entries saved, steps still open, those dangerous."""

    saved: int
    left: int
    dangerous: int


class _StoppedError(Exception):
    """The person has had enough."""


def open_steps(guide: Guide, wanted: Callable[[Step], bool]) -> list[Step]:
    """The steps to walk through: those that nobody did, also where somebody said why."""
    return [one for one in guide.steps if one.open and wanted(one)]


def walk(guide: Guide, steps: list[Step], say: Say, ask: Ask, save: Save) -> Walk:
    """Walk through steps; Enter leaves one open, `q` or the end of input stops.

    Each step is shown as the readings before it have made it: what is expected may hang on them.
    """
    saved = dangerous = 0
    phase = ""
    left = len(steps)
    try:
        for name in [one.name for one in steps]:
            number, one = _find(guide, name)
            if one is None:
                continue
            if one.phase != phase:
                phase = one.phase
                say("", f"== {str(phase).capitalize()} ==")
            _show(one, number, len(guide.steps), say)
            taken, before = [], guide
            for guide in _entries(one, say, ask, save):
                after = _find(guide, name)[1]
                taken.append(after.standing if after is not None else Standing.NO_EXPECTATION)
            saved += len(taken)
            left -= 1 if taken and taken[-1] is not Standing.NOT_DONE else 0
            dangerous += 1 if taken and taken[-1] is Standing.DANGEROUS else 0
            others = turned(before, guide, name)
            dangerous += sum(1 for each in others if each.standing is Standing.DANGEROUS)
    except _StoppedError:
        pass
    return Walk(saved, left, dangerous)


def _find(guide: Guide, name: str) -> tuple[int, Step | None]:
    """The number and the step of a name; a reading may have made a step needless."""
    found = ((number, one) for number, one in enumerate(guide.steps, 1) if one.name == name)
    return next(found, (0, None))


def _show(step: Step, number: int, of: int, say: Say) -> None:
    say("", f"{number} of {of}. {step.title} ({step.name})")
    if step.cautions:
        say("Cautions", "; ".join(step.cautions))
    say("Do", step.do)
    if step.instrument:
        say("With", f"{step.instrument}; range {step.range}" if step.range else step.instrument)
    if step.expectation is not None:
        say("Expected", f"{step.expectation.text}. {step.expectation.because}")
    if step.stop_at:
        say("Stop", step.stop_at)
    if step.only_ticked:
        say("Open", "It was said to be done, but its reading is missing.")
    elif step.said:
        say("Open", f"It was said not to be done: {step.said[-1].note}")


def _entries(step: Step, say: Say, ask: Ask, save: Save) -> Iterator[Guide]:
    """Ask for a step until it is done or read and not off, or left; gives the guide each time."""
    question = f"Reading ({step.unit}; Enter leaves it open, q stops): "
    if step.key is None:
        question = "Done? (yes; or no and why; Enter leaves it open, q stops): "
    while True:
        text = _answer(ask, question)
        if not text:
            return
        value, note = _value(step, text)
        if value == NOT_DONE and not note:
            note = _answer(ask, "Why not? (Enter leaves it open, q stops): ")
            if not note:
                return
        try:
            guide = save(step, value, note)
        except ProblemsFoundError as error:
            for problem in error.problems:
                say("Not taken", f"{problem.problem}; {problem.advice}".rstrip("; "))
            continue
        yield guide
        after = _find(guide, step.name)[1]
        if after is None or after.standing not in (Standing.OFF, Standing.DANGEROUS):
            return
        question = "Measured again? Enter the new reading, or Enter to go on, q stops: "


def _answer(ask: Ask, question: str) -> str:
    """What was typed, without spaces around it. Raises _StoppedError."""
    try:
        text = ask(question).strip()
    except EOFError:
        raise _StoppedError from None
    if text in ("q", "quit"):
        raise _StoppedError
    return text


def _value(step: Step, text: str) -> tuple[str, str]:
    """The value and the note in what was typed; a bare number takes the unit of the question.

    For a step with a reading only `not-done` is a state: yes and no may be readings.
    """
    found = _STATE.fullmatch(text)
    if found:
        word, note = found[1].lower().replace(" ", "-"), (found[2] or "").strip()
        if word == NOT_DONE or (step.key is None and word in ("no", "n")):
            return NOT_DONE, note
        if step.key is None:
            return DONE, note
    if step.key and _BARE_NUMBER.fullmatch(text) and step.unit and step.unit != "yes or no":
        return f"{text} {step.unit}", ""
    return text, ""


__all__ = ["Walk", "open_steps", "walk"]
