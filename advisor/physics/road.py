"""Grade and mass."""

from __future__ import annotations

from advisor.physics.choose import Numbers, divide, power

__all__ = ["grade_force", "grade_sine", "mass_change"]

_GRAVITY = 9.80665  # m/s2, standard gravity, CGPM 1901


def grade_sine(grade: Numbers) -> Numbers:
    """Sine of the slope: g / sqrt(1 + g^2).

    grade as rise over run (18 % = 0.18). Source: definition of grade.
    """
    return divide(grade, power(1 + grade * grade, 0.5))


def grade_force(mass: Numbers, grade: Numbers) -> Numbers:
    """Force along a slope, N: m g sin, with mass in kg and grade as rise over run."""
    return mass * _GRAVITY * grade_sine(grade)


def mass_change(added: Numbers, removed: Numbers) -> Numbers:
    """Change of mass, kg: added less removed; negative when the vehicle gets lighter."""
    return added - removed
