"""A reading for one step, or that it was done: checked, and put into the sheet."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from advisor.commissioning.guide import Guide, Standing, Step
from advisor.commissioning.naming import find
from advisor.problems import Place, Problem, ProblemsFoundError, shown
from advisor.sheet.build import Written
from advisor.sheet.readings import is_time
from advisor.sheet.recording import Entry, StepEntry, record
from advisor.sheet.steps import DONE, NOT_DONE, STATES
from advisor.sheet.values import ValueProblemError, plain_text, read_value
from advisor.units import DIMENSIONS, show
from advisor.vocabulary import VOCABULARY
from advisor.yaml_text import Scalar

_VOLTAGE = DIMENSIONS["voltage"]


@dataclass(frozen=True, slots=True)
class About:
    """What is kept with a reading or a step: with what, by whom, when, and what else to say."""

    instrument: str
    who: str
    time: str
    note: str = ""


def find_step(guide: Guide, name: str) -> Step:
    """The step of a name; `step@part` may also stand where a guide has the step once.

    Raises ProblemsFoundError with the nearest names.
    """
    found = find(name, [(one.name, one.part) for one in guide.steps])
    if isinstance(found, str):
        return next(one for one in guide.steps if one.name == found)
    raise _refused("STEP", *found)


def checked_state(step: Step, value: str, about: About) -> str:
    """`done` or `not-done` where that can be said of a step; empty where a value is a reading.

    Raises ProblemsFoundError in the reader's words.
    """
    if value not in STATES:
        if step.key is None:
            problem = f"the step {step.name} has nothing to read"
            advice = f"write {DONE}, or {NOT_DONE} with a note that says why"
            raise _refused("STEP", problem, advice)
        return ""
    if value == DONE and step.key is not None:
        problem = f"the step {step.name} is done by its reading; a tick is no reading"
        raise _refused("VALUE", problem, f"write what was read ({step.unit or 'a number'})")
    if value == NOT_DONE and step.readings:
        problem = f"the step {step.name} has a reading: {step.readings[-1].text}"
        raise _refused("VALUE", problem, "write the new reading; the last one counts")
    if value == NOT_DONE and not about.note:
        raise _refused("--note", "is missing", "write why the step was not done")
    return value


def checked_value(step: Step, subject: str, value: str, full: float | None = None) -> str:
    """The value as it goes into the sheet. Raises ProblemsFoundError in the reader's words.

    `full` is the battery's full voltage (V): nothing on the vehicle can read twice as much.
    """
    assert step.key is not None
    attribute = VOCABULARY.attribute(subject, step.key[1])
    assert attribute is not None
    path = ".".join(step.key)
    try:
        found = read_value(attribute, Scalar(value, Place()))
    except ValueProblemError as error:
        raise _refused(path, error.problem, error.advice) from None
    if not isinstance(found, Written):
        advice = "leave the step open, or write what was read"
        raise _refused(path, f"{shown(value)} is no reading", advice)
    if attribute.dimension == _VOLTAGE and full is not None and isinstance(found.value, float):
        _possible(path, value, found.value, full)
    return " ".join(value.split())


def _possible(path: str, text: str, volts: float, full: float) -> None:
    if volts > 2 * full:
        problem = f"{shown(text)} cannot be: the full battery has {show(full, 'V')}"
        raise _refused(path, problem, "look at the decimal point and at the unit")


def checked_about(instrument: str, who: str, time: str, note: str = "") -> About:
    """What is kept with an entry, as it goes into the sheet; without a time it is now."""
    words = []
    for option, text in (("--instrument", instrument), ("--who", who), ("--note", note)):
        try:
            words.append(plain_text(text))
        except ValueProblemError as error:
            raise _refused(option, error.problem, error.advice) from None
    if time and not is_time(time):
        raise _refused("--time", f"{shown(time)} is no time", "write 2026-03-02 14:10")
    return About(words[0], words[1], time or f"{datetime.now():%Y-%m-%d %H:%M}", words[2])


def add(
    sheet: Path,
    step: Step,
    subject_of: Callable[[str], str],
    value: str,
    about: About,
    full: float | None = None,
) -> None:
    """Check a reading or a state of a step and write it into the sheet.

    `subject_of` gives the kind of a part, `full` is as in `checked_value`. Raises
    ProblemsFoundError; the sheet then stays as it was.
    """
    state = checked_state(step, value, about)
    rest = (about.instrument, about.time, about.who, about.note)
    if state:
        record(sheet, StepEntry(_lasting(step, subject_of(step.part)), state, *rest))
        return
    assert step.key is not None
    value = checked_value(step, subject_of(step.key[0]), value, full)
    record(sheet, Entry(*step.key, value, *rest))


def _lasting(step: Step, subject: str) -> str:
    """The name of a step as it is kept: with its part where a vehicle may have several.

    So it still fits when a part is added, and does not pass to the part that replaces it.
    """
    several = VOCABULARY.subjects[subject].many or step.part != subject
    return f"{step.name.partition('@')[0]}@{step.part}" if several else step.name


def turned(before: Guide, after: Guide, name: str) -> tuple[Step, ...]:
    """Other steps that a new reading of the step `name` has made off or dangerous.

    A current or a temperature has no limit of its own; what was read beside it may be wrong by it.
    """
    stood = {one.name: one.standing for one in before.steps}
    wrong = (Standing.OFF, Standing.DANGEROUS)
    return tuple(
        one
        for one in after.steps
        if one.name != name and one.standing in wrong and stood.get(one.name) != one.standing
    )


def outcome(step: Step, others: tuple[Step, ...] = ()) -> list[tuple[str, str]]:
    """What is said of a step after its entry: labelled paragraphs, the first is the standing.

    `others` are the steps that stand worse since.
    """
    if not step.readings and step.said:
        return _outcome_of_state(step)
    last = step.readings[-1].text if step.readings else "nothing"
    said = f"{step.name}: read {last}"
    if step.expectation is not None:
        said = f"{said}; expected {step.expectation.text}"
    if step.standing is not Standing.NO_EXPECTATION:
        said = f"{said}. It is {str(step.standing).upper()}."
    elif step.expectation is not None:
        said = f"{said}. There is nothing to compare it with yet."
    else:
        said = f"{said}. It has no limit of its own; other steps are compared with it."
    found = [("Saved", said), *(("Found", one) for one in step.findings)]
    if step.standing in (Standing.OFF, Standing.DANGEROUS):
        found += [("Stop", step.stop_at)] if step.stop_at else []
        found += [("If", f"{one.reading}: {one.means}") for one in step.wrong]
    for one in others:
        said = (
            f"{one.name}: {one.readings[-1].text} is {str(one.standing).upper()} by this reading."
        )
        found.append(("Also", " ".join([said, *one.findings])))
        found += [("Stop", one.stop_at)] if one.stop_at else []
    if len(step.readings) > 1:
        found.append(("Kept", f"{len(step.readings) - 1} earlier of this step; the last counts"))
    return found


def _outcome_of_state(step: Step) -> list[tuple[str, str]]:
    last = step.said[-1]
    said = f"{step.name} is {str(step.standing).upper()}"
    said += f": {last.note.rstrip('.')}." if last.note else "."
    if step.open:
        said += " It stays open, and the review before handoff names it."
    found = [("Saved", said)]
    if len(step.said) > 1:
        found.append(("Kept", f"{len(step.said) - 1} earlier of this step; the last counts"))
    return found


def with_note(about: About, note: str) -> About:
    """The same with a note. Raises ProblemsFoundError for a text that cannot be printed."""
    try:
        return replace(about, note=plain_text(note))
    except ValueProblemError as error:
        raise _refused("--note", error.problem, error.advice) from None


def _refused(path: str, problem: str, advice: str) -> ProblemsFoundError:
    return ProblemsFoundError([Problem(path, Place(), "", problem, advice)])


__all__ = ["About", "add", "checked_about", "find_step", "outcome", "turned", "with_note"]
