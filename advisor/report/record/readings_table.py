"""For the technician: what was measured against what is expected, phase by phase."""

from __future__ import annotations

from collections.abc import Iterator

from advisor.commissioning.guide import Guide, Phase, Standing, Step
from advisor.report.record.blocks import Block, bullets, table, text

_HEADS = ("Step", "Part", "With", "Expected", "Read", "Comes out as")
_MARK = {
    Standing.PLAUSIBLE: "plausible",
    Standing.OFF: "OFF",
    Standing.DANGEROUS: "DANGEROUS",
    Standing.OPEN: "not taken",
    Standing.NO_EXPECTATION: "nothing to compare with",
    Standing.DONE: "done",
    Standing.NOT_DONE: "not done",
}


def readings(guide: Guide) -> list[Block]:
    """A table for each phase that has steps with a reading; how many were taken."""
    asked = [one for one in guide.steps if one.key is not None]
    if not asked:
        return [text("The guide of this build asks for no readings.")]
    blocks = [text(guide.warning)] if guide.warning else []
    blocks.append(text(_counted(asked)))
    wrong = [line for one in guide.steps for line in _wrong(one)]
    if wrong:
        blocks.append(bullets(wrong, "Readings that are not as expected"))
    for phase in Phase:
        rows = [_row(one) for one in guide.of(phase) if one.key is not None]
        if rows:
            blocks.append(table(phase.value[:1].upper() + phase.value[1:], _HEADS, rows))
    said = [_said_row(one) for one in guide.steps if one.said]
    if said:
        heads = ("Step", "Part", "State", "Said by, when, note")
        blocks.append(table("Steps that were said to be done, or not", heads, said))
    blocks += [text(one.text) for one in guide.unknown]
    return blocks


def _said_row(step: Step) -> tuple[str, ...]:
    last = step.said[-1]
    state = "done" if last.done else "not done"
    state += ", but its reading is missing" if step.only_ticked else ""
    about = ", ".join(one for one in (last.who, last.time, last.instrument, last.note) if one)
    return f"{step.title} [{step.name}]", step.part_text, state, about or "-"


def _counted(steps: list[Step]) -> str:
    taken = [one for one in steps if one.readings]
    by = {standing: sum(1 for one in steps if one.standing is standing) for standing in Standing}
    parts = [f"{number} {_MARK[standing]}" for standing, number in by.items() if number]
    return f"{len(taken)} of {len(steps)} readings were taken: {', '.join(parts)}."


def _row(step: Step) -> tuple[str, ...]:
    wanted = "-"
    if step.expectation is not None:
        because = f" ({step.expectation.because})" if step.expectation.because else ""
        wanted = f"{step.expectation.text}{because}"
    instrument = ", ".join(one for one in (step.instrument, step.range) if one)
    return (
        f"{step.title} [{step.name}]",
        step.part_text,
        instrument or "-",
        wanted,
        _read(step),
        _MARK[step.standing],
    )


def _read(step: Step) -> str:
    """The last reading, who took it when and with what; earlier ones after it."""
    if not step.readings:
        return "-"
    listed = []
    for one in reversed(step.readings):
        about = ", ".join(part for part in (one.time, one.who, one.instrument, one.note) if part)
        listed.append(f"{one.text} ({about})" if about else one.text)
    earlier = f"; before that: {'; '.join(listed[1:])}" if listed[1:] else ""
    return listed[0] + earlier


def _wrong(step: Step) -> Iterator[str]:
    if step.standing not in (Standing.OFF, Standing.DANGEROUS):
        return
    yield f"{step.title}, {step.part_text}: {_read(step)} is {_MARK[step.standing]}. " + " ".join(
        step.findings
    )


__all__ = ["readings"]
