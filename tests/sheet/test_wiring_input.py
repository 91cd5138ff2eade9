"""Mistakes in the plan of the cables: each with its line, the run, and what to write instead.

The messages were written by hand from the sheets below.
"""

from __future__ import annotations

import re

import pytest

from advisor.problems import ProblemsFoundError
from advisor.sheet.build import Build
from advisor.sheet.reading import read_sheet_bytes

PARTS = """\
sheet: 1
parts:
  packs:
    - {id: pack-a}
    - {id: pack-b, count: 4}
  fuses: [{id: main-fuse}]
  breakers: [{id: main-breaker}]
  connectors: [{id: nose-plug}]
  controllers: [{id: ctrl}]
  loads: [{id: horn}]
  bus_bars:
    - {id: plus-bus}
    - {id: small-bus, studs: 6}
wiring:
"""
FIRST = PARTS.count("\n") + 1


def read(*runs: str) -> Build:
    text = PARTS + "".join(f"  - {{id: run-{n}, {one}}}\n" for n, one in enumerate(runs, 1))
    return read_sheet_bytes(text.encode(), "cart.yaml")


def messages(*runs: str) -> list[str]:
    with pytest.raises(ProblemsFoundError) as caught:
        read(*runs)
    return [str(one) for one in caught.value.problems]


def told(number: int, run: str, key: str, words: str) -> str:
    """A message about the value of a key of a run, which stands where the key's value stands."""
    line = f"  - {{id: run-{number}, {run}}}"
    column = line.index(f" {key}: ") + len(key) + 4
    return f"cart.yaml:{FIRST + number - 1}:{column}: {words}"


@pytest.mark.parametrize(
    ("run", "expected"),
    [
        (
            "from: pack-a.plus, to: main-fuse.plus",
            'wiring[run-1].to: "main-fuse.plus" is no terminal of a fuse; '
            "terminals of it are: in, out",
        ),
        (
            "from: plus-bus.stud-13, to: main-fuse.in",
            'wiring[run-1].from: "plus-bus.stud-13" is no terminal of a bus bar; '
            "terminals of it are: stud-1 to stud-12",
        ),
        (
            "from: plus-bus.stud1, to: main-fuse.in",
            'wiring[run-1].from: "plus-bus.stud1" is no terminal of a bus bar; '
            'write "plus-bus.stud-1"',
        ),
        (
            "from: plus-bus.bolt, to: main-fuse.in",
            'wiring[run-1].from: "plus-bus.bolt" is no terminal of a bus bar; '
            "terminals of it are: stud-1 to stud-12",
        ),
        (
            "from: small-bus.stud-7, to: main-fuse.in",
            'wiring[run-1].from: "small-bus.stud-7": the studs of this bus bar end at stud-6; '
            "write one of: stud-1 to stud-6",
        ),
        (
            "from: pack-a.plus, to: mainfuse.out",
            'wiring[run-1].to: "mainfuse.out" is on no listed part; write "main-fuse.out"',
        ),
        (
            "from: pack-a.plus, to: mainfuse.plus",
            'wiring[run-1].to: "mainfuse.plus" is on no listed part; '
            'write "main-fuse." and one of: in, out',
        ),
        (
            "from: pack-a.plus, to: motor.plus",
            'wiring[run-1].to: "motor.plus" is on no listed part; write the id of a listed part',
        ),
        (
            "from: pack-a.plus, to: ctrl",
            'wiring[run-1].to: "ctrl" is no terminal; write part.terminal, such as pack-a.plus',
        ),
        (
            "from: pack-a.bms.plus, to: ctrl.plus",
            'wiring[run-1].from: "pack-a.bms.plus": a battery management system has no '
            "terminal for a cable; write another part",
        ),
        (
            "from: horn.minus, to: horn.ground",
            'wiring[run-1].to: "horn.ground" is no terminal of an electrical load; '
            "terminals of it are: plus, minus",
        ),
        (
            "from: main-fuse.out, to: pack-b.minus",
            'wiring[run-1].to: "pack-b.minus" is on 4 packs at once; '
            "list each pack with its own id",
        ),
        (
            "from: pack-a.plus",
            "wiring[run-1]: the run has `from` but no `to`; "
            "add to: with the terminal where it ends, or unknown",
        ),
        (
            "to: pack-a.plus",
            "wiring[run-1]: the run has `to` but no `from`; "
            "add from: with the terminal where it starts, or unknown",
        ),
        (
            "from: ctrl.plus, to: ctrl.plus",
            "wiring[run-1].to: the run ends where it starts; write its other end",
        ),
        (
            "from: plus-bus.stud-1, to: plus-bus.stud-2",
            'wiring[run-1].to: "plus-bus.stud-2" is on the bus bar it starts at, which joins '
            "its studs; write its other end, or remove the run",
        ),
        (
            "via: nose-plgu",
            'wiring[run-1].via: there is no part "nose-plgu"; write "nose-plug"',
        ),
        (
            "via: main-fuse",
            'wiring[run-1].via: "main-fuse" is a fuse, not a connector; '
            "write the id of a connector",
        ),
        (
            "via: horn",
            'wiring[run-1].via: "horn" is an electrical load, not a connector; '
            "write the id of a connector",
        ),
        (
            "protected_by: nose-plug",
            'wiring[run-1].protected_by: "nose-plug" is a connector, not a fuse or circuit '
            "breaker; write the id of a fuse or circuit breaker",
        ),
        (
            "protected_by: main-fusse",
            'wiring[run-1].protected_by: there is no part "main-fusse"; write "main-fuse"',
        ),
    ],
)
def test_the_message_of_one_mistake(run: str, expected: str) -> None:
    named = re.match(r"wiring\[run-1\]\.(\w+)", expected)
    key = named[1] if named else run.partition(":")[0]
    assert messages(run) == [told(1, run, key, expected)]


