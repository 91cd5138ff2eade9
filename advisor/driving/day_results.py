"""What the days of a build come to: charge left, range warm and cold, the charge after it."""

from __future__ import annotations

from advisor.driving.cold import in_air
from advisor.driving.courses import Trip
from advisor.driving.inputs import Inputs
from advisor.driving.kept import driven
from advisor.driving.road import Road
from advisor.driving.simulated import simulated
from advisor.facts.charging import time_to_full
from advisor.facts.origins import Key
from advisor.facts.traced import Traced
from advisor.physics.course import day_of
from advisor.physics.trip import Trace
from advisor.wiring.found import Found, chosen, combined, read

_CHARGER_EFFICIENCY = 0.90  # common practice, no source
_CELL_EFFICIENCY = {"lead": 0.75, "lithium": 0.96}  # energy out over energy in, from memory


def of_day(road: Road, inputs: Inputs) -> dict[Key, Traced]:
    """The results of the day on which least is left, and how far one charge lasts."""
    if not road.days:
        return {}
    trips = [one.rests for one in road.trips.values() if isinstance(one, Trip)]
    common = [*inputs.rests, *(one for rest in trips for one in rest)]
    season, worst = min(road.days.items(), key=lambda one: float(one[1].trace.charge[-1, 0]))
    rests = combined(0.0, [*common, *worst.inputs.rests])
    left = max(float(worst.trace.charge[-1, 0]), 0.0)
    found = {
        ("battery", "charge_after_day"): simulated(left, rests),
        ("battery", "day_season"): simulated(season or "the year", rests),
    }
    found |= _ranges(road, inputs, combined(0.0, common))
    found |= _charging(road, 1.0 - left, rests)
    return found


def _ranges(road: Road, inputs: Inputs, rests: Found) -> dict[Key, Traced]:
    """Way on one charge by the trips: battery at 25 degC or more, and at the coldest use.

    The cold one by one round of each trip, the warm one by the whole day.
    """
    day = next(iter(road.days.values()))
    course = day.trace.course
    found = {}
    same = day.inputs.vehicle is inputs.vehicle
    warm = _way(day.trace if same else driven(inputs.vehicle, course))
    if warm is not None:
        found["battery", "range_warm"] = simulated(warm, rests)
    coldest = read(road.facts, "use", "ambient_min")
    if coldest.known:
        cooled = in_air(road.facts, inputs, coldest)
        once = day_of([(one.course, 1, 0.0) for one in day.trips.values()], road.step)
        cold = _way(driven(cooled.vehicle, once))
        if cold is not None:
            rests = combined(0.0, [rests, *cooled.rests])
            found["battery", "range_cold"] = simulated(cold, rests)
    return found


def _way(day: Trace) -> float | None:
    """Way (m) of a day over the share of the charge it takes."""
    used, way = 1.0 - float(day.charge[-1, 0]), float(day.distance[-1, 0])
    return way / used if used > 1e-4 and way > 0 else None


def _charging(road: Road, used: float, rests: Found) -> dict[Key, Traced]:
    """Time of the charge after the day, and the energy it takes from the mains."""
    facts = road.facts
    chargers = facts.instances("charger")
    if len(chargers) != 1:
        return {}
    capacity, current = read(facts, "battery", "capacity"), read(facts, chargers[0], "current_max")
    volts = read(facts, "battery", "nominal_voltage")
    lead = str(chosen(facts, "battery", "chemistry")).startswith("lead")
    found = {}
    if capacity.known and current.known and current.value > 0:
        time = time_to_full(capacity.value, 1.0 - used, current.value, not lead)
        words = "charge taken by the day over the current, plus the end of the charge"
        own = combined(0.0, [rests, capacity, current])
        found[chargers[0], "day_charge_time"] = simulated(time, own, words)
    if capacity.known and volts.known:
        stated = read(facts, chargers[0], "efficiency", _CHARGER_EFFICIENCY)
        plug = stated if stated.known else Found(_CHARGER_EFFICIENCY, assumed=True)
        cells = _CELL_EFFICIENCY["lead" if lead else "lithium"]
        energy = used * capacity.value * volts.value / cells / plug.value
        own = combined(0.0, [rests, capacity, volts, plug, Found(0.0, assumed=True)])
        words = "charge taken by the day at nominal voltage, over the losses of cells and charger"
        found[chargers[0], "day_energy"] = simulated(energy, own, words)
    return found


__all__ = ["of_day"]
