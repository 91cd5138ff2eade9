"""The time-current curve of a device as a person writes it: what is read, and what is refused."""

from __future__ import annotations

import pytest

from advisor.problems import ProblemsFoundError
from advisor.sheet.curves import read_curve
from advisor.sheet.reading import read_sheet_bytes
from advisor.sheet.values import ValueProblemError

FORM = "write points such as 1.35 x 3600 s, 2 x 60 s, 10 x 0.02 s"


def test_points_as_multiples_of_the_rating_and_seconds() -> None:
    multiples, seconds = read_curve("1.35 x 3600 s, 2 x 60 s, 5 x 1 s, 10 x 0.02 s")
    assert multiples == (1.35, 2.0, 5.0, 10.0)
    assert seconds == (3600.0, 60.0, 1.0, 0.02)


@pytest.mark.parametrize(
    "text", ["135 % x 1 h, 2x1min, 5 × 100 ms", "1.35  x 60 min,2 x 60 s,  5x0.1 s"]
)
def test_other_spellings_of_the_same_curve(text: str) -> None:
    """1 h is 3600 s and 1 min 60 s, SI brochure; 135 % is 1.35."""
    multiples, seconds = read_curve(text)
    assert multiples == pytest.approx((1.35, 2.0, 5.0))
    assert seconds == pytest.approx((3600.0, 60.0, 0.1))


@pytest.mark.parametrize(
    ("text", "problem", "advice"),
    [
        ("2 x 60 s", '"2 x 60 s" is one point of a curve', f"{FORM}: two or more"),
        ("see chart", '"see chart" is no point of a curve', FORM),
        ("2 x 60 s,", '"" is no point of a curve', FORM),
        ("1,35 x 1 h, 2 x 60 s", '"1" is no point of a curve', FORM),
        ("270 A x 60 s, 2 x 1 s", '"270 A" is not a multiple of the rating', FORM),
        ("2 x 60, 5 x 1 s", '"60" is not an opening time', "write 60 s"),
        ("2 x 60 V, 5 x 1 s", '"60 V" is not an opening time', "write it in s, ms or µs"),
        (
            "2 x 60 s, 2 x 1 s",
            '"2 x 1 s" comes after "2 x 60 s", which is as high or higher',
            "write the points by rising multiple, each once",
        ),
        (
            "5 x 1 s, 2 x 60 s",
            '"2 x 60 s" comes after "5 x 1 s", which is as high or higher',
            "write the points by rising multiple, each once",
        ),
        (
            "2 x 60 s, 5 x 60 s",
            '"5 x 60 s" takes as long as "2 x 60 s", or longer',
            "check both points: more current opens it sooner",
        ),
        (
            "1 x 60 s, 2 x 1 s",
            '"1" is no multiple of the rating at which it opens',
            "write current / rating, above 1, such as 1.35 x 3600 s",
        ),
        (
            "2 x 60 s, 2000 x 1 s",
            '"2000" is too much for a multiple of the rating',
            "write current / rating, such as 10 x 0.02 s",
        ),
        ("2 x 0 s, 5 x 0 s", '"0 s" is no opening time', "write a time above 0 s"),
        ("2 x -1 s, 5 x 1 s", '"-1 s" is no opening time', "write a time above 0 s"),
        (
            "2 x 60 s +/- 10 %, 5 x 1 s",
            '"60 s +/- 10 %" has a tolerance',
            "write the longest time it takes",
        ),
    ],
)
def test_a_bad_curve_says_what_to_write(text: str, problem: str, advice: str) -> None:
    with pytest.raises(ValueProblemError) as caught:
        read_curve(text)
    assert (caught.value.problem, caught.value.advice) == (problem, advice)


SHEET = """\
sheet: 1
parts:
  fuses:
    - id: fuse-a
      curve: 1.35 x 3600 s, 2 x 60 s
    - id: fuse-b
      curve: 2 x 60 s
    - {id: fuse-c, curve: unknown}
    - {id: fuse-d, curve: not published (asked the seller)}
  breakers:
    - {id: main, curve: "2 x 60 s, 5 x 90 s"}
readings:
  - {of: fuse-a, what: curve, value: 0.5 x 1 s}
"""


def test_a_sheet_tells_of_every_bad_curve_with_its_place() -> None:
    with pytest.raises(ProblemsFoundError) as caught:
        read_sheet_bytes(SHEET.encode(), "cart.yaml")
    assert [str(one) for one in caught.value.problems] == [
        f'cart.yaml:7:14: parts.fuses[fuse-b].curve: "2 x 60 s" is one point of a curve; '
        f"{FORM}: two or more",
        'cart.yaml:11:25: parts.breakers[main].curve: "5 x 90 s" takes as long as "2 x 60 s", '
        "or longer; check both points: more current opens it sooner",
        'cart.yaml:13:38: parts.fuses[fuse-a].curve: "0.5" is no multiple of the rating at which '
        "it opens; write current / rating, above 1, such as 1.35 x 3600 s",
    ]
