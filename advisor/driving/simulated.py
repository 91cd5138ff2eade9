"""A result of driving a trip as a fact, with what it rests on."""

from __future__ import annotations

from advisor.facts.traced import Traced
from advisor.wiring.found import Found

SOURCE = "simulation of the trip, balance of forces and of energy"


WORDS = (
    "driven step by step; ASSUMED in it: gear and inverter 95 %, tyres that grip with 0.6 of the "
    "55 % of the weight on the driven axle and less on soft ground, 80 kg for a person, air drag "
    "where it is not stated"
)


def simulated(value: float | str | bool, rests: Found, words: str = WORDS) -> Traced:
    """A value (SI, or a word or yes or no) that rests on what is given."""
    return Traced(value, words, SOURCE, rests.inputs, rests.assumed, rests.settles)


__all__ = ["SOURCE", "WORDS", "simulated"]
