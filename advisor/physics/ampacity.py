"""Current that a conductor may carry for long, on the boat basis and on the building basis.

The two bases differ by about two for the same copper: never mix a table of one with factors of the
other.
"""

from __future__ import annotations

from advisor.physics.choose import Numbers, choose, divide, most, power

__all__ = ["ambient_factor", "boat_ampacity", "building_ampacity"]

_LISTED_AMBIENT = 303.15  # K, 30 °C: NEC Table 310.16 and 33 CFR 183.425 Table 5
_BOAT_BUNDLE_VOLTAGE = 50.0  # V, nominal, 33 CFR 183.435(b)


def ambient_factor(
    insulation: Numbers, ambient: Numbers, reference: Numbers = _LISTED_AMBIENT
) -> Numbers:
    """Factor on a listed ampacity for another ambient: sqrt((Tc - Ta) / (Tc - T_ref)).

    Temperature the insulation may have, ambient, and ambient of the table, in K. 0 where the
    ambient is as hot as the insulation may be. Source: NEC 310.15(B), as reproduced.
    """
    return power(divide(most(insulation - ambient, 0.0), insulation - reference), 0.5)


def building_ampacity(
    listed: Numbers, insulation: Numbers, ambient: Numbers, bundle_factor: Numbers = 1.0
) -> Numbers:
    """Ampacity on the building basis, A: I sqrt((Tc - Ta) / (Tc - 30 °C)) b.

    listed current in A of NEC Table 310.16 for the insulation (up to three loaded conductors);
    insulation and ambient temperature in K; factor for more conductors of Table 310.15(C)(1).
    Source: NEC 310.15, as reproduced.
    """
    return listed * ambient_factor(insulation, ambient) * bundle_factor


def boat_ampacity(
    listed: Numbers, voltage: Numbers, bundle_factor: Numbers = 1.0, engine_factor: Numbers = 1.0
) -> Numbers:
    """Ampacity on the boat basis, A: I e, and from 50 V on I e b.

    listed current in A of 33 CFR 183.425 Table 5 for the insulation; nominal circuit voltage in V;
    factor for three or more bundled conductors, which counts from 50 V up; factor for an engine
    space at 50 °C, 1 elsewhere. Source: 33 CFR 183.425 notes 1 and 2, 183.435(b).
    """
    counts = choose(voltage, "<", _BOAT_BUNDLE_VOLTAGE, 0.0, 1.0)
    return listed * engine_factor * power(bundle_factor, counts)
