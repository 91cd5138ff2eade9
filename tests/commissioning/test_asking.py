"""The walk through the open steps: what is saved, what is asked again, how it stops."""

from __future__ import annotations

import os
import pty
import select
import subprocess
import sys
import time
from dataclasses import replace
from pathlib import Path

import pytest

from advisor.commissioning.asking import Walk, open_steps, walk
from advisor.commissioning.guide import Guide, Phase, Standing, Step
from advisor.commissioning.recording import outcome, turned
from advisor.problems import Place, Problem, ProblemsFoundError
from advisor.sheet.build import Reading


def step(name: str, reading: bool = True, unit: str = "V", **more: object) -> Step:
    made = Step(
        name, Phase.BATTERY, f"Title of {name}", "Do it.", "battery", "battery", "meter", "",
        ("battery", name) if reading else None, unit if reading else "", None, "Stop then.", (),
        (), "common practice, no source", (), Standing.OPEN, (),
    )  # fmt: skip
    return replace(made, **more)  # type: ignore[arg-type]


class Person:
    """Types some lines; keeps what was said and saved."""

    def __init__(self, *lines: str, standing: Standing = Standing.PLAUSIBLE) -> None:
        self.lines = list(lines)
        self.standing = standing
        self.said: list[str] = []
        self.guide = Guide("", (), ())
        self.saved: list[tuple[str, str]] = []

    def say(self, label: str, text: str) -> None:
        self.said.append(f"{label}: {text}")

    def ask(self, question: str) -> str:
        if not self.lines:
            raise EOFError
        return self.lines.pop(0) + "\n"

    def save(self, one: Step, value: str, note: str) -> Guide:
        if "nonsense" in value:
            raise ProblemsFoundError([Problem("VALUE", Place(), "", "is no voltage", "write 12 V")])
        self.saved.append((one.name, f"{value}: {note}" if note else value))
        if value in ("done", "not-done"):
            return self.put(replace(one, standing=Standing[value.upper().replace("-", "_")]))
        standing = Standing.DANGEROUS if value.startswith("0") else self.standing
        readings = (*one.readings, Reading(0.0, value, Place()))
        return self.put(replace(one, readings=readings, standing=standing))

    def put(self, after: Step) -> Guide:
        """The guide with a step as it is now."""
        steps = tuple(after if each.name == after.name else each for each in self.guide.steps)
        self.guide = self.change(replace(self.guide, steps=steps))
        return self.guide

    def change(self, guide: Guide) -> Guide:
        """What the readings change of later steps; nothing here."""
        return guide


def walked(person: Person, *steps: Step) -> Walk:
    person.guide = Guide("A cart", steps, ())
    first = open_steps(person.guide, lambda _: True)
    return walk(person.guide, first, person.say, person.ask, person.save)


A, B, TICK = step("step-a"), step("step-b"), step("tick", reading=False)


def test_values_are_saved_in_order_and_enter_leaves_a_step_open() -> None:
    person = Person("53.1 V", "", "12 V")
    assert walked(person, A, B, step("step-c")) == Walk(2, 1, 0)
    assert person.saved == [("step-a", "53.1 V"), ("step-c", "12 V")]


def test_a_bare_number_takes_the_unit_of_the_question() -> None:
    person = Person("53.1", "-3.5")
    walked(person, A, step("step-b", unit="°F"))
    assert person.saved == [("step-a", "53.1 V"), ("step-b", "-3.5 °F")]
    person = Person("1")
    walked(person, step("step-a", unit="yes or no"))
    assert person.saved == [("step-a", "1")]  # refused by the reader of the sheet, not guessed


def test_nonsense_is_asked_again() -> None:
    person = Person("nonsense", "53 V")
    assert walked(person, A).saved == 1
    assert "Not taken: is no voltage; write 12 V" in person.said


@pytest.mark.parametrize("last", ["q", "quit"])
def test_q_stops(last: str) -> None:
    person = Person("53 V", last, "99 V")
    assert walked(person, A, B) == Walk(1, 1, 0)
    assert person.lines == ["99 V"]


def test_the_end_of_input_stops() -> None:
    assert walked(Person("53 V"), A, B, TICK) == Walk(1, 2, 0)


def test_a_reading_that_is_off_is_asked_for_again() -> None:
    person = Person("0 V", "53 V", "12 V")
    assert walked(person, A, B) == Walk(3, 0, 0)
    assert [name for name, _ in person.saved] == ["step-a", "step-a", "step-b"]
    person = Person("0 V", "", "12 V")
    assert walked(person, A, B) == Walk(2, 0, 1)


def test_a_step_is_shown_as_the_readings_before_it_have_made_it() -> None:
    class Later(Person):
        def change(self, guide: Guide) -> Guide:
            steps = [
                replace(one, do="Do it otherwise.") if one.name == "step-b" else one
                for one in guide.steps
                if one.name != "step-c"
            ]
            return replace(guide, steps=tuple(steps))

    person = Later("53 V", "12 V", "1 V")
    assert walked(person, A, B, step("step-c")).saved == 2
    assert "Do: Do it otherwise." in person.said
    assert not any("step-c" in one for one in person.said)


