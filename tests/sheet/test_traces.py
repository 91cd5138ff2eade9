"""A recorded drive beside the sheet: read in SI, and every bad line named."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.driving.courses import Trip
from advisor.driving.road import Road
from advisor.driving.survey import surveyed
from advisor.problems import ProblemsFoundError
from advisor.sheet.examples import example_sheets
from advisor.sheet.reading import read_sheet, read_sheet_bytes
from advisor.sheet.traces import read_trace

GOOD = "time s,speed mph,grade %\n0,0,0\n1,10,2\n3,10,-2\n"


def said(tmp_path: Path, text: str | bytes, name: str = "drive.csv") -> str:
    data = text if isinstance(text, bytes) else text.encode()
    (tmp_path / "drive.csv").write_bytes(data)
    with pytest.raises(ProblemsFoundError) as found:
        read_trace(tmp_path, name)
    return "\n".join(str(one) for one in found.value.problems)


def test_units_of_the_head_are_used(tmp_path: Path) -> None:
    (tmp_path / "drive.csv").write_text(GOOD, encoding="utf-8")
    trace = read_trace(tmp_path, "drive.csv")
    assert trace.time == (0.0, 1.0, 3.0)
    assert trace.speed[1] == pytest.approx(10 * 0.44704)
    assert trace.grade == pytest.approx((0.0, 0.02, -0.02))


@pytest.mark.parametrize(
    "head", ["time [s],speed [km/h],grade [%]", "Time (s),Speed (km/h)", "time s, speed m/s"]
)
def test_heads_as_people_write_them(tmp_path: Path, head: str) -> None:
    rows = "0,0,0\n1,3,0\n" if head.count(",") == 2 else "0,0\n1,3\n"
    (tmp_path / "drive.csv").write_text(f"\ufeff{head}\r\n{rows}", encoding="utf-8")
    assert len(read_trace(tmp_path, "drive.csv").time) == 2


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (GOOD.replace("speed mph", "speed"), 'drive.csv:1:1: "speed" has no unit of speed'),
        (GOOD.replace("speed mph", "sped mph"), 'write "speed"'),
        (GOOD.replace("speed mph", "speed kg"), '"speed kg" has no unit of speed'),
        (GOOD.replace("1,10,2", "1,fast,2"), 'drive.csv:3:1: "fast" is no number for speed'),
        (GOOD.replace("1,10,2", "1,nan,2"), '"nan" is no number'),
        (GOOD.replace("1,10,2", "1,inf,2"), '"inf" is no number'),
        (GOOD.replace("1,10,2", "1"), 'drive.csv:3:1: "" is no number for speed'),
        (GOOD.replace("1,10,2", "1,-10,2"), "the speed is negative"),
        (GOOD.replace("1,10,2", "1,1000,2"), "above 216 km/h"),
        (GOOD.replace("1,10,2", "1,10,200"), "above 100 %"),
        (GOOD.replace("3,10", "1,10"), "drive.csv:4:1: the time does not rise"),
        ("time s,speed mph\n0,0\n", "fewer than two lines"),
        ("", "no column time"),
        (b"\xff\xfe\x00", "not UTF-8"),
    ],
)
def test_bad_lines_are_named(tmp_path: Path, text: str | bytes, words: str) -> None:
    assert words in said(tmp_path, text)


def test_all_bad_lines_at_once(tmp_path: Path) -> None:
    found = said(tmp_path, GOOD.replace("1,10,2", "1,x,2").replace("3,10,-2", "3,y,-2"))
    assert "drive.csv:3" in found and "drive.csv:4" in found


@pytest.mark.parametrize("name", ["../drive.csv", "/etc/passwd", "missing.csv", "."])
def test_only_files_beside_the_sheet_are_opened(tmp_path: Path, name: str) -> None:
    assert "beside its sheet" in said(tmp_path, GOOD, name) or "no such file" in said(
        tmp_path, GOOD, name
    )


def test_a_bad_trace_is_a_problem_of_the_sheet(tmp_path: Path) -> None:
    (tmp_path / "cart.yaml").write_text("sheet: 1\ntrips:\n  - {id: t, trace: no.csv}\n")
    with pytest.raises(ProblemsFoundError, match=r'"no\.csv": there is no such file'):
        read_sheet(tmp_path / "cart.yaml")


def test_an_example_is_driven_as_recorded() -> None:
    """Distance is the area under the recorded speeds, by the trapezoid rule."""
    path = example_sheets()["orchard-four-seater"]
    build = read_sheet(path)
    trace = build.traces["mailbox"]
    way = sum(
        (b - a) * (u + v) / 2
        for a, b, u, v in zip(
            trace.time, trace.time[1:], trace.speed, trace.speed[1:], strict=False
        )
    )
    trip = Road(surveyed(build)).trips["mailbox"]
    assert isinstance(trip, Trip)
    assert trip.course.distance.sum() == pytest.approx(way)
    assert not read_sheet_bytes(path.read_bytes(), "sheet.yaml").traces


def test_a_file_that_cannot_be_had_is_told_where_the_sheet_names_it(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.yaml"
    lines = ("sheet: 1", "trips:", "  - id: round", "    trace: drvie.csv", "")
    sheet.write_text("\n".join(lines), encoding="utf-8")
    with pytest.raises(ProblemsFoundError) as found:
        read_sheet(sheet)
    (one,) = found.value.problems
    assert (one.file, one.place.line, one.path) == (str(sheet), 4, "round.trace")
    assert one.problem == '"drvie.csv": there is no such file'
