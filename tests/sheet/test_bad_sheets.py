"""Every bad sheet gets its own clear message.

`bad/messages.txt` was read line by line when written; comparing with it is a regression test.
The table below was written by hand from the sheets themselves.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from advisor.problems import ProblemsFoundError
from advisor.sheet.reading import read_sheet, read_sheet_bytes

BAD = Path(__file__).parent / "bad"
SHEETS = sorted(BAD.glob("*.yaml"))


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
        ("bidi-text", "5:26", ["U+202E"]),
        ("not-utf8", "2:11", ["0xe9", "UTF-8"]),
    ],
)
def test_message_names_place_problem_and_remedy(name: str, place: str, words: list[str]) -> None:
    lines = messages(BAD / f"{name}.yaml")
    fitting = [line for line in lines if line.startswith(f"{name}.yaml:{place}:")]
    assert fitting, lines
    for word in words:
        assert any(word in line for line in fitting), (word, fitting)


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


@given(st.binary(max_size=300))
@settings(max_examples=150, deadline=None)
def test_random_bytes_never_raise_anything_else(data: bytes) -> None:
    with pytest.raises(ProblemsFoundError):
        read_sheet_bytes(b"oops: " + data, "random.yaml")


KEYS = ["sheet", "vehicle", "use", "parts", "packs", "id", "bms", "capacity", "count", "readings"]
VALUES = ["1", "pack-a", "lfp", "60 Ah", "none", "unknown", "yes", "-5 .. 38 degC", "2/0 AWG", "x"]
TREES = st.recursive(
    st.sampled_from(VALUES),
    lambda below: (
        st.lists(below, max_size=3)
        | st.dictionaries(st.sampled_from([*KEYS, "complete", "settings"]), below, max_size=5)
    ),
    max_leaves=20,
)


def _flow(tree: object) -> str:
    if isinstance(tree, dict):
        return "{" + ", ".join(f"{key}: {_flow(value)}" for key, value in tree.items()) + "}"
    if isinstance(tree, list):
        return "[" + ", ".join(_flow(one) for one in tree) + "]"
    return f'"{tree}"'


@given(st.dictionaries(st.sampled_from([*KEYS, "complete", "settings"]), TREES, max_size=6))
@settings(max_examples=200, deadline=None)
def test_random_trees_are_read_or_refused(tree: dict[str, object]) -> None:
    try:
        build = read_sheet_bytes(_flow(tree).encode(), "random.yaml")
    except ProblemsFoundError as error:
        assert error.problems
    else:
        assert build.instances