def test_what_a_reading_makes_dangerous_elsewhere_counts() -> None:
    """A current of a drop has no limit of its own; the drop that was read before it has."""

    class Drop(Person):
        def change(self, guide: Guide) -> Guide:
            wrong = replace(drop, standing=Standing.DANGEROUS)
            return replace(guide, steps=tuple(wrong if one == drop else one for one in guide.steps))

    drop = step("drop", standing=Standing.PLAUSIBLE, readings=(Reading(0.2, "0.2 V", Place()),))
    person = Drop("20 A", standing=Standing.NO_EXPECTATION)
    assert walked(person, drop, step("current")).dangerous == 1
    before, after = (
        Guide("", (drop, A), ()),
        Guide("", (replace(drop, standing=Standing.OFF), A), ()),
    )
    assert [one.name for one in turned(before, after, "step-a")] == ["drop"]
    assert turned(after, after, "step-a") == () and turned(before, after, "drop") == ()
    said = dict(outcome(A, turned(before, after, "step-a")))
    assert "drop: 0.2 V is OFF" in said["Also"]


def test_a_step_without_a_reading_is_said_to_be_done_or_not() -> None:
    person = Person("yes", "53 V")
    assert walked(person, TICK, A) == Walk(2, 0, 0)
    assert person.saved == [("tick", "done"), ("step-a", "53 V")]
    person = Person("no, it rains", "done: twice")
    assert walked(person, TICK, step("other", reading=False)) == Walk(2, 1, 0)
    assert person.saved == [("tick", "not-done: it rains"), ("other", "done: twice")]


def test_a_step_that_was_not_done_wants_a_reason() -> None:
    person = Person("no", "it rains")
    assert walked(person, TICK).saved == 1
    assert person.saved == [("tick", "not-done: it rains")]
    assert walked(Person("no", ""), TICK) == Walk(0, 1, 0)


def test_it_asks_for_every_open_step_and_for_no_other() -> None:
    done = replace(A, standing=Standing.PLAUSIBLE)
    ticked = step("ticked", reading=False, standing=Standing.DONE)
    refused = step("refused", reading=False, standing=Standing.NOT_DONE)
    guide = Guide("A cart", (ticked, done, TICK, B, refused), ())
    names = [one.name for one in open_steps(guide, lambda _: True)]
    assert names == ["tick", "step-b", "refused"]
    assert open_steps(Guide("A cart", (ticked, done), ()), lambda _: True) == []


SHEET = """\
sheet: 1   # kept
parts:
  packs:
    - {id: pack-a, chemistry: lfp, cells_in_series: 16}
"""


def test_on_a_terminal_it_saves_at_once_and_can_be_continued(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.yaml"
    sheet.write_text(SHEET)
    first = on_terminal(sheet, ["", "no", "yes", "perhaps", "yes", "q"])
    assert "Not taken: " in first and "1 of " in first and "3 entries saved" in first
    assert sheet.read_text().startswith(SHEET)
    assert sheet.read_text().count("what: ") == 2
    assert sheet.read_text().count("state: done") == 1
    second = on_terminal(sheet, ["yes", "q"])
    assert "pack-rest" in second and "pack-look" not in second
    assert sheet.read_text().count("what: ") == 2
    third = on_terminal(sheet, ["2", "\x04"])  # control-D ends the input
    assert "1 entry saved" in third
    assert sheet.read_text().count("what: ") == 3
    fourth = on_terminal(sheet, ["90", "\x03"])  # control-C stops
    assert "Stopped. What was given is in the sheet" in fourth
    assert sheet.read_text().count("what: ") == 4


def on_terminal(sheet: Path, lines: list[str]) -> str:
    """What a terminal shows while lines are typed, each at a question."""
    call = [sys.executable, "-m", "advisor", "record", str(sheet), "--who", "A. Builder"]
    own, other = pty.openpty()
    with subprocess.Popen(
        call, stdin=other, stdout=other, stderr=other, start_new_session=True,
        preexec_fn=_take_terminal,
    ) as process:  # fmt: skip
        os.close(other)
        shown = b""
        waiting = [line.encode() for line in lines]
        at = 0
        limit = time.monotonic() + 60
        while time.monotonic() < limit:
            if select.select([own], [], [], 0.1)[0]:
                try:
                    shown += os.read(own, 65536)
                except OSError:  # the other side has ended
                    break
            elif process.poll() is not None:
                break
            if waiting and b"stops): " in shown[at:].replace(b"q stops: ", b"stops): "):
                at = len(shown)
                line = waiting.pop(0)
                os.write(own, line if line in (b"\x04", b"\x03") else line + b"\n")
        else:
            process.kill()
            raise AssertionError(f"no end: {shown.decode()}")
    os.close(own)
    text = shown.decode().replace("\r\n", "\n")
    assert all(c.isprintable() or c in "\n" for c in text.replace("^C", "").replace("\b", ""))
    return text


def _take_terminal() -> None:
    """Make the pseudo-terminal the one that control characters come from.

    Control-C is heeded, also where the tests were started in the background, which ignores it.
    """
    import fcntl
    import signal
    import termios

    fcntl.ioctl(0, termios.TIOCSCTTY, 0)
    signal.signal(signal.SIGINT, signal.SIG_DFL)
