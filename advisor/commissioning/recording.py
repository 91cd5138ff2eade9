"""One reading for one step: the step found, the value checked, and put into the sheet."""

from __future__ import annotations

from datetime import datetime
from difflib import get_close_matches
from pathlib import Path

from advisor.commissioning.guide import Guide, Standing, Step
from advisor.problems import Place, Problem, ProblemsFoundError, shown
from advisor.sheet.build import Written
from advisor.sheet.readings import is_time
from advisor.sheet.recording import Entry, record
from advisor.sheet.values import ValueProblemError, plain_text, read_value
from advisor.units import DIMENSIONS, show
from advisor.vocabulary import VOCABULARY
from advisor.yaml_text import Scalar

_VOLTAGE = DIMENSIONS["voltage"]


def find_step(guide: Guide, name: str) -> Step:
    """The step of a name; `step@part` may also stand where a guide has the step once.

    Raises ProblemsFoundError with the nearest names.
    """
    plain, _, part = name.partition("@")
    for one in guide.steps:
        if name == one.name or (one.name == plain and part == one.part):
            return one
    several = [one.name for one in guide.steps if one.name.partition("@")[0] == name]
    if several:
        problem = f"{shown(name)} is there for {len(several)} parts"
        raise _refused("STEP", problem, f"write one of: {', '.join(several)}")
    names = [one.name for one in guide.steps]
    close = get_close_matches(name, names, n=3, cutoff=0.5)
    close = close or get_close_matches(plain, names, n=3, cutoff=0.5)
    advice = f"did you mean {' or '.join(close)}" if close else "advisor commission lists the steps"
    raise _refused("STEP", f"{shown(name)} is no step of this vehicle", advice)


def checked_value(step: Step, subject: str, value: str, full: float | None = None) -> str:
    """The value as it goes into the sheet. Raises ProblemsFoundError in the reader's words.

    `full` is the battery's full voltage (V): nothing on the vehicle can read twice as much.
    """
    if step.key is None:
        problem = f"the step {step.name} has nothing to read"
        raise _refused("STEP", problem, "tick it on the printed guide")
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


def checked_about(instrument: str, who: str, time: str) -> tuple[str, str, str]:
    """Instrument, person and time as they go into the sheet; without a time it is now."""
    words = []
    for option, text in (("--instrument", instrument), ("--who", who)):
        try:
            words.append(plain_text(text))
        except ValueProblemError as error:
            raise _refused(option, error.problem, error.advice) from None
    if time and not is_time(time):
        raise _refused("--time", f"{shown(time)} is no time", "write 2026-03-02 14:10")
    return words[0], words[1], time or f"{datetime.now():%Y-%m-%d %H:%M}"


def add_reading(sheet: Path, step: Step, value: str, about: tuple[str, str, str]) -> None:
    """Write a checked reading into the sheet. Raises ProblemsFoundError."""
    assert step.key is not None
    instrument, who, time = about
    record(sheet, Entry(*step.key, value, instrument, time, who))


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
    """What is said of a step after its reading: labelled paragraphs, the first is the standing.

    `others` are the steps that stand worse since.
    """
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


def _refused(path: str, problem: str, advice: str) -> ProblemsFoundError:
    return ProblemsFoundError([Problem(path, Place(), "", problem, advice)])


__all__ = ["add_reading", "checked_about", "checked_value", "find_step", "outcome", "turned"]
