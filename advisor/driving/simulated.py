"""A result of driving a trip as a fact, with what it rests on."""

from __future__ import annotations

from advisor.facts.traced import Traced
from advisor.wiring.found import Found

SOURCE = "simulation of the trip, balance of forces and of energy"


def simulated(
    value: float | str | bool, rests: Found, words: str = "driven step by step"
) -> Traced:
    """A value (SI, or a word or yes or no) that rests on what is given."""
    return Traced(value, words, SOURCE, rests.inputs, rests.assumed, rests.settles)


__all__ = ["SOURCE", "simulated"]
