"""Prices: a plain number and a currency word, summed only where all are of one currency."""

from __future__ import annotations

import pytest

from advisor.problems import ProblemsFoundError
from advisor.sheet.prices import Price, price_of, read_price, total
from advisor.sheet.reading import read_sheet_bytes
from advisor.sheet.values import ValueProblemError

SHEET = """\
sheet: 1
title: a cart
parts:
  loads:
    - {id: lamps, count: 4, current: 2 A, price: %s}
"""


@pytest.mark.parametrize(
    ("text", "amount", "currency"), [("420 USD", 420, "USD"), (" 19.95 eur ", 19.95, "EUR")]
)
def test_a_number_and_a_currency_word(text: str, amount: float, currency: str) -> None:
    assert read_price(text) == Price(amount, currency)


@pytest.mark.parametrize("text", ["420", "$420", "1,450 USD", "-3 USD", "USD 420", "a lot"])
def test_anything_else_is_refused_with_what_to_write(text: str) -> None:
    with pytest.raises(ValueProblemError) as raised:
        read_price(text)
    assert "420 USD" in raised.value.advice


def test_a_sum_needs_one_currency_and_every_price() -> None:
    dollars = Price(2.0, "USD")
    assert total([dollars, Price(0.5, "USD")]) == Price(2.5, "USD")
    assert total([dollars, Price(1.0, "EUR")]) is None
    assert total([dollars, None]) is None
    assert total([]) is None


def test_in_a_sheet_it_counts_as_often_as_the_part_is_there() -> None:
    build = read_sheet_bytes((SHEET % "3 USD").encode(), "sheet.yaml")
    (lamps,) = [one for one in build.instances if one.subject == "load"]
    assert price_of(lamps) == Price(12.0, "USD")


def test_a_bad_price_in_a_sheet_is_told_with_its_line() -> None:
    with pytest.raises(ProblemsFoundError) as raised:
        read_sheet_bytes((SHEET % "420").encode(), "sheet.yaml")
    (problem,) = raised.value.problems
    assert problem.place.line == 5 and "420 USD" in str(problem)
