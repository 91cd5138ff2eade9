"""Forces on a vehicle on the road, and what they ask at the wheels.

Forces and powers are those at the tyre contact; a climb and a headwind count positive.
"""

from __future__ import annotations

from advisor.physics.choose import Numbers, choose, divide, power

__all__ = [
    "air_density",
    "air_drag",
    "grade_cosine",
    "grade_force",
    "grade_sine",
    "inertia_force",
    "mass_change",
    "road_force",
    "rolling_force",
    "tyre_rolling",
    "wheel_power",
]

_GRAVITY = 9.80665  # m/s2, standard gravity, CGPM 1901
_DRY_AIR = 287.058  # J/(kg K)
_SEA_LEVEL = 101325.0  # Pa
_LAPSE = 0.0065  # K/m
_STANDARD = 288.15  # K
_EXPONENT = 5.25588


def grade_sine(grade: Numbers) -> Numbers:
    """Sine of the slope: g / sqrt(1 + g^2).

    grade as rise over run (18 % = 0.18). Source: definition of grade.
    """
    return divide(grade, power(1 + grade * grade, 0.5))


def grade_cosine(grade: Numbers) -> Numbers:
    """Cosine of the slope: 1 / sqrt(1 + g^2), with grade as rise over run."""
    return divide(1.0, power(1 + grade * grade, 0.5))


def grade_force(mass: Numbers, grade: Numbers) -> Numbers:
    """Force along a slope, N: m g sin, with mass in kg and grade as rise over run."""
    return mass * _GRAVITY * grade_sine(grade)


def rolling_force(mass: Numbers, coefficient: Numbers, grade: Numbers = 0.0) -> Numbers:
    """Rolling resistance, N: m g C cos, with mass in kg and grade as rise over run.

    Source: definition of the coefficient of rolling resistance.
    """
    return mass * _GRAVITY * coefficient * grade_cosine(grade)


def tyre_rolling(pressure: Numbers, speed: Numbers) -> Numbers:
    """Rolling coefficient of a car tyre on a hard road: 0.005 + (0.01 + 0.0095 (V/100)^2) / p.

    pressure in Pa (bar in the printed formula), speed in m/s (km/h in the printed formula). A fit
    for car tyres. Source: general engineering reference.
    """
    fast = speed * 3.6 / 100.0
    return 0.005 + divide(1e5, pressure) * (0.01 + 0.0095 * fast * fast)


def air_density(altitude: Numbers, temperature: Numbers) -> Numbers:
    """Density of dry air, kg/m3: pressure of the standard atmosphere over R T.

    altitude in m (to 11 km), temperature of the air in K. Source: US Standard Atmosphere 1976.
    """
    pressure = _SEA_LEVEL * power(1 - _LAPSE * altitude / _STANDARD, _EXPONENT)
    return divide(pressure, _DRY_AIR * temperature)


def air_drag(density: Numbers, drag_area: Numbers, speed: Numbers) -> Numbers:
    """Air drag, N: rho Cd A v |v| / 2; drag_area is Cd x A in m2, density in kg/m3, speed in m/s.

    speed is that against the air. Source: definition of the drag coefficient.
    """
    forward = choose(speed, ">=", 0.0, 1.0, -1.0)
    return 0.5 * density * drag_area * speed * speed * forward


def inertia_force(mass: Numbers, acceleration: Numbers, rotating: Numbers = 1.05) -> Numbers:
    """Force that accelerates a vehicle, N: m (1 + rotating parts) a.

    rotating is the mass with rotating parts over the mass, 1.05 for one gear (from memory; 1.08
    to 1.10 for trains in the worked examples). Source: Newton's second law.
    """
    return mass * rotating * acceleration


def road_force(
    mass: Numbers,
    coefficient: Numbers,
    grade: Numbers,
    speed: Numbers,
    drag_area: Numbers,
    density: Numbers,
) -> Numbers:
    """Force at the wheels for a steady speed, N: rolling, slope and drag.

    mass in kg, grade as rise over run, speed in m/s, drag_area in m2, density in kg/m3.
    """
    slope = grade_force(mass, grade) + rolling_force(mass, coefficient, grade)
    return slope + air_drag(density, drag_area, speed)


def wheel_power(force: Numbers, speed: Numbers) -> Numbers:
    """Power at the wheels, W: force in N x speed in m/s. Source: definition of work."""
    return force * speed


def mass_change(added: Numbers, removed: Numbers) -> Numbers:
    """Change of mass, kg: added less removed; negative when the vehicle gets lighter."""
    return added - removed
