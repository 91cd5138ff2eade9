"""Asking for the open readings one after the other; what was given is saved at once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from advisor.commissioning.guide import Guide, Standing, Step
from advisor.commissioning.recording import turned
from advisor.problems import ProblemsFoundError

_BARE_NUMBER = re.compile(r"-?[0-9]+(?:\.[0-9]+)?")

Say = Callable[[str, str], None]
"""Print one paragraph, with a label before it."""
Ask = Callable[[str], str]
"""Ask on the terminal; raises EOFError where the input ends."""
Save = Callable[[Step, str], Guide]
"""Put a reading into the sheet; gives the guide as it stands then. Raises ProblemsFoundError."""


@dataclass(frozen=True, slots=True)
class Walk:
    """What a walk through the steps came to."""

    saved: int
    left: int
    dangerous: int


class _StoppedError(Exception):
    """The person has had enough."""


def open_steps(guide: Guide, wanted: Callable[[Step], bool]) -> list[Step]:
    """The steps to walk through: from the first open reading on, with what leads up to it.

    Steps without a reading are not kept anywhere; those before the first open reading count as
    done, but for the ones right before it.
    """
    steps = [one for one in guide.steps if wanted(one)]
    first = next((number for number, one in enumerate(steps) if _open(one)), len(steps))
    while 0 < first < len(steps) and steps[first - 1].key is None:
        first -= 1
    return [one for one in steps[first:] if one.key is None or _open(one)]


def _open(step: Step) -> bool:
    return step.key is not None and step.standing is Standing.OPEN


def walk(guide: Guide, steps: list[Step], say: Say, ask: Ask, save: Save) -> Walk:
    """Walk through steps; Enter leaves one open, `q` or the end of input stops.

    Each step is shown as the readings before it have made it: what is expected may hang on them.
    """
    saved = dangerous = 0
    phase = ""
    left = sum(1 for one in steps if one.key is not None)
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
            for guide in _readings(one, say, ask, save):
                after = _find(guide, name)[1]
                taken.append(after.standing if after is not None else Standing.NO_EXPECTATION)
            saved += len(taken)
            left -= 1 if taken else 0
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


def _readings(step: Step, say: Say, ask: Ask, save: Save) -> Iterator[Guide]:
    """Ask for a step until it is read and not off, or left; gives the guide after each reading."""
    question = f"Reading ({step.unit}; Enter leaves it open, q stops): "
    if step.key is None:
        question = "Enter when it is done, q stops: "
    while True:
        try:
            text = ask(question).strip()
        except EOFError:
            raise _StoppedError from None
        if text in ("q", "quit"):
            raise _StoppedError
        if not text:
            return
        if step.key is None:
            say("Not taken", "this step keeps no reading; press Enter when it is done")
            continue
        if _BARE_NUMBER.fullmatch(text) and step.unit and step.unit != "yes or no":
            text = f"{text} {step.unit}"  # the question names the unit
        try:
            guide = save(step, text)
        except ProblemsFoundError as error:
            for problem in error.problems:
                say("Not taken", f"{problem.problem}; {problem.advice}".rstrip("; "))
            continue
        yield guide
        after = _find(guide, step.name)[1]
        if after is None or after.standing not in (Standing.OFF, Standing.DANGEROUS):
            return
        question = "Measured again? Enter the new reading, or Enter to go on, q stops: "


__all__ = ["Walk", "open_steps", "walk"]
