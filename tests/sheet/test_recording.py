"""A reading added to a sheet: nothing else changes, whatever the sheet looks like."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from advisor.problems import ProblemsFoundError
from advisor.sheet import recording
from advisor.sheet.reading import read_sheet_bytes
from advisor.sheet.recording import Entry, record, with_entry
from advisor.sheet.values import ValueProblemError, plain_text

HEAD = """\
sheet: 1   # of the shop
title: "A cart: with a colon"
parts:
  packs:
    - id: pack-a          # the left one
      chemistry: lfp
"""
ENTRY = Entry("pack-a", "resting_voltage", "53.1 V", "meter 3", "2026-03-02 14:10", "A. Builder")
BLOCK = """\
  - of: pack-a
    what: resting_voltage
    value: 53.1 V
    instrument: meter 3
    time: 2026-03-02 14:10
    who: A. Builder
"""
FLOW = (
    "{of: pack-a, what: resting_voltage, value: 53.1 V, instrument: meter 3, "
    "time: 2026-03-02 14:10, who: A. Builder}"
)


def added(text: str, entry: Entry = ENTRY) -> str:
    return with_entry(text, read_sheet_bytes(text.encode(), "sheet.yaml"), entry)


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("", f"\nreadings:\n{BLOCK}"),
        ("# the end", f"# the end\n\nreadings:\n{BLOCK}"),
        ("readings: none # yet\n", f"readings: # yet\n{BLOCK}"),
        ("readings: unknown", f"readings:\n{BLOCK}"),
        ("readings: []\n", f"readings: [{FLOW}]\n"),
        (
            "readings: [\n  {of: pack-a, what: rested_time, value: 2 h},  # hand\n]\n# end\n",
            f"readings: [\n  {{of: pack-a, what: rested_time, value: 2 h}}, {FLOW},  # hand\n]\n"
            "# end\n",
        ),
        (
            "readings:\n- {of: pack-a, what: rested_time, value: 2 h} # a\n\n# b\nuse: unknown\n",
            "readings:\n- {of: pack-a, what: rested_time, value: 2 h} # a\n"
            + BLOCK.replace("\n  ", "\n").removeprefix("  ")
            + "\n# b\nuse: unknown\n",
        ),
        (
            "readings:\n    - of: pack-a\n      what: rested_time\n      value: 2 h   # clock",
            "readings:\n    - of: pack-a\n      what: rested_time\n      value: 2 h   # clock\n"
            + "".join(f"  {line}\n" for line in BLOCK.splitlines()),
        ),
        ("...\n", f"\nreadings:\n{BLOCK}...\n"),
    ],
)
def test_only_the_reading_is_new(before: str, after: str) -> None:
    assert added(HEAD + before) == HEAD + after


def test_a_sheet_in_braces_stays_in_braces() -> None:
    text = "{sheet: 1, parts: {packs: [{id: pack-a}]}}  # short\n"
    wanted = f"{{sheet: 1, parts: {{packs: [{{id: pack-a}}]}}, readings: [{FLOW}]}}  # short\n"
    assert added(text) == wanted


def test_line_ends_and_marks_of_the_file_stay() -> None:
    text = "\ufeff" + HEAD.replace("\n", "\r\n")
    new = added(text)
    assert new.startswith(text) and "\n" not in new.replace("\r\n", "")


def test_earlier_readings_stay_and_the_new_one_is_last() -> None:
    text = added(added(HEAD), Entry("pack-a", "resting_voltage", "53.2 V"))
    build = read_sheet_bytes(text.encode(), "sheet.yaml")
    pack = next(one for one in build.instances if one.id == "pack-a")
    assert [one.text for one in pack.readings["resting_voltage"]] == ["53.1 V", "53.2 V"]


@pytest.mark.parametrize(
    ("entry", "words"),
    [
        (Entry("pack-b", "resting_voltage", "53.1 V"), 'no part "pack-b"'),
        (Entry("pack-a", "resting_volts", "53.1 V"), "to measure"),
        (Entry("pack-a", "resting_voltage", "53.1 A"), "is a current, not a voltage"),
        (Entry("pack-a", "resting_voltage", "53.1 V", time="noon"), "is no time"),
        (Entry("pack-a", "resting_voltage", "53.1 V", who="\x07evil"), "U+0007"),
    ],
)
def test_nonsense_is_refused(entry: Entry, words: str) -> None:
    with pytest.raises(ProblemsFoundError, match=words.replace("+", r"\+")):
        added(HEAD, entry)


@settings(suppress_health_check=[HealthCheck.too_slow], deadline=None, max_examples=60)
@given(st.text(max_size=40), st.text(max_size=40))
@example("", "\r")
@example("\x85", "\ufffe")
def test_any_printable_text_comes_back_as_it_was(instrument: str, who: str) -> None:
    """What the sheet takes as text is read back the same; what it refuses is not written."""
    entry = Entry("pack-a", "resting_voltage", "53.1 V", instrument, "", who)
    try:
        wanted = plain_text(instrument), plain_text(who)
    except ValueProblemError:
        with pytest.raises(ProblemsFoundError):
            added(HEAD, entry)
        return
    build = read_sheet_bytes(added(HEAD, entry).encode(), "sheet.yaml")
    pack = next(one for one in build.instances if one.id == "pack-a")
    (reading,) = pack.readings["resting_voltage"]
    assert (reading.instrument, reading.who) == wanted


@pytest.mark.parametrize("letter", ["\r", "\x0b", "\x0c", "\x1c", "\x85", "\u2028", "\u2029"])
@pytest.mark.parametrize("text", ["{}", "a{}", "a {} b"])
def test_a_control_character_that_looks_like_a_space_is_refused(letter: str, text: str) -> None:
    """The sheet refuses it (not `\\t` and `\\n`); recording must not drop it without a word."""
    with pytest.raises(ProblemsFoundError, match=r"readings\[1\]\.who: character U\+"):
        added(HEAD, Entry("pack-a", "resting_voltage", "53.1 V", "", "", text.format(letter)))


def test_a_change_at_the_same_moment_is_not_lost(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    sheet = tmp_path / "sheet.yaml"
    sheet.write_text(HEAD)
    original = recording.with_entry

    def meanwhile(*words: object) -> str:
        sheet.write_text(HEAD + "# another hand\n")
        return original(*words)  # type: ignore[arg-type]

    monkeypatch.setattr(recording, "with_entry", meanwhile)
    with pytest.raises(ProblemsFoundError, match="somebody else"):
        record(sheet, ENTRY)
    assert sheet.read_text() == HEAD + "# another hand\n"


WRITER = """\
import sys
from pathlib import Path
from advisor.sheet.recording import Entry, record
sheet = Path(sys.argv[1])
print("ready", flush=True)
for number in range(1000):
    record(sheet, Entry("pack-a", "resting_voltage", f"{number} mV", "x" * 400))
