"""What cold air does to a vehicle: its battery holds less, resists more, takes no charge."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from advisor.driving.inputs import Inputs
from advisor.facts import Facts
from advisor.physics.road import air_density
from advisor.wiring.found import Found, chosen, read

_WARM = 298.15
_COLD = 263.15  # K, -10 degC, at which the shares below hold
_CAPACITY = {"lfp": 0.65, "nmc": 0.75, "nca": 0.75, "lmo": 0.70, "lto": 0.85}
"""Share of the capacity at about -10 degC. From memory; makers differ widely."""
_CAPACITY_ELSE = 0.60  # lead-acid, from memory
_RESISTANCE = 2.5
"""Resistance at about -10 degC over that at 25 degC. From memory, 2 to 4 for LFP cells."""
_FREEZING = 273.15


def capacity_share(kelvin: float, chemistry: str) -> float:
    """Share of the capacity that is left: 1 from 25 degC, a line through -10 degC, 0.1 at least."""
    slope = (1.0 - _CAPACITY.get(chemistry, _CAPACITY_ELSE)) / (_WARM - _COLD)
    return float(np.clip(1.0 - slope * (_WARM - kelvin), 0.1, 1.0))


def resistance_ratio(kelvin: float) -> float:
    """Resistance over that at 25 degC: it grows by the same factor for each kelvin; 1 above."""
    return float(_RESISTANCE ** (max(_WARM - kelvin, 0.0) / (_WARM - _COLD)))


def charge_refused(facts: Facts, kelvin: float) -> bool | None:
    """Whether a battery of this temperature takes no charge; None where nobody knows.

    A lithium battery without a stated limit counts as refusing below freezing.
    """
    limit = read(facts, "battery", "charge_temperature_min")
    if limit.known:
        return kelvin < limit.value
    if str(chosen(facts, "battery", "chemistry")).startswith("lead"):
        return False
    return kelvin < _FREEZING


def in_air(facts: Facts, inputs: Inputs, air: Found) -> Inputs:
    """The same vehicle with air and battery at another temperature (K).

    The battery is taken to be as cold as the air: it has stood outside overnight.
    """
    kelvin = air.value
    vehicle = inputs.vehicle
    chemistry = str(chosen(facts, "battery", "chemistry"))
    altitude = read(facts, "use", "altitude").value
    blocked = charge_refused(facts, kelvin)
    vehicle = replace(
        vehicle,
        density=float(air_density(altitude, kelvin)),
        capacity=vehicle.capacity * capacity_share(kelvin, chemistry),
        battery_resistance=vehicle.battery_resistance * resistance_ratio(kelvin),
        regeneration=0.0 if blocked else vehicle.regeneration,
    )
    rests = (*inputs.rests, air, *([Found(0.0, assumed=True)] if kelvin < _WARM else []))
    return replace(inputs, vehicle=vehicle, rests=rests, air=kelvin)


__all__ = ["capacity_share", "charge_refused", "in_air", "resistance_ratio"]
