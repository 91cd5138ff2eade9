"""What was read after driving takes the place of what was predicted, raised to the worst day.

A cable or a charge is read on the day there is. Between the reading and the limit must be room for
the hottest day, or the coldest.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from advisor.facts import Facts
from advisor.facts.expected_drive import COLD_SHARE, COLDER
from advisor.facts.origins import Key
from advisor.facts.traced import Traced
from advisor.wiring.found import Found, combined, read

_PRACTICE = "common practice, no source"


def seen(facts: Facts, found: Mapping[Key, Traced]) -> dict[Key, Traced]:
    """The predictions that a reading replaces, or that say which reading would settle them."""
    replaced: dict[Key, Traced] = {}
    for trip in facts.instances("trip"):
        key = (trip, "cable_temperature")
        after = _cable(facts, trip)
        lacking = Traced(None, _PRACTICE, missing=after.missing or frozenset())
        replaced |= {key: lacking} if key not in found and not after.known else {}
        replaced |= _instead(
            key,
            found.get(key),
            after,
            "as read after the trip, and warmer by as much as the hottest day is warmer",
        )
    key = ("battery", "charge_after_day")
    words = "as read; where it gets 10 K colder, 0.3 of what the day took less"
    return replaced | _instead(key, found.get(key), _charge(facts), words)


def _instead(key: Key, predicted: Traced | None, measured: Found, words: str) -> dict[Key, Traced]:
    if measured.known:
        return {
            key: Traced(
                measured.value,
                words,
                _PRACTICE,
                measured.inputs,
                measured.assumed,
                measured.settles,
            )
        }
    if predicted is None or predicted.missing or predicted.settles:
        return {}
    return {key: replace(predicted, settles=measured.missing or frozenset())}


def _cable(facts: Facts, trip: str) -> Found:
    """Temperature (K) of the hottest cable on the hottest day."""
    after = read(facts, trip, "cable_temperature_after")
    air, hottest = read(facts, "use", "air_temperature"), read(facts, "use", "ambient_max")
    return combined(after.value + max(hottest.value - air.value, 0.0), [after, air, hottest])


def _charge(facts: Facts) -> Found:
    """Charge left after a day of the trips when it is coldest."""
    left = read(facts, "battery", "charge_left_measured")
    air, coldest = read(facts, "use", "air_temperature"), read(facts, "use", "ambient_min")
    lost = COLD_SHARE * (1 - left.value) if coldest.value < air.value - COLDER else 0.0
    return combined(max(left.value - lost, 0.0), [left, air, coldest])


__all__ = ["seen"]
