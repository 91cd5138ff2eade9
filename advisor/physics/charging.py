"""Charging: time, power, the AC side, cold compensation, and the gas of lead-acid cells."""

from __future__ import annotations

from advisor.physics.choose import Numbers, choose, divide, least, most

__all__ = [
    "ac_input_current",
    "charge_power",
    "charge_time",
    "hydrogen_evolved",
    "hydrogen_flow",
    "hydrogen_flow_by_capacity",
    "overcharge_test_voltage",
    "temperature_compensated_voltage",
    "vent_opening",
]

_FARADAY = 96485.33212  # C/mol, CODATA 2018
_GAS = 8.314462618  # J/(mol K), CODATA 2018
_HOUR = 3600.0


def charge_time(
    capacity: Numbers,
    charge_from: Numbers,
    charge_to: Numbers,
    current: Numbers,
    efficiency: Numbers = 1.0,
    tail: Numbers = 0.0,
) -> Numbers:
    """Time of a charge, s: (to - from) C / (I eta) + tail.

    capacity in C; state of charge before and after as fractions; current in A; efficiency of the
    charge itself (amp hours, not energy); tail in s for the part at constant voltage. Infinite for
    no current. Without a tail it is short by up to 80 % at one capacity per hour on cells with a
    sloping voltage, and by 6 % at a fifth. Source: charge balance.
    """
    return divide(most(charge_to - charge_from, 0.0) * capacity, current * efficiency) + tail


def charge_power(voltage: Numbers, current: Numbers) -> Numbers:
    """Power into the battery, W: V I, with the voltage at the battery's terminals in V."""
    return voltage * current


def ac_input_current(
    power: Numbers, efficiency: Numbers, voltage: Numbers, power_factor: Numbers = 1.0
) -> Numbers:
    """Current a charger draws from the outlet, A: P / (eta V pf).

    power out of the charger in W, efficiency and power factor as fractions, voltage rms in V.
    Source: power balance.
    """
    return divide(power, efficiency * voltage * power_factor)


def temperature_compensated_voltage(
    set_voltage: Numbers,
    number: Numbers,
    coefficient: Numbers,
    temperature: Numbers,
    reference: Numbers = 298.15,
) -> Numbers:
    """Voltage of a charger with temperature compensation, V: V + n a (T - T_ref).

    number of lead-acid cells it is made for; coefficient a in V/K and cell, negative (about
    -0.005); temperatures in K. Chargers bound the range; that is left out, so the cold comes out
    high. Source: battery makers' charge instructions.
    """
    return set_voltage + number * coefficient * (temperature - reference)


def hydrogen_flow(number: Numbers, gassing_current: Numbers) -> Numbers:
    """Air flow that keeps hydrogen below its limit, m3/s: Q[m3/h] = 0.055 n I_gas.

    number of cells; gassing current in A at the end of charge. Keeps 4 % with safety factor 5 at
    25 °C and normal height. For lead-acid and nickel cells; lithium cells in order give no gas.
    Source: EN 62485-3 (2014 and later), ZVEI leaflet 14 (May 2020).
    """
    return 0.055 * number * gassing_current / _HOUR


def hydrogen_flow_by_capacity(number: Numbers, gassing_rate: Numbers, capacity: Numbers) -> Numbers:
    """Air flow as older and stationary rules give it, m3/s: Q[m3/h] = 0.05 n i_gas C.

    number of cells; gassing rate in A for each C of capacity, that is 1/s (1 mA/Ah = 2.778e-7 1/s,
    1 A per 100 Ah = 2.778e-6 1/s); capacity in C.
    Source: EN 62485-2 (mA per Ah), EN 50272-3 (A per 100 Ah).
    """
    return 0.05 * number * gassing_rate * capacity / _HOUR


def vent_opening(flow: Numbers) -> Numbers:
    """Free opening for natural draught, m2, each of inlet and outlet: A[cm2] = 28 Q[m3/h].

    flow in m3/s. Supposes an air speed of 0.1 m/s. Source: EN 62485-2 and -3.
    """
    return 28e-4 * flow * _HOUR


def hydrogen_evolved(
    charge: Numbers,
    number: Numbers,
    temperature: Numbers = 298.15,
    pressure: Numbers = 101325.0,
) -> Numbers:
    """Hydrogen from overcharge, m3: n Q R T / (2 F p).

    charge that goes into splitting water in C, through a number of cells in series; temperature in
    K, pressure in Pa. Source: Faraday's law and the ideal gas.
    """
    moles = charge / (2 * _FARADAY)
    return divide(number * moles * _GAS * temperature, pressure)


def overcharge_test_voltage(full_voltage: Numbers) -> Numbers:
    """Least voltage of the overcharge test of a rechargeable battery, V.

    Up to 18 V: twice the full voltage, at most 22 V; above: 1.2 times the full voltage. The test
    lasts 24 h at twice the charge current. full_voltage in V stands for both the recommended charge
    voltage that picks the case and the highest one that is multiplied.
    Source: UN Manual of Tests and Criteria 38.3, T.7, as reproduced.
    """
    lower = least(2 * full_voltage, 22.0)
    return choose(full_voltage, "<=", 18.0, lower, 1.2 * full_voltage)
