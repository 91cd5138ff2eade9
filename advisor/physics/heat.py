"""Steady temperature of one conductor run in still air: a heat balance, as a second opinion.

One round run, level, free in air, sheath as warm as its copper: bundles, conduits and hot panels
are warmer, a moving vehicle is cooler. The listed ampacity decides, not this.
"""

from __future__ import annotations

import math

from advisor.physics.choose import Numbers, choose, divide, logarithm, most, power
from advisor.physics.conductors import temperature_factor

__all__ = [
    "air_conductivity",
    "air_viscosity",
    "convection_loss",
    "cylinder_nusselt",
    "heat_loss",
    "insulation_rise",
    "prandtl",
    "radiation_loss",
    "rayleigh",
    "steady_current",
    "steady_temperature",
]

_GRAVITY = 9.80665  # m/s2
_PRESSURE = 101325.0  # Pa, sea level; at 2000 m convection is about a tenth weaker
_GAS = 287.05287  # J/(kg K), air: US Standard Atmosphere (1976)
_HEAT_CAPACITY = 1007.0  # J/(kg K), air at 300 K; 1014 at 400 K
_STEFAN_BOLTZMANN = 5.670374419e-8  # W/(m2 K4), CODATA 2018
_MELTING = 1083 + 273.15  # K, copper, Copper Development Association
_FULL_TURN = 2 * math.pi
_HALVINGS = 22  # from 1100 K down to 3e-4 K; a straight line over the rest is true to 1e-9 K


def air_viscosity(temperature: Numbers) -> Numbers:
    """Viscosity of air, Pa s, at a temperature in K: 1.458e-6 T^1.5 / (T + 110.4).

    100 to about 1000 K. Source: US Standard Atmosphere (1976), Sutherland's formula.
    """
    return divide(1.458e-6 * power(temperature, 1.5), temperature + 110.4)


def air_conductivity(temperature: Numbers) -> Numbers:
    """Heat conductivity of air, W/(m K), at a temperature in K.

    2.64638e-3 T^1.5 / (T + 245.4 x 10^(-12 / T)). 100 to about 1000 K. Source: US Standard
    Atmosphere (1976).
    """
    lowered = 245.4 * power(10.0, divide(-12.0, temperature))
    return divide(2.64638e-3 * power(temperature, 1.5), temperature + lowered)


def prandtl(temperature: Numbers) -> Numbers:
    """Prandtl number of air at a temperature in K: mu c_p / k, with 1007 J/(kg K).

    250 to 600 K. Source: definition.
    """
    return divide(_HEAT_CAPACITY * air_viscosity(temperature), air_conductivity(temperature))


def rayleigh(surface: Numbers, ambient: Numbers, diameter: Numbers) -> Numbers:
    """Rayleigh number of a warm cylinder in air at sea level: g (Ts - Ta) d^3 / (T nu alpha).

    Surface and ambient in K, diameter in m; air at the mean of both. 0 where the surface is not
    warmer. Source: definition, for an ideal gas.
    """
    mean = (surface + ambient) / 2
    density = divide(_PRESSURE / _GAS, mean)
    lift = _GRAVITY * most(surface - ambient, 0.0) * diameter * diameter * diameter
    weight = density * density * _HEAT_CAPACITY
    return divide(lift * weight, mean * air_viscosity(mean) * air_conductivity(mean))


def cylinder_nusselt(rayleigh: Numbers, prandtl: Numbers) -> Numbers:
    """Mean Nusselt number of a level cylinder in still fluid.

    (0.60 + 0.387 Ra^(1/6) / (1 + (0.559 / Pr)^(9/16))^(8/27))^2, for Ra from 1e-6 to 1e12. At
    the Ra of cables, 100 to 5000, it gives a fifth less than the fits of Morgan and of Kuehn and
    Goldstein: the warmer side. Source: Churchill and Chu, Int. J. Heat Mass Transfer 18 (1975).
    """
    by_fluid = power(1 + power(divide(0.559, prandtl), 9 / 16), 8 / 27)
    root = 0.60 + divide(0.387 * power(rayleigh, 1 / 6), by_fluid)
    return root * root