"""


def test_killed_at_any_moment_the_sheet_is_whole(tmp_path: Path) -> None:
    """The process is killed while it writes, ten times; each time the sheet reads well.

    Nothing that was there before is lost: the readings are numbers counted up from 0 again and
    again, without a gap.
    """
    sheet = tmp_path / "sheet.yaml"
    sheet.write_text(HEAD)
    seen = 0
    for turn in range(10):
        call = [sys.executable, "-c", WRITER, str(sheet)]
        with subprocess.Popen(call, stdout=subprocess.PIPE, text=True) as process:
            assert process.stdout is not None and process.stdout.readline() == "ready\n"
            before = sheet.stat().st_ino
            limit = time.monotonic() + 20
            while sheet.stat().st_ino == before and time.monotonic() < limit:
                time.sleep(0.001)  # wait until it has replaced the file once
            time.sleep(0.003 * turn)
            os.kill(process.pid, signal.SIGKILL)
        build = read_sheet_bytes(sheet.read_bytes(), str(sheet))
        pack = next(one for one in build.instances if one.id == "pack-a")
        texts = [one.text for one in pack.readings["resting_voltage"]]
        assert len(texts) > seen
        seen = len(texts)
        assert sheet.read_text().startswith(HEAD)
        for one, other in pairwise(texts):
            assert other in ("0 mV", f"{int(one.split()[0]) + 1} mV")


KILLED_BEFORE_RENAME = """\
import os, sys
from pathlib import Path
from advisor.sheet.recording import Entry, record
Path.replace = lambda *_: os._exit(9)
record(Path(sys.argv[1]), Entry("pack-a", "resting_voltage", "53.1 V"))
"""


def test_ended_just_before_the_file_is_exchanged_the_old_sheet_stays(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.yaml"
    sheet.write_text(HEAD)
    call = [sys.executable, "-c", KILLED_BEFORE_RENAME, str(sheet)]
    assert subprocess.run(call, check=False).returncode == 9
    assert sheet.read_text() == HEAD
