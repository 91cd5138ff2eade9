"""Reading table files: units, sources, gaps, and every mistake at once with its place."""

from __future__ import annotations

import pytest

from advisor.problems import ProblemsFoundError
from advisor.tables.parsing import CONFIDENCE, parse_table
from advisor.tables.reader import NAMES, curve, table

GOOD = """\
# title: Three things
# number: Table 1
# note: only a note
# source a read: first book
# source b memory: from memory
thing,size,voltage,colour
unit,mm²,mV,word
small,2.5 a,100 b,red a
large,4 a,,blue a
"""


def test_values_come_in_si_units_with_their_own_source() -> None:
    found = parse_table("things", GOOD)
    entry = found.value("small", "voltage")
    assert entry is not None
    assert entry.value == pytest.approx(0.1)
    assert (entry.table, entry.row, entry.column) == ("Three things", "small", "voltage")
    assert (entry.source, entry.confidence) == ("from memory", "memory")
    word = found.value("large", "colour")
    assert word is not None
    assert word.value == "blue"
    assert found.numbers("size") == pytest.approx((2.5e-6, 4e-6))
    assert found.notes == ("only a note",)


def test_a_blank_cell_or_an_unknown_row_has_no_value() -> None:
    found = parse_table("things", GOOD)
    assert found.value("large", "voltage") is None
    assert found.value("huge", "voltage") is None


def test_an_unknown_column_is_an_error_that_names_the_right_one() -> None:
    found = parse_table("things", GOOD)
    with pytest.raises(ValueError, match=r'no column voltag; write "voltage"'):
        found.value("small", "voltag")
    with pytest.raises(ValueError, match="holds words"):
        found.numbers("colour")


def test_step_takes_the_next_smaller_listed_size() -> None:
    found = parse_table("things", GOOD.replace("large,4 a,,", "large,4 a,300 a,"))
    assert found.step("size", 2.5e-6, "voltage") == pytest.approx(0.1)
    assert found.step("size", 3.9e-6, "voltage") == pytest.approx(0.1)
    assert found.step("size", 4e-6, "voltage") == pytest.approx(0.3)
    assert found.step("size", 99.0, "voltage") == pytest.approx(0.3)
    assert found.step("size", 2.4e-6, "voltage") is None
    assert found.step("size", float("nan"), "voltage") is None


def test_curve_joins_the_listed_points_and_ends_with_them() -> None:
    found = parse_table("things", GOOD.replace("large,4 a,,", "large,4 a,300 a,"))
    assert found.curve("size", 3.25e-6, "voltage") == pytest.approx(0.2)
    assert found.curve("size", 4.1e-6, "voltage") is None
    assert found.curve("size", 2.4e-6, "voltage") is None


def test_one_source_needs_no_key() -> None:
    found = parse_table("t", "# title: T\n# source z computed: sums\nrow,x\nunit,A\na,5\n")
    entry = found.value("a", "x")
    assert entry is not None
    assert (entry.value, entry.source, entry.confidence) == (5.0, "sums", "computed")


def test_gauges_and_temperatures_are_converted() -> None:
    text = "# title: T\n# source z read: s\nrow,area,heat\nunit,AWG,°C\na,4/0,25\n"
    found = parse_table("t", text)
    assert found.numbers("area") == pytest.approx((107.2193e-6,), rel=1e-5)  # ASTM B258
    assert found.numbers("heat") == pytest.approx((298.15,))


def test_all_mistakes_are_reported_at_once_with_their_places() -> None:
    text = (
        "# source a read: s\n"
        "# source b sure: s\n"
        "row,x,y,z\n"
        "unit,furlong,A,V\n"
        "one,5 a,5 q,1 a\n"
        "two,5 a,inf a,five a\n"
        "two,1 a,2 a\n"
        "one,,1 a,\n"
    )
    with pytest.raises(ProblemsFoundError) as caught:
        parse_table("t", text)
    found = [str(problem).split("; ")[0] for problem in caught.value.problems]
    assert found == [
        "t.csv:1:1: the table has no title",
        't.csv:2:1: "source b sure: s" is not a heading',
        't.csv:4:6: unit: "furlong" is not a unit',
        't.csv:5:9: one.y: "5 q" has no known source',
        't.csv:6:9: two.y: "inf" is not a number',
        't.csv:6:15: two.z: "five" is not a number',
        "t.csv:7:1: 3 cells in this row",
        "t.csv:8:1: one: the row is listed twice",
    ]


def test_names_and_units_must_fit() -> None:
    for text in ("row,x,y\nunit,A\na,1,2\n", "row,x,x\nunit,A,A\na,1,2\n"):
        with pytest.raises(ProblemsFoundError, match="names and units do not fit"):
            parse_table("t", "# title: T\n# source z read: s\n" + text)


def test_a_file_without_units_is_refused() -> None:
    with pytest.raises(ProblemsFoundError, match="no names, units and rows"):
        parse_table("t", "# title: T\nrow,x\na,5\n")


def test_an_unknown_table_is_refused_with_the_nearest_name() -> None:
    with pytest.raises(ProblemsFoundError, match='no such table; write "chemistry"'):
        table("chemistri")


@pytest.mark.parametrize("name", NAMES)
def test_every_table_loads_and_every_value_names_its_source(name: str) -> None:
    found = table(name)
    assert table(name) is found
    assert found.cells
    for entry in found.cells.values():
        assert entry.confidence in CONFIDENCE
        assert len(entry.source) > 8
        assert ("memory" in entry.source) == (entry.confidence == "memory"), entry


def test_every_table_file_is_listed() -> None:
    from pathlib import Path

    import advisor.tables.reader as reader

    files = {path.stem for path in Path(reader.__file__).parent.glob("*.csv")}
    assert files == set(NAMES)


def test_curve_by_name_is_unknown_for_a_chemistry_without_one() -> None:
    assert curve("open-circuit", "lfp", 0.5) == pytest.approx(3.2660)
    assert curve("open-circuit", "lmo", 0.5) is None
    assert curve("open-circuit", "lead-agm", 0.0) is None
