"""How warm each run gets by a heat balance, and what that does to its resistance."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import lru_cache

from advisor.facts import Facts
from advisor.facts.runs import STRANDED, WORKING_TEMPERATURE
from advisor.physics import conductors, heat
from advisor.wiring.found import Found, chosen, combined, read

__all__ = ["WORKING_TEMPERATURE", "hotter", "temperatures"]

_MOLTEN = 1273.15  # K, a bound for runs that no steady temperature has
_MOTOR_SPACE = 323.15  # K, as the boat rules take an engine space


def hotter(kelvin: float) -> float:
    """Resistance at a temperature (K) over that at the working temperature; never below 1.

    A run that stays cooler counts as 75 degC: the balance knows no sheath and no bundle.
    """
    factor = conductors.temperature_factor(kelvin) / conductors.temperature_factor(
        WORKING_TEMPERATURE
    )
    return max(1.0, float(factor))


def temperatures(facts: Facts, carried: Mapping[str, Found]) -> dict[str, Found]:
    """Temperature (K) at which each run settles alone in still air, by the current (A) it carries.

    Outside the free air it is assumed. Runs without an area, or with the ambient unknown, are left
    out. Source: Churchill and Chu (1975), Stefan-Boltzmann law.
    """
    ambient = read(facts, "use", "ambient_max")
    rows = []
    for run, current in carried.items():
        area = read(facts, run, "conducting_area")
        if not (area.known and ambient.known) or area.value <= 0:
            continue
        place = chosen(facts, run, "place")
        air = max(ambient.value, _MOTOR_SPACE) if place == "motor-space" else ambient.value
        doubt = [] if place == "free-air" else [Found(0.0, assumed=True)]
        rows.append((run, current.value, area.value, air, [current, area, ambient, *doubt]))
    return {run: combined(_settled(amps, area, air), rests) for run, amps, area, air, rests in rows}


@lru_cache(maxsize=4096)
def _settled(current: float, area: float, air: float) -> float:
    """Temperature (K) of the conductor of a run, by its current (A), area (m2) and the air (K)."""
    inner = math.sqrt(4 * area / math.pi) * 1.15  # strands take more room than copper
    outer = inner + (3.2e-3 if area > 10e-6 else 1.6e-3)
    per_metre = conductors.resistance(1.0, area) * STRANDED
    steady = heat.steady_temperature(current, per_metre, outer, air, 0.9)
    surface = min(steady, _MOLTEN)
    loss = heat.heat_loss(surface, air, outer, 0.9)
    return min(float(surface + heat.insulation_rise(loss, inner, outer, 5.0)), _MOLTEN)
