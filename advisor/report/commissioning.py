"""The commissioning guide as text, as Markdown and as data."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Any

from advisor.commissioning.guide import Guide, Phase, Standing, Step
from advisor.facts.origins import Fact
from advisor.report.page import Page, plain
from advisor.report.sentences import CAUTIONS
from advisor.sheet.build import Reading, Tick

FORMAT = "conversion-advisor-commissioning"
VERSION = "1.0"
NOTE = (
    "Go on only when a step is done and its reading is as expected. When a reading is off, stop, "
    "find out why, and begin the step again. Somebody else is there who can help and call help."
)
Wanted = Callable[[Step], bool]
"""Which steps are shown."""


def headline(guide: Guide) -> str:
    """How far the work is, in one sentence."""
    kept = [one for one in guide.steps if one.key is not None]
    number = {
        stands: sum(1 for one in kept if one.standing is stands)
        for stands in (Standing.DANGEROUS, Standing.OFF, Standing.OPEN)
    }
    taken = len(kept) - number[Standing.OPEN]
    said = f"{len(guide.steps)} steps; {taken} of {len(kept)} readings taken"
    ticked = sum(1 for one in guide.steps if one.standing is Standing.DONE)
    if ticked:
        said += f"; {ticked} of {len(guide.steps) - len(kept)} other steps done"
    wrong = [f"{count} {stands}" for stands, count in number.items() if count][:2]
    wrong = [one for one in wrong if not one.endswith(str(Standing.OPEN))]
    return f"{said}; {' and '.join(wrong)}." if wrong else f"{said}."


def numbered(guide: Guide, wanted: Wanted) -> Iterable[tuple[Phase, list[tuple[int, Step]]]]:
    """The wanted steps by phase, each with its number in the whole guide."""
    number = {one.name: count for count, one in enumerate(guide.steps, 1)}
    for phase in Phase:
        found = [(number[one.name], one) for one in guide.of(phase) if wanted(one)]
        if found:
            yield phase, found


def about_reading(one: Reading | Tick) -> list[str]:
    """What is known about a reading or a step: instrument, time, person, note."""
    return [plain(word) for word in (one.instrument, one.time, one.who, one.note) if word]


def reading_text(one: Reading) -> str:
    """A reading as it was written, with what is known about it."""
    about = ", ".join(about_reading(one))
    return f"{one.text} ({about})" if about else one.text


def said_text(one: Tick) -> str:
    """What somebody said of a step."""
    return ", ".join(["done" if one.done else "not done", *about_reading(one)])


def with_what(step: Step) -> str:
    """Instrument and range."""
    return f"{step.instrument}; range {step.range}" if step.range else step.instrument


def expected_text(step: Step) -> str:
    """What is expected, and where it comes from."""
    if step.expectation is None:
        return ""
    return f"{step.expectation.text}. {step.expectation.because}".strip()


def render_guide(guide: Guide, width: int, wanted: Wanted) -> str:
    """The guide as text."""
    page = Page(width)
    page.para(f"COMMISSIONING: {guide.title}")
    page.line("=" * min(width, len(plain(guide.title)) + 15))
    if guide.warning:
        page.para(guide.warning)
    page.para(headline(guide))
    page.para(NOTE)
    for lost in guide.unknown:
        page.para(lost.text)
    page.heading("Cautions")
    for text in (*guide.cautions, *CAUTIONS):
        page.para(text, 2, "-")
    for phase, steps in numbered(guide, wanted):
        page.heading(f"{list(Phase).index(phase) + 1}. {str(phase).capitalize()}")
        for number, step in steps:
            _step_text(page, number, step)
    return page.text()


def _step_text(page: Page, number: int, step: Step) -> None:
    page.line()
    page.para(f"{step.title} ({step.name})", 0, f"[{_tick(step)}] {number}.")
    for label, text in lines_of(step):
        page.para(text, 6, f"{label}:")


def _tick(step: Step) -> str:
    return "x" if step.standing is Standing.DONE else " "


def lines_of(step: Step) -> list[tuple[str, str]]:
    """The lines of a step with their labels; empty ones are left out."""
    found = [("Cautions", "; ".join(step.cautions)), ("Do", step.do)]
    found += [("With", with_what(step)), ("Expected", expected_text(step))]
    found += [("Read", reading_text(one)) for one in step.readings]
    if step.readings:
        found += [("Stands", f"{str(step.standing).upper()}. {' '.join(step.findings)}")]
    elif step.key is not None:
        found += [("Read", f"____________ {step.unit}")]
    found += [("Said", said_text(one)) for one in step.said]
    if step.only_ticked:
        found += [("Open", "a tick is no reading: take the reading")]
    found += [("Stop", step.stop_at)]
    found += [("If", f"{one.reading}: {one.means}") for one in step.wrong]
    found += [("Source", step.source)]
    return [(label, text.strip()) for label, text in found if text.strip()]


def render_markdown(guide: Guide, wanted: Wanted) -> str:
    """The guide as Markdown, with boxes to tick."""
    lines = [f"# Commissioning: {_escaped(guide.title)}", ""]
    lines += [f"**{_escaped(guide.warning)}**", ""] if guide.warning else []
    lines += [headline(guide), "", NOTE, ""]
    lines += [line for lost in guide.unknown for line in (_escaped(lost.text), "")]
    lines += ["## Cautions", ""]
    lines += [f"- {_escaped(one)}" for one in (*guide.cautions, *CAUTIONS)]
    for phase, steps in numbered(guide, wanted):
        lines += ["", f"## {str(phase).capitalize()}"]
        for number, step in steps:
            lines += ["", f"- [{_tick(step)}] **{number}. {_escaped(step.title)}** (`{step.name}`)"]
            lines += [f"  - {label}: {_escaped(text)}" for label, text in lines_of(step)]
    return "\n".join(lines) + "\n"


def _escaped(text: str) -> str:
    """Text in Markdown that is shown as it is."""
    return "".join(f"\\{c}" if c in "\\`*_[]<>#|~&!" else c for c in plain(text))


def guide_data(guide: Guide, wanted: Wanted) -> dict[str, Any]:
    """The guide as data; numbers are SI, texts in the chosen units."""
    return {
        "format": FORMAT,
        "version": VERSION,
        "title": guide.title,
        "warning": guide.warning,
        "summary": headline(guide),
        "unknown_steps": [one.text for one in guide.unknown],
        "cautions": [*guide.cautions, *CAUTIONS],
        "phases": [
            {"phase": str(phase), "steps": [_step_data(number, one) for number, one in steps]}
            for phase, steps in numbered(guide, wanted)
        ],
    }


def _step_data(number: int, step: Step) -> dict[str, Any]:
    expectation = step.expectation
    return {
        "number": number,
        "name": step.name,
        "part": step.part,
        "title": step.title,
        "do": step.do,
        "instrument": step.instrument,
        "range": step.range,
        "reading": ".".join(step.key) if step.key else None,
        "unit": step.unit,
        "expected": None
        if expectation is None
        else {
            "text": expectation.text,
            "because": expectation.because,
            "from": [
                {"key": ".".join(one.key), "value": one.value, "assumed": one.assumed}
                for one in expectation.facts
                if isinstance(one, Fact)
            ],
        },
        "stop_at": step.stop_at,
        "wrong": [{"reading": one.reading, "means": one.means} for one in step.wrong],
        "cautions": list(step.cautions),
        "source": step.source,
        "readings": [
            {
                "value": one.value,
                "text": one.text,
                "instrument": one.instrument,
                "time": one.time,
                "who": one.who,
                "note": one.note,
            }
            for one in step.readings
        ],
        "said": [
            {
                "done": one.done,
                "instrument": one.instrument,
                "time": one.time,
                "who": one.who,
                "note": one.note,
            }
            for one in step.said
        ],
        "standing": str(step.standing),
        "findings": list(step.findings),
    }


__all__ = ["guide_data", "headline", "lines_of", "render_guide", "render_markdown"]
