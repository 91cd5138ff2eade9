"""Prices as a person writes them, such as `420 USD`; nothing is converted."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from advisor.problems import shown
from advisor.sheet.build import Instance
from advisor.sheet.notes import Notes
from advisor.sheet.values import ValueProblemError

_FORM = "write a plain number and a currency word, such as 420 USD"
_PRICE = re.compile(r"(\d{1,9}(?:\.\d{1,4})?)\s+([A-Za-z]{1,20})")


@dataclass(frozen=True, slots=True)
class Price:
    """An amount of one currency, in the letters of the sheet as capitals."""

    amount: float
    currency: str

    def __str__(self) -> str:
        return f"{self.amount:.10g} {self.currency}"


def read_price(text: str) -> Price:
    """The price in a text. Raises ValueProblemError with what to write instead."""
    found = _PRICE.fullmatch(text.strip())
    if found is None:
        raise ValueProblemError(f"{shown(text)} is no price", _FORM)
    return Price(float(found[1]), found[2].upper())


def check_price(one: Instance, path: str, notes: Notes) -> None:
    """Note a price of a part that cannot be read."""
    written = one.values.get("price")
    if written is None:
        return
    try:
        read_price(str(written.value))
    except ValueProblemError as error:
        notes.add(written.place, path, error.problem, error.advice)


def price_of(one: Instance) -> Price | None:
    """The price of a part, as often as it is fitted; None where it states none."""
    written, count = one.values.get("price"), one.values.get("count")
    if written is None:
        return None
    price = read_price(str(written.value))
    number = count.value if count is not None and isinstance(count.value, float) else 1.0
    return Price(price.amount * number, price.currency)


def total(prices: Iterable[Price | None]) -> Price | None:
    """The sum of some prices; None where one is unknown or another currency, or there are none."""
    listed = list(prices)
    known = [one for one in listed if one is not None]
    currencies = {one.currency for one in known}
    if len(known) < len(listed) or len(currencies) != 1:
        return None
    return Price(sum(one.amount for one in known), known[0].currency)


__all__ = ["Price", "check_price", "price_of", "read_price", "total"]
