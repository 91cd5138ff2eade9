"""Catalogues: good rows are kept, bad ones named with their line, hostile files refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from advisor.catalogue import read_catalogue
from advisor.problems import ProblemsFoundError

SCENARIOS = Path(__file__).parents[2] / "scenarios"
CHARGER = "- {id: %s, title: A charger, price: %s, set_voltage: 58.4 V, current_max: 15 A}\n"


def written(tmp_path: Path, **files: str) -> Path:
    for name, text in files.items():
        (tmp_path / name.replace("__", ".")).write_text(text, encoding="utf-8")
    return tmp_path


def test_the_example_catalogue_has_what_a_shop_would_have() -> None:
    found = read_catalogue(SCENARIOS / "catalogue")
    assert found.problems == ()
    least = {"pack": 12, "controller": 10, "charger": 8, "converter": 8, "contactor": 8, "motor": 6}
    for kind, number in least.items():
        assert len(found.of(kind)) >= number
    assert len(found.of("fuse")) + len(found.of("breaker")) >= 12
    assert all(one.price is not None for one in found.entries)
    pack = next(one for one in found.entries if one.id == "p48-105")
    assert [one.subject for one in pack.instances] == ["pack", "bms"]
    assert pack.mass == pytest.approx(48)


def test_one_csv_gives_the_same_parts_as_the_yaml() -> None:
    rows = {one.id: one for one in read_catalogue(SCENARIOS / "catalogue-chargers.csv").entries}
    assert len(rows) == 8
    for one in read_catalogue(SCENARIOS / "catalogue").of("charger"):
        if one.id in rows:
            values = {key: value.value for key, value in one.instances[0].values.items()}
            other = {key: value.value for key, value in rows[one.id].instances[0].values.items()}
            assert values == other and rows[one.id].price == one.price


def test_a_bad_row_is_named_with_its_line_and_the_others_stay(tmp_path: Path) -> None:
    text = "catalogue: 1\nchargers:\n  " + "  ".join(
        [
            CHARGER % ("good", "210 USD"),
            CHARGER % ("dear", "a lot"),
            CHARGER % ("good", "1 USD"),
            "- {id: empty}\n",
            "- {id: odd, set_voltage: 58.4 kg, current_max: 15 A, currant_max: 1 A}\n",
        ]
    )
    found = read_catalogue(written(tmp_path, a__yaml=text))
    assert [one.id for one in found.entries] == ["good"]
    told = [str(one) for one in found.problems]
    for line, words in ((4, '"a lot" is no price'), (5, "in line 3 of"),
                        (6, "empty does not say set_voltage, current_max"), (7, "58.4 kg"),
                        (7, 'write "current_max"')):  # fmt: skip
        assert any(f"a.yaml:{line}:" in one and words in one for one in told), (line, words, told)


@pytest.mark.parametrize(
    ("name", "text", "words"),
    [
        ("a.yaml", "chargrs: []\n", 'write "chargers"'),
        ("a.yaml", "- 1\n", "kinds of part are expected"),
        ("a.yaml", "chargers: none\n", "a list is expected here"),
        ("a.csv", "", "the file is empty"),
        ("a.csv", "title,price\nx,1\n", "names no column id and kind"),
        ("a.csv", "id,kind,set_voltag\nx,charger,58 V\n", 'write "set_voltage"'),
        ("a.csv", "id,kind,set_voltage\nx,chargr,58 V\n", "is no kind of part"),
        ("a.csv", 'id,kind\n"x,charger\n', "cannot be read as CSV"),
        ("a.csv", "id,kind\nx,charger,1,2\n", "4 cells for 2 columns"),
        ("a.csv", "id,kind\nx,\0charger\n", "the file is not text"),
    ],
)
def test_what_cannot_be_used_is_refused(tmp_path: Path, name: str, text: str, words: str) -> None:
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    with pytest.raises(ProblemsFoundError) as caught:
        read_catalogue(path)
    assert any(words in str(one) for one in caught.value.problems), caught.value.problems


def test_semicolons_a_byte_order_mark_and_empty_lines_are_taken(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    rows = "id;kind;set_voltage;current_max;title\nx;charger;58,4 V;15 A;\n\n;;;;\n"
    path.write_bytes(b"\xef\xbb\xbf" + rows.replace("58,4", "58.4").encode())
    (one,) = read_catalogue(path).entries
    assert one.instances[0].values["set_voltage"].value == pytest.approx(58.4)
    assert one.title == "x" and one.price is None


@pytest.mark.parametrize("data", [b"\xff\xfe\x00", b"\x00" * 64, b"id,kind\n" + b"\xc3\x28,x\n"])
def test_bytes_that_are_no_text_are_refused(tmp_path: Path, data: bytes) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes(data)
    with pytest.raises(ProblemsFoundError):
        read_catalogue(path)


def test_missing_and_empty_folders_are_refused(tmp_path: Path) -> None:
    with pytest.raises(ProblemsFoundError, match="no YAML file in this folder"):
        read_catalogue(tmp_path)
    with pytest.raises(ProblemsFoundError, match="no such file"):
        read_catalogue(tmp_path / "none")


def test_a_formula_in_a_cell_is_only_text(tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_text("id,kind,title,set_voltage,current_max\nx,charger,=1+2,58.4 V,15 A\n")
    assert read_catalogue(path).entries[0].title == "=1+2"


def test_a_column_that_is_there_twice_is_refused(tmp_path: Path) -> None:
    text = "id,kind,set_voltage,current_max,set_voltage\na,charger,58.4 V,15 A,60 V\n"
    with pytest.raises(ProblemsFoundError, match='the column "set_voltage" is there twice'):
        read_catalogue(written(tmp_path, a__csv=text) / "a.csv")


def test_a_mistyped_kind_gets_the_nearest(tmp_path: Path) -> None:
    text = "id,kind,set_voltage,current_max\na,chager,58.4 V,15 A\nb,charger,58.4 V,15 A\n"
    found = read_catalogue(written(tmp_path, a__csv=text) / "a.csv")
    assert [one.id for one in found.entries] == ["b"]
    assert 'write "charger"' in str(found.problems[0])