def convection_loss(surface: Numbers, ambient: Numbers, diameter: Numbers) -> Numbers:
    """Heat that still air takes from a level round run, W/m: Nu k pi (Ts - Ta).

    Surface and ambient in K, diameter in m. Source: Churchill and Chu (1975).
    """
    mean = (surface + ambient) / 2
    nusselt = cylinder_nusselt(rayleigh(surface, ambient, diameter), prandtl(mean))
    return nusselt * air_conductivity(mean) * math.pi * (surface - ambient)


def radiation_loss(
    surface: Numbers, ambient: Numbers, diameter: Numbers, emissivity: Numbers
) -> Numbers:
    """Heat a grey round run radiates to surroundings at ambient, W/m: e sigma pi d (Ts^4 - Ta^4).

    Temperatures in K, diameter in m; emissivity 0.9 for a sheath, far less for bright metal (from
    memory). Source: Stefan-Boltzmann law.
    """
    fourth = power(surface, 4.0) - power(ambient, 4.0)
    return emissivity * _STEFAN_BOLTZMANN * math.pi * diameter * fourth


def heat_loss(
    surface: Numbers, ambient: Numbers, diameter: Numbers, emissivity: Numbers
) -> Numbers:
    """Heat a round run gives off in still air, W/m: convection and radiation.

    Temperatures in K, diameter in m. Source: Churchill and Chu (1975), Stefan-Boltzmann law.
    """
    radiated = radiation_loss(surface, ambient, diameter, emissivity)
    return convection_loss(surface, ambient, diameter) + radiated


def steady_current(
    surface: Numbers, per_metre: Numbers, diameter: Numbers, ambient: Numbers, emissivity: Numbers
) -> Numbers:
    """Current that keeps a round copper run at a temperature, A: sqrt(loss / (r(T))).

    Temperature of the run and ambient in K; resistance at 20 °C in ohm/m; outer diameter in m.
    Source: heat balance.
    """
    loss = heat_loss(surface, ambient, diameter, emissivity)
    return power(divide(loss, per_metre * temperature_factor(surface)), 0.5)


def steady_temperature(
    current: Numbers, per_metre: Numbers, diameter: Numbers, ambient: Numbers, emissivity: Numbers
) -> Numbers:
    """Temperature at which a round copper run gives off what its current heats, K.

    I^2 r(T) = loss(T), halved between ambient and the melting point of copper, then by a straight
    line; infinite where copper would melt first. current in A, resistance at 20 °C in ohm/m, outer
    diameter in m, ambient in K. For insulated runs add `insulation_rise`. Source: heat balance.
    """
    heat = current * current * per_metre

    def missing(surface: Numbers) -> Numbers:
        """Heat that is not given off at this temperature, W/m."""
        loss = heat_loss(surface, ambient, diameter, emissivity)
        return heat * temperature_factor(surface) - loss

    low, high = ambient, ambient + most(_MELTING - ambient, 0.0)
    never = missing(high)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        short = missing(middle)
        low, high = choose(short, ">", 0.0, middle, low), choose(short, ">", 0.0, high, middle)
    at_low, at_high = missing(low), missing(high)
    part = choose(at_low, ">", at_high, divide(at_low, at_low - at_high), 0.0)
    found = low + (high - low) * part
    return choose(never, ">", 0.0, math.inf, found)


def insulation_rise(loss: Numbers, inner: Numbers, outer: Numbers, resistivity: Numbers) -> Numbers:
    """Rise from the sheath's surface to its conductor, K: q rho ln(D / d) / (2 pi).

    Heat in W/m; inner and outer diameter of the insulation in m; its heat resistivity in K m/W
    (about 5 for PVC, 3.5 for cross-linked polyethylene: IEC 60287-2-1, from memory). Source: heat
    conduction in a tube, IEC 60287-2-1.
    """
    return loss * resistivity * logarithm(divide(outer, inner)) / _FULL_TURN
