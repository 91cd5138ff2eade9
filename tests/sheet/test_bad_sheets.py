"""Every bad sheet gets its own clear message.

`bad/messages.txt` was read line by line when written; comparing with it is a regression test.
The table below was written by hand from the sheets themselves.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.problems import ProblemsFoundError
from advisor.sheet.accepted import KEYS as ACCEPTED_KEYS
from advisor.sheet.models import keys_of
from advisor.sheet.notes import MAX_PROBLEMS
from advisor.sheet.parts import PARTS
from advisor.sheet.reading import SECTIONS, read_sheet, read_sheet_bytes
from advisor.sheet.readings import KEYS as READING_KEYS
from advisor.vocabulary import VOCABULARY

BAD = Path(__file__).parent / "bad"
SHEETS = sorted(BAD.glob("*.yaml"))
QUOTES_A_PART_OF_IT = (
    "below-absolute-zero",
    "misspelt-unit",
    "sexagesimal",
    "tag",
    "tolerance-without-unit",
)


def messages(path: Path) -> list[str]:
    """The messages of a sheet that must not be accepted."""
    with pytest.raises(ProblemsFoundError) as caught:
        read_sheet(path)
    return [str(one).replace(str(path), path.name) for one in caught.value.problems]


def test_there_are_enough_of_them() -> None:
    assert len(SHEETS) >= 40


def test_messages_are_the_ones_that_were_read() -> None:
    said = [line for path in SHEETS for line in messages(path)]
    assert said == (BAD / "messages.txt").read_text(encoding="utf-8").splitlines()


@pytest.mark.parametrize(
    ("name", "place", "words"),
    [
        ("no-unit", "7:17", ['"60" has no unit', "write 60 A·h"]),
        ("wrong-dimension", "7:24", ["is a mass, not a voltage", "V"]),
        ("misspelt-key", "7:7", ["nominal_volage", 'write "nominal_voltage"']),
        ("misspelt-choice", "5:31", ["LiFePO4", 'write "lfp"']),
        ("duplicate-key", "6:3", ["written twice", "line 4"]),
        ("negative-mass", "7:13", ["-5 kg", "at least 0 kg"]),
        ("alias-bomb", "2:8", ["alias *a is not allowed"]),
        ("flag-on", "4:20", ['"on" is not yes or no', "write yes or no"]),
        ("choice-no", "5:31", ['"no" is not a known cell chemistry', "lfp"]),
        ("exponent", "7:17", ["exponent", "write 1000 Ah"]),
        ("leading-zero", "4:10", ['"010"']),
        ("sexagesimal", "4:17", ["unit"]),
        ("comma-decimal", "7:21", ["comma", "write 58.4 V"]),
        ("range-reversed", "4:16", ["38 degC", "-5 degC"]),
        ("duplicate-id", "7:11", ["used twice", "line 5"]),
        ("reference-nowhere", "7:28", ["moter-a", 'write "motor-a"']),
        ("arrangement", "3:28", ["4 packs, but 2 are listed"]),
        ("ac-rating", "5:35", ["alternating-current", "ac-only"]),
        ("key-elsewhere", "4:3", ["grade_max", "belongs under use"]),
        ("setting-not-programmed", "7:12", ["input_max", "parts.controllers"]),
        ("reading-wrong", "7:10", ["pack-b", 'write "pack-a"']),
        ("bidi-in-id", "5:12", ["u202e"]),
        ("not-utf8", "2:11", ["0xe9", "UTF-8"]),
        ("answer-look-alike", "8:13", ['"n/a" is no value', "write unknown"]),
        ("answer-not-closed", "6:13", ["write not published (what was asked"]),
        ("answer-with-control", "6:13", ["U+001B"]),
        ("control-character", "3:21", ["U+0007"]),
        ("control-in-text", "2:8", ["U+001B"]),
        ("key-with-control", "4:3", ["kind\\x1b[2J"]),
        ("fault-in-counted-pack", "8:13", ["write 60 kg"]),
        ("two-faults-in-a-part", "6:15", ['no part "motor-9"']),
        ("two-faults-in-a-part", "7:18", ['"60 V" is above the highest "50 V"']),
        ("two-faults-in-a-part", "9:7", ['"braking" is not known here']),
        ("reading-value-unknown", "7:48", ["without a value"]),
        ("reading-no-such-day", "4:58", ["2026-02-30"]),
        ("computed-key", "3:11", ["computed", "remove it"]),
        ("id-unknown", "5:11", ['"unknown" already means something']),
        ("parts-none", "3:8", ["complete: all", "fuses: none"]),
        ("bms-value-in-pack", "6:7", ["belongs under parts.packs.bms"]),
        ("bms-value-in-pack", "7:36", ["belongs under parts.packs"]),
        ("merge-key", "4:3", ['"<<" is not known here']),
        ("thousands", "4:16", ["comma", "1000 lb"]),
        ("thousands", "5:19", ["write 1000 lb"]),
        ("underscore", "4:16", ["write 1000 lb"]),
        ("zero-packs", "3:28", ["at least 1"]),
        ("gauge-without-system", "4:24", ["write 2/0 AWG"]),
        ("gauge-without-system", "5:24", ["mm²"]),
        ("gauge-without-system", "6:24", ["write 2/0 AWG"]),
        ("setting-unknown-key", "6:12", ['write "battery_current_limit"']),
        ("setting-unknown-key", "6:64", ["write 200 A"]),
        ("tolerance-without-unit", "6:24", ["has no unit"]),
        ("range-to", "3:16", ["write -5 .. 38 degC"]),
        ("none-for-section", "3:10", ["keys and values"]),
        ("ends-reversed", "3:20", ["38 degC", "-5 degC"]),
        ("voltage-in-percent", "4:29", ["percentage, not a voltage"]),
        ("percent-over-hundred", "3:18", ["at most 100 %"]),
        ("below-absolute-zero", "3:16", ["below absolute zero"]),
        ("range-too-cold", "3:16", ["at least -60 °C"]),
        ("separators-in-text", "2:8", ["U+2028"]),
        ("separators-in-text", "5:26", ["U+E000"]),
        ("reference-itself", "5:28", ["cannot refer to itself"]),
        ("id-of-single", "3:11", ["remove it"]),
    ],
)
def test_message_names_place_problem_and_remedy(name: str, place: str, words: list[str]) -> None:
    lines = messages(BAD / f"{name}.yaml")
    fitting = [line for line in lines if line.startswith(f"{name}.yaml:{place}:")]
    assert fitting, lines
    for word in words:
        assert any(word in line for line in fitting), (word, fitting)


@pytest.mark.parametrize("path", SHEETS, ids=lambda one: one.stem)
def test_every_message_stands_where_its_words_stand(path: Path) -> None:
    """What a message quotes first is what the file has at that line and column."""
    with pytest.raises(ProblemsFoundError) as caught:
        read_sheet(path)
    lines = path.read_bytes().decode("utf-8", "replace").splitlines()
    for one in caught.value.problems:
        quoted = re.search(r'"(.+?)(?:\.\.\.)?"', one.problem)
        if quoted and "\\" not in quoted[1] and path.stem not in QUOTES_A_PART_OF_IT:
            here = lines[one.place.line - 1][one.place.column - 1 :].lstrip("\"'")
            assert here.startswith(quoted[1]), str(one)


@pytest.mark.parametrize(
    ("name", "places"),
    [
        ("fault-in-counted-pack", ["8:13"]),
        ("bad-id-referred-to", ["6:11", "8:11"]),
        ("count-wrong-in-arrangement", ["6:27"]),
        ("no-id-in-arrangement", ["7:7"]),
        ("duplicate-id", ["7:11"]),
        ("no-id", ["5:7"]),
    ],
)
def test_one_mistake_is_not_told_again_elsewhere(name: str, places: list[str]) -> None:
    found = [":".join(line.split(":")[1:3]) for line in messages(BAD / f"{name}.yaml")]
    assert found == places


@pytest.mark.parametrize("path", SHEETS, ids=lambda one: one.stem)
def test_no_message_can_command_a_terminal(path: Path) -> None:
    for line in messages(path):
        assert line.isprintable()


@pytest.mark.parametrize("path", SHEETS, ids=lambda one: one.stem)
def test_every_message_says_what_to_do(path: Path) -> None:
    with pytest.raises(ProblemsFoundError) as caught:
        read_sheet(path)
    assert all(one.advice for one in caught.value.problems)


def test_all_mistakes_of_a_sheet_come_at_once() -> None:
    lines = messages(BAD / "several-at-once.yaml")
    assert [line.split(":")[1] for line in lines] == ["4", "5", "9", "10", "11"]


def test_a_file_over_one_mebibyte_is_refused(tmp_path: Path) -> None:
    large = tmp_path / "large.yaml"
    large.write_text("sheet: 1\n# " + "x" * (1 << 20), encoding="utf-8")
    assert "larger than 1 MiB" in messages(large)[0]


def test_a_directory_and_a_missing_file_are_refused(tmp_path: Path) -> None:
    assert "directory" in messages(tmp_path)[0]
    assert "no such file" in messages(tmp_path / "nothing.yaml")[0]


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="needs named pipes")
def test_a_pipe_is_refused_without_waiting(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.yaml"
    os.mkfifo(pipe)
    assert "not a regular file" in messages(pipe)[0]


def test_too_many_parts_are_refused() -> None:
    rows = "".join(f"    - id: load-{number}\n" for number in range(600))
    text = "sheet: 1\nparts:\n  loads:\n" + rows
    with pytest.raises(ProblemsFoundError, match="more than 500 parts"):
        read_sheet_bytes(text.encode(), "many.yaml")


def test_500_parts_are_read() -> None:
    rows = "".join(f"    - id: load-{number}\n" for number in range(500))
    build = read_sheet_bytes(f"sheet: 1\nparts:\n  loads:\n{rows}".encode(), "many.yaml")
    assert len([one for one in build.instances if one.subject == "load"]) == 500


def test_reading_ends_after_many_problems() -> None:
    """Looking for similar words in a hundred thousand keys would take minutes."""
    text = "sheet: 1\nvehicle:\n" + "".join(f"  k{number}: 1\n" for number in range(50_000))
    with pytest.raises(ProblemsFoundError) as caught:
        read_sheet_bytes(text.encode(), "hostile.yaml")
    assert len(caught.value.problems) == MAX_PROBLEMS + 1
    assert "mend these first" in str(caught.value)


@given(st.binary(max_size=300), st.sampled_from([b"", b"sheet: 1\n", b"sheet: 1\nvehicle: "]))
@settings(max_examples=300, deadline=None)
def test_random_bytes_never_raise_anything_else(data: bytes, start: bytes) -> None:
    try:
        build = read_sheet_bytes(start + data, "random.yaml")
    except ProblemsFoundError as error:
        assert error.problems
        assert str(error).replace("\n", "").isprintable()
    else:
        assert build.instances


VALUES = ["1", "pack-a", "lfp", "60 Ah", "none", "unknown", "yes", "-5 .. 38 degC", "2/0 AWG", "x"]
VALUES += ["", "~", "0 V", "1e999", "will be measured", "not published (x)", "fuse-1", "all"]
KEYS = sorted({*SECTIONS, *PARTS, "id", "bms", "of", "what", "value", "time", "pack-a"})
KEYS += sorted({key for name in VOCABULARY.subjects for key in keys_of(name)})
TREES = st.recursive(
    st.sampled_from(VALUES),
    lambda below: (
        st.lists(below, max_size=3) | st.dictionaries(st.sampled_from(KEYS), below, max_size=5)
    ),
    max_leaves=20,
)


def _flow(tree: object) -> str:
    if isinstance(tree, dict):
        return "{" + ", ".join(f"{key}: {_flow(value)}" for key, value in tree.items()) + "}"
    if isinstance(tree, list):
        return "[" + ", ".join(_flow(one) for one in tree) + "]"
    return f'"{tree}"'


PART = st.dictionaries(st.sampled_from(KEYS), TREES, max_size=5).map(
    lambda one: {**one, "id": "pack-a"}
)
SHEETS_LIKE = st.fixed_dictionaries(
    {"sheet": st.just("1")},
    optional={
        **{section: st.dictionaries(st.sampled_from(KEYS), TREES) for section in SECTIONS[1:]},
        "parts": st.dictionaries(st.sampled_from(sorted(PARTS)), st.lists(PART, max_size=2)),
        "accepted": st.lists(st.dictionaries(st.sampled_from(ACCEPTED_KEYS), TREES), max_size=3),
        "readings": st.lists(st.dictionaries(st.sampled_from(READING_KEYS), TREES), max_size=3),
        "complete": TREES,
    },
)


@given(st.dictionaries(st.sampled_from(KEYS), TREES, max_size=6) | SHEETS_LIKE)
@settings(max_examples=200, deadline=None)
def test_random_trees_are_read_or_refused(tree: dict[str, object]) -> None:
    try:
        build = read_sheet_bytes(_flow(tree).encode(), "random.yaml")
    except ProblemsFoundError as error:
        assert error.problems
    else:
        assert build.instances
