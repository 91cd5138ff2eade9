"""How warm each run gets by a heat balance, and what that does to its resistance."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np

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
    if not rows:
        return {}
    amps, areas, airs = (np.array([row[n] for row in rows]) for n in (1, 2, 3))
    inner = np.sqrt(4 * areas / math.pi) * 1.15  # strands take more room than copper
    outer = inner + np.array([3.2e-3 if one > 10e-6 else 1.6e-3 for one in areas])
    per_metre = conductors.resistance(1.0, areas) * STRANDED
    steady = heat.steady_temperature(amps, per_metre, outer, airs, 0.9)
    surface = np.minimum(steady, _MOLTEN)
    loss = heat.heat_loss(surface, airs, outer, 0.9)
    warm = np.atleast_1d(surface + heat.insulation_rise(loss, inner, outer, 5.0))
    return {
        row[0]: combined(min(float(kelvin), _MOLTEN), row[4])
        for row, kelvin in zip(rows, warm, strict=True)
    }
