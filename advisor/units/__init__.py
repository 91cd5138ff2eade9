"""Quantities as people write them: units exist here, at the edge, and nowhere else."""

from __future__ import annotations

from advisor.units.kinds import DIMENSIONS, Dimension, Unit, UnitError, known_spellings, unit
from advisor.units.reading import Quantity, parse, parse_area, parse_number, parse_range
from advisor.units.showing import show, shown_unit

__all__ = [
    "DIMENSIONS",
    "Dimension",
    "Quantity",
    "Unit",
    "UnitError",
    "known_spellings",
    "parse",
    "parse_area",
    "parse_number",
    "parse_range",
    "show",
    "shown_unit",
    "unit",
]
