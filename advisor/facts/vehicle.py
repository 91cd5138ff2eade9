"""Derivations about the vehicle, its use, and parts that were removed or kept."""

from __future__ import annotations

from collections.abc import Sequence

from advisor.facts.assembly import total
from advisor.facts.derivation import Derivation, Result, assume, derive, look_up
from advisor.facts.kleene import any_of

_MPH_15 = 15 * 0.44704
_FREEZING = 273.15


def _fastest_turning(
    top: float, ratio: float, radius: float, descents: Sequence[float | None] | None
) -> Result:
    """Speed of the motor shaft, rad/s, at the fastest speed (m/s) of the vehicle."""
    speeds = [top, *(one for one in descents or () if one is not None)]
    return max(speeds) * ratio / radius if radius else None


def _heaviest(usual: float | None, trips: Sequence[float | None] | None) -> Result:
    """A trip that names no trailer has none; without trips only the usual one tells."""
    towed = [one or 0.0 for one in trips or ()]
    if usual is None and not towed:
        return None
    return max([usual or 0.0, *towed])


def _any_stall(stalls: Sequence[bool | None] | None) -> Result:
    """Whether it stands still on a trip; without trips there is none to stand still on."""
    if True in (stalls or ()):
        return True
    return None if None in (stalls or ()) else False


def _left_by_range(
    way: float, warm: float, coldest: float | None, cold: float | None
) -> float | None:
    """Charge left (share) after a day by its way and how far one charge lasts, both m."""
    if coldest is None or (coldest < _FREEZING and cold is None):
        return None
    lasts = min(warm, cold) if coldest < _FREEZING and cold is not None else warm
    return max(1.0 - way / lasts, 0.0) if lasts > 0 else None


DERIVATIONS: list[Derivation] = [
    derive(
        "vehicle.mass_removed",
        "removed[].mass removed[].count?",
        lambda masses, number: total(masses, number),
        "masses of the parts taken out, added",
    ),
    derive(
        "vehicle.mass_removed",
        "vehicle.original_blocks vehicle.original_block_mass",
        lambda number, mass: number * mass,
        "old blocks x mass of one",
        fallback=True,
    ),
    derive(
        "vehicle.mass_added",
        "battery.mass motor[].mass? controller[].mass? charger[].mass? converter[].mass? "
        "contactor[].mass? buffer[].mass?",
        lambda battery, *others: (
            battery + sum(mass or 0.0 for group in others for mass in group or ())
        ),
        "masses of the packs and of the other parts whose mass is stated, added",
    ),
    derive(
        "vehicle.mass_change",
        "vehicle.mass_added vehicle.mass_removed",
        lambda added, removed: added - removed,
        "added less removed",
    ),
    derive(
        "vehicle.gross_mass_max",
        "vehicle.mass_empty vehicle.original_blocks vehicle.original_block_mass "
        "vehicle.payload_max",
        lambda empty, number, mass, payload: empty + number * mass + payload,
        "mass without batteries, the old blocks, and the rated payload",
        fallback=True,
    ),
    derive(
        "vehicle.payload_max",
        "vehicle.mass_empty vehicle.original_blocks vehicle.original_block_mass "
        "vehicle.gross_mass_max",
        lambda empty, number, mass, gross: max(gross - empty - number * mass, 0.0),
        "rated gross mass, less the mass without batteries and the old blocks",
        fallback=True,
    ),
    look_up(
        "vehicle.tyre_speed_max",
        "vehicle.tyre_speed_symbol",
        "tyre-speed",
        "speed",
        fallback=True,
    ),
    derive(
        "vehicle.tyre_load_max",
        "vehicle.tyre_load_index",
        lambda index: 0.98 * 45.0 * 10 ** (index / 80),
        "45 kg x 10^(load index / 80), less 2 % for the rounding of the table",
        "the load index counts steps of the R80 series of ISO 3, from memory",
        fallback=True,
    ),
    derive(
        "vehicle.tyre_ratio",
        "vehicle.rolling_radius vehicle.original_rolling_radius",
        lambda now, before: now / before if before else None,
        "radius now over radius as built",
    ),
    derive(
        "motor.speed_fastest",
        "vehicle.top_speed vehicle.gear_ratio vehicle.rolling_radius trip[].downhill_speed?",
        _fastest_turning,
        "fastest speed, its descents among them, x gear ratio over rolling radius",
    ),
    derive(
        "use.trailer_heaviest",
        "use.trailer_mass? trip[].trailer_mass?",
        _heaviest,
        "the heaviest trailer that the use or a trip names; a trip that names none has none",
    ),
    derive(
        "vehicle.stalls_on_a_trip",
        "trip[].stalls?",
        _any_stall,
        "on each trip as tried or computed; without trips it stands still on none",
        fallback=True,
    ),
    derive(
        "battery.charge_after_day",
        "use.distance_per_day battery.range_warm use.ambient_min? battery.range_cold?",
        _left_by_range,
        "1 - way of a usual day over the way of one charge, in frost the cold one",
        fallback=True,
    ),
    derive(
        "use.on_public_road",
        "use.place",
        lambda place: place == "public-road",
        "by its place",
    ),
    derive(
        "use.fast",
        "vehicle.top_speed",
        lambda speed: speed > _MPH_15,
        "top speed above 15 mph (24 km/h)",
        "limit of the golf-car class, ANSI/OPEI Z130.1 as summarised by its developer",
    ),
    derive(
        "vehicle.relies_on_electric_braking",
        "controller.regen_enabled",
        lambda regenerates: None if regenerates else False,
        "without regeneration there is no electric braking to rely on",
        fallback=True,
    ),
    derive(
        "vehicle.braking_needs_battery",
        "vehicle.brakes",
        lambda brakes: True if brakes == "electric-only" else None,
        "it has no other brakes",
    ),
    derive(
        "vehicle.braking_needs_battery",
        "vehicle.brakes_hold_grade",
        lambda holds: False if holds else None,
        "the friction brakes alone hold it on its steepest grade",
    ),
    derive(
        "vehicle.braking_needs_battery",
        "vehicle.relies_on_electric_braking",
        lambda relies: None if relies else False,
        "nobody relies on electric braking",
    ),
    derive(
        "vehicle.braking_needs_battery",
        "vehicle.relies_on_electric_braking vehicle.brakes_hold_grade",
        lambda relies, holds: relies and not holds,
        "the driver relies on electric braking and the friction brakes alone do not hold it",
    ),
    *any_of(
        "use.public_or_fast",
        "use.on_public_road use.driven_at_night use.fast",
        "public road, or driven in the dark, or above 15 mph",
    ),
    derive(
        "retained.voltage_withstood",
        "retained.voltage_max",
        lambda voltage: voltage,
        "as stated",
    ),
    assume(
        "retained.voltage_withstood",
        "retained.nominal_voltage",
        lambda voltage: 1.25 * voltage,
        "it stood the charge voltage of its own lead-acid system, about 1.25 x nominal",
        "lead-acid absorption 2.45 V per cell, as reproduced",
    ),
    assume(
        "retained.nominal_voltage",
        "vehicle.original_voltage",
        lambda voltage: voltage,
        "a kept part without a plate is taken to be made for the old system voltage",
        "common practice, no source",
    ),
]