def test_all_mistakes_come_at_once_with_their_lines() -> None:
    runs = (
        "from: pack-a.plus, to: main-fuse.plus",
        "from: plus-bus.stud-1, to: plus-bus.stud-3",
        "to: ctrl.plus, protected_by: nose-plug",
        "from: pack-b.plus, to: pack-b.middle",
    )
    wrong = [(1, "to"), (2, "to"), (3, "to"), (3, "protected_by"), (4, "from"), (4, "to")]
    found = messages(*runs)
    assert len(found) == len(wrong)
    for (number, key), line in zip(wrong, found, strict=True):
        assert line.startswith(told(number, runs[number - 1], key, f"wiring[run-{number}]"))


@pytest.mark.parametrize(
    "runs",
    [
        pytest.param(("from: pack-a.plus, to: main-fuse.in",) * 2, id="two cables side by side"),
        pytest.param(("from: pack-a.plus, to: pack-a.minus",), id="a short, which rules report"),
        pytest.param(("from: main-fuse.in, to: main-fuse.out",), id="a bridge, as well"),
        pytest.param(("from: plus-bus.stud-12, to: small-bus.stud-6",), id="last studs"),
        pytest.param(("from: pack-a.plus, to: unknown",), id="an end that nobody knows"),
        pytest.param(("length: 2 ft",), id="no ends at all"),
        pytest.param(("protected_by: main-breaker, via: nose-plug",), id="references"),
        pytest.param(("from: pack-a.case, to: vehicle.frame",), id="a bond to the frame"),
    ],
)
def test_what_is_no_mistake_of_the_sheet(runs: tuple[str, ...]) -> None:
    assert len([one for one in read(*runs).instances if one.subject == "run"]) == len(runs)


def test_a_mistake_at_one_end_does_not_make_the_other_half_a_run() -> None:
    """An end that is written, but as a list, was told of already."""
    run = "from: pack-a.plus, to: [ctrl.plus]"
    words = (
        "wiring[run-1].to: a list stands where one value is expected; "
        "write one value, such as a short text"
    )
    assert messages(run) == [told(1, run, "to", words)]


def test_a_part_whose_id_was_refused_is_not_a_second_mistake() -> None:
    text = (
        "sheet: 1\n"
        "parts:\n"
        "  fuses: [{id: main}, {id: main}, {id: main_fuse}]\n"
        "wiring:\n"
        "  - {id: run-1, from: main-fuse.in, to: main.plus}\n"
    )
    with pytest.raises(ProblemsFoundError) as caught:
        read_sheet_bytes(text.encode(), "cart.yaml")
    places = [(one.place.line, one.path) for one in caught.value.problems]
    assert places == [
        (3, "parts.fuses[2].id"),
        (3, "parts.fuses[3].id"),
        (5, "wiring[run-1].to"),
    ]
