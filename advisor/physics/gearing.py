"""Between motor and road: one gear and the rolling radius of the driven wheels."""

from __future__ import annotations

from advisor.physics.choose import Numbers, choose, divide

__all__ = ["motor_speed", "motor_torque", "rev_per_minute", "road_speed", "wheel_force"]

_PER_MINUTE = 9.549296585513721  # 60 / (2 pi)


def motor_speed(speed: Numbers, radius: Numbers, ratio: Numbers) -> Numbers:
    """Speed of the motor, rad/s: v G / r, with m/s, motor turns per wheel turn, and m."""
    return divide(speed * ratio, radius)


def road_speed(turning: Numbers, radius: Numbers, ratio: Numbers) -> Numbers:
    """Speed of the vehicle, m/s, at a motor speed in rad/s."""
    return divide(turning * radius, ratio)


def rev_per_minute(turning: Numbers) -> Numbers:
    """Turns per minute of a speed in rad/s."""
    return turning * _PER_MINUTE


def motor_torque(force: Numbers, radius: Numbers, ratio: Numbers, efficiency: Numbers) -> Numbers:
    """Torque of the motor for a force at the wheels, N.m: F r / (G eta), braking F r eta / G.

    force in N, radius in m, efficiency of the gear. Source: definition of torque and efficiency.
    """
    lost = choose(force, ">=", 0.0, efficiency, divide(1.0, efficiency))
    return divide(force * radius, ratio * lost)


def wheel_force(torque: Numbers, radius: Numbers, ratio: Numbers, efficiency: Numbers) -> Numbers:
    """Force at the wheels of a motor torque in N.m, N: T G eta / r, braking T G / (eta r)."""
    lost = choose(torque, ">=", 0.0, efficiency, divide(1.0, efficiency))
    return divide(torque * ratio * lost, radius)
