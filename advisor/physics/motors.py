"""Motors as two or three constants: from a plate or from test points, below saturation.

`constant` is flux times turns, V s = N.m/A: the voltage per rad/s is the torque per ampere. In a
series motor it grows with the current (V s/A), in a separately excited one with the field current.
Where the iron saturates it grows no further: above the current of the plate these models promise
too much torque for a series motor, so whoever uses them bounds it there.
"""

from __future__ import annotations

import math

from advisor.physics.choose import Numbers, divide, least, most, power

__all__ = [
    "armature_current",
    "back_voltage",
    "base_speed",
    "constant_from_plate",
    "constant_from_speed",
    "constant_from_points",
    "induction_current",
    "induction_slip",
    "induction_torque",
    "resistance_from_point",
    "series_constant",
    "series_constant_from_points",
    "series_current",
    "series_torque",
    "synchronous_speed",
    "torque",
    "turning_speed",
    "weakened_torque",
]


def back_voltage(terminal: Numbers, current: Numbers, resistance: Numbers) -> Numbers:
    """Voltage a direct-current motor makes by turning, V: V - I R, with V, A and ohm."""
    return terminal - current * resistance


def armature_current(
    terminal: Numbers, constant: Numbers, turning: Numbers, resistance: Numbers
) -> Numbers:
    """Current of a motor with a fixed field, A: (V - k w) / R; negative where it generates.

    constant in V s, turning in rad/s, resistance in ohm. Source: voltage equation of the machine.
    """
    return divide(terminal - constant * turning, resistance)


def torque(constant: Numbers, current: Numbers) -> Numbers:
    """Torque, N.m: k I, with V s and A. Source: converted power E I over the speed."""
    return constant * current


def turning_speed(
    terminal: Numbers, current: Numbers, resistance: Numbers, constant: Numbers
) -> Numbers:
    """Speed of a motor with a fixed field, rad/s: (V - I R) / k."""
    return divide(terminal - current * resistance, constant)


def constant_from_speed(voltage: Numbers, turning: Numbers) -> Numbers:
    """Constant of a motor from its voltage at a speed without load, V s, with V and rad/s."""
    return divide(voltage, turning)


def constant_from_plate(power_out: Numbers, turning: Numbers, current: Numbers) -> Numbers:
    """Constant from the plate, N.m/A: rated power in W over rated speed in rad/s and current in A.

    Friction is in it, which makes it a little small.
    """
    return divide(power_out, turning * current)


def base_speed(terminal: Numbers, constant: Numbers) -> Numbers:
    """Speed at which the back voltage reaches the terminal voltage, rad/s: V / k."""
    return divide(terminal, constant)


def weakened_torque(
    limit: Numbers, constant: Numbers, terminal: Numbers, turning: Numbers
) -> Numbers:
    """Torque at a current limit over the speed, N.m: k I up to the base speed, then falling as 1/w.

    limit in A, constant in V s, terminal in V, turning in rad/s: a machine whose field is weakened
    above the base speed so that its power stays. Source: constant power above the base speed.
    """
    base = base_speed(terminal, constant)
    return constant * limit * least(1.0, divide(base, most(turning, 1e-9)))


def series_constant(
    terminal: Numbers, current: Numbers, resistance: Numbers, turning: Numbers
) -> Numbers:
    """Constant of an unsaturated series motor from one test point, V s/A: (V - I R) / (I w)."""
    return divide(terminal - current * resistance, current * turning)


def constant_from_points(
    first_terminal: Numbers,
    first_current: Numbers,
    first_turning: Numbers,
    second_terminal: Numbers,
    second_current: Numbers,
    second_turning: Numbers,
) -> Numbers:
    """Constant of a motor with steady field from two loads, V s: V = c w + I R twice, R taken out.

    Voltages in V, currents in A, speeds in rad/s. Source: voltage equation of the armature.
    """
    return divide(
        first_terminal * second_current - second_terminal * first_current,
        first_turning * second_current - second_turning * first_current,
    )


def resistance_from_point(
    terminal: Numbers, current: Numbers, turning: Numbers, constant: Numbers
) -> Numbers:
    """Resistance of an armature from one load, ohm: (V - c w) / I, with V, A, rad/s and V s."""
    return divide(terminal - constant * turning, current)


def series_constant_from_points(
    first_terminal: Numbers,
    first_current: Numbers,
    first_turning: Numbers,
    second_terminal: Numbers,
    second_current: Numbers,
    second_turning: Numbers,
) -> Numbers:
    """Constant of an unsaturated series motor from two loads, V s/A: V / I = c w + R twice.

    Voltages in V, currents in A, speeds in rad/s. Source: voltage equation of the armature.
    """
    return divide(
        divide(first_terminal, first_current) - divide(second_terminal, second_current),
        first_turning - second_turning,
    )


def series_current(
    terminal: Numbers, constant: Numbers, turning: Numbers, resistance: Numbers
) -> Numbers:
    """Current of a series motor, A: V / (c w + R). It has no speed of its own without load."""
    return divide(terminal, constant * turning + resistance)


def series_torque(constant: Numbers, current: Numbers) -> Numbers:
    """Torque of an unsaturated series motor, N.m: c I^2, with V s/A and A."""
    return constant * current * current


def synchronous_speed(frequency: Numbers, poles: Numbers) -> Numbers:
    """Speed of the field of an induction motor, rad/s: 4 pi f / p, with Hz and its poles."""
    return divide(4 * math.pi * frequency, poles)


def induction_slip(synchronous: Numbers, turning: Numbers) -> Numbers:
    """Slip of an induction motor: (w_s - w) / w_s, both in rad/s."""
    return divide(synchronous - turning, synchronous)


def induction_current(
    voltage: Numbers,
    slip: Numbers,
    stator: Numbers,
    rotor: Numbers,
    leakage: Numbers,
    magnetising: Numbers,
) -> Numbers:
    """Phase current of an induction motor, A, by its approximate equivalent circuit.

    The magnetising reactance lies at the terminals, beside R1 + R2 / s and both leakage reactances.
    phase voltage in V; resistances and reactances in ohm per phase, the rotor's referred to the
    stator. Source: as in Dubey, Fundamentals of Electrical Drives, example 6.1.
    """
    through = stator + divide(rotor, slip)
    size = through * through + leakage * leakage
    real = divide(voltage * through, size)
    imaginary = divide(voltage * leakage, size) + divide(voltage, magnetising)
    return power(real * real + imaginary * imaginary, 0.5)


def induction_torque(
    voltage: Numbers,
    slip: Numbers,
    synchronous: Numbers,
    stator: Numbers,
    rotor: Numbers,
    leakage: Numbers,
) -> Numbers:
    """Torque of an induction motor, N.m, its magnetising current left out.

    3 V^2 (R2 / s) / (w_s ((R1 + R2 / s)^2 + X^2)): phase voltage in V, synchronous speed in rad/s,
    resistances and the sum of both leakage reactances in ohm per phase. Source: equivalent circuit.
    """
    load = divide(rotor, slip)
    through = (stator + load) * (stator + load) + leakage * leakage
    return divide(3 * voltage * voltage * load, synchronous * through)
