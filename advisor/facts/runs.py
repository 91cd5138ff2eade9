"""Derivations about cable runs: current by stated circuit, drop, what conductor and device allow.

No code is written for carts. The ampacity is that of the boat rules (33 CFR 183.425), used as a
yardstick, or where the sheet says so that of the building code (NEC Table 310.16), about half of
it. Currents are those of the circuit a run belongs to; they are not solved from a network.
"""

from __future__ import annotations

from collections.abc import Sequence

from advisor.facts.assembly import largest
from advisor.facts.derivation import Derivation, Result, Worded, assume, derive
from advisor.physics import ampacity, conductors, protection
from advisor.tables.reader import table

WORKING_TEMPERATURE = 348.15
STRANDED = 1.02
_ICE_POINT = 273.15
_INSULATIONS = (60, 75, 80, 90, 105, 125, 200)
_BUNDLES = ((25, "bundle-25"), (7, "bundle-7"), (4, "bundle-4"), (3, "bundle-3"))
_BUILDING = (60, 75, 90)
_GROUPS = ((41, "bundle-41"), (31, "bundle-31"), (21, "bundle-21"), (10, "bundle-10"),
           (7, "bundle-7"), (4, "bundle-4"))  # fmt: skip
_ENGINE_SPACE = 323.15  # K, as the boat rules take it
_SMALL_CONDUCTOR = 5.5e-6  # m2, just above 10 AWG: NEC 240.4(D) ends there
_FROM_50_V = 50.0  # the stricter side, where the voltage is not known

# Conductance against copper of the same size: copper-clad aluminium 1.6 times the resistivity,
# aluminium 61 % IACS; SAE conductors are up to 11 % smaller than AWG ones of the same number.
_WORTH = {"copper": 1.0, "cca": 1 / 1.6, "aluminium": 0.61}
_SIZE = {"awg": 1.0, "metric": 1.0, "sae": 0.89}
_ROLE_OF = {
    "traction": "main",
    "charge": "charge",
    "converter-input": "converter-input",
    "auxiliary": "converter-output",
}


def _carried(
    circuit: str,
    demand: float | None,
    charging: Sequence[float | None] | None,
    converter_in: float | None,
    converter_out: float | None,
) -> Result:
    return {
        "traction": demand,
        "charge": largest(charging),
        "converter-input": converter_in,
        "auxiliary": converter_out,
    }.get(circuit)


def _factor(row: str, factors: str = "boat-factors") -> float:
    found = table(factors).value(row, "factor")
    return float(found.value) if found is not None else 1.0


def _column(columns: Sequence[int], insulation: float | None) -> int | None:
    """The hottest listed column that an insulation (K) may use; 75 °C if not stated."""
    celsius = 75.0 if insulation is None else insulation - _ICE_POINT
    return max((one for one in columns if one <= celsius + 0.5), default=None)


def _building_ampacity(
    area: float,
    insulation: float | None,
    place: str | None,
    bundle: float | None,
    ambient: float | None,
) -> Result:
    """Current of a conductor by the building table, for the air around it and its bundle."""
    column = _column(_BUILDING, insulation)
    if column is None or ambient is None:
        return None
    listed = table("building-ampacity").step_row("area", area, f"at_{column}")
    if listed is None:
        return None
    row = next((name for least, name in _GROUPS if (bundle or 1.0) >= least), None)
    air = max(ambient, _ENGINE_SPACE) if place == "motor-space" else ambient
    factor = _factor(row, "building-factors") if row else 1.0
    current = float(ampacity.building_ampacity(listed[1], column + _ICE_POINT, air, factor))
    heat = ampacity.ambient_factor(column + _ICE_POINT, air)
    words = (
        f"NEC Table 310.16, row {_row(listed[0])}, column {column} °C: {listed[1]:g} A; air of "
        f"{air - _ICE_POINT:.3g} °C x {heat:.3g}; bundle x {factor:.3g}"
    )
    return Worded(current, words)


def _row(name: str) -> str:
    """A row of a table of sizes as it is printed in the standard."""
    return name.replace("-awg", " AWG").replace("-mm2", " mm²").replace("-", "/")


def _ampacity_on(
    area: float,
    insulation: float | None,
    place: str | None,
    bundle: float | None,
    voltage: float | None,
    basis: str | None,
    ambient: float | None,
) -> Result:
    if basis == "building":
        return _building_ampacity(area, insulation, place, bundle, ambient)
    return _ampacity(area, insulation, place, bundle, voltage)


def _at_terminal(area: float, marked: float, basis: str | None) -> Result:
    """Listed current of a conductor in the column of a marked terminal."""
    building = basis == "building"
    column = _column(_BUILDING if building else _INSULATIONS, marked)
    name = "building-ampacity" if building else "boat-ampacity"
    return None if column is None else table(name).step("area", area, f"at_{column}")


def _ampacity(
    area: float,
    insulation: float | None,
    place: str | None,
    bundle: float | None,
    voltage: float | None,
) -> Result:
    """Current of a conductor by the boat table, in its place and bundle; 75 °C if not stated."""
    column = _column(_INSULATIONS, insulation)
    if column is None:
        return None
    listed = table("boat-ampacity").step_row("area", area, f"at_{column}")
    if listed is None:
        return None
    row = next((name for least, name in _BUNDLES if (bundle or 1.0) >= least), None)
    volts = _FROM_50_V if voltage is None else voltage
    bundled = _factor(row) if row else 1.0
    hot = _factor(f"engine-{column}") if place == "motor-space" else 1.0
    counts = bundled if volts >= _FROM_50_V else 1.0
    words = (
        f"33 CFR 183.425 Table 5, row {_row(listed[0])}, column {column} °C: {listed[1]:g} A; "
        f"motor space x {hot:.3g}; bundle x {counts:.3g}"
    )
    if counts != bundled:
        words += " (bundles count from 50 V)"
    return Worded(float(ampacity.boat_ampacity(listed[1], volts, bundled, hot)), words)


def _device_of(
    circuit: str,
    fuse_roles: Sequence[str | None] | None,
    fuses: Sequence[float | None] | None,
    breaker_roles: Sequence[str | None] | None,
    breakers: Sequence[float | None] | None,
) -> Result:
    """Rating of the only listed device with the role of a circuit."""
    if circuit not in _ROLE_OF:
        return None
    roles = [*(fuse_roles or ()), *(breaker_roles or ())]
    ratings = [*(fuses or ()), *(breakers or ())]
    fitting = [
        rating for role, rating in zip(roles, ratings, strict=True) if role == _ROLE_OF[circuit]
    ]
    return fitting[0] if len(fitting) == 1 else None


def _allowed(
    ampacity: float, circuit: str, voltage: float, basis: str | None, area: float | None
) -> Result:
    if basis == "building":
        small = None if area is None else table("building-ampacity").step(
            "area", area, "device_limit"
        )  # fmt: skip
        ratings = (1.0, 3.0, 6.0, 10.0, *table("standard-ratings").numbers("rating"))
        largest = float(protection.building_device_limit(ampacity, ratings))
        is_small = small is not None and area is not None and area < _SMALL_CONDUCTOR
        return min(largest, small) if is_small and small is not None else largest
    volts = 12.0 if circuit == "auxiliary" else voltage
    ratings = table("standard-ratings").numbers("rating")
    return float(protection.device_upper_limit(ampacity, volts, ratings))


def _traction_drop(
    circuits: Sequence[str | None] | None, drops: Sequence[float | None] | None
) -> Result:
    if circuits is None or drops is None:
        return None
    lost = [drop for circuit, drop in zip(circuits, drops, strict=True) if circuit == "traction"]
    known = [drop for drop in lost if drop is not None]
    undecided = None in circuits or len(known) < len(lost)
    return None if undecided or not lost else sum(known)


_IN_PLACE = (
    "run.insulation_temperature{0} run.place{0} run.bundle{0} battery.nominal_voltage{0} "
    "use.wiring_basis? use.ambient_max?"
)

DERIVATIONS: list[Derivation] = [
    derive(
        "run.conducting_area",
        "run.gauge run.material run.size_system",
        lambda area, material, system: area * _WORTH[material] * _SIZE[system],
        "size x conductance of the material against copper; SAE sizes are up to 11 % smaller",
        "SAE J1127 against ASTM B258, as reproduced; copper-clad aluminium from memory",
    ),
    assume(
        "run.conducting_area",
        "run.gauge run.material? run.size_system?",
        lambda area, material, system: area * _WORTH.get(material, 1.0) * _SIZE.get(system, 1.0),
        "copper, and a conductor of full size, where the sheet does not say otherwise",
        "common practice, no source",
    ),
    derive(
        "run.current_carried",
        "run.circuit battery.demand_continuous? charger[].current_max? "
        "converter.input_current_full? converter.load_continuous?",
        _carried,
        "sustained current of its circuit",
    ),
    derive(
        "run.current_carried",
        "run.circuit controller.motor_current_hour",
        lambda circuit, hour: hour if circuit == "motor" else None,
        "motor current that the controller gives for one hour",
        fallback=True,
    ),
    derive(
        "run.resistance",
        "run.length run.conducting_area",
        lambda length, area: STRANDED * conductors.resistance(length, area, WORKING_TEMPERATURE),
        "resistivity x length over area at 75 °C, 2 % more for strands",
        "IEC 60028, NBS Handbook 100",
    ),
    derive(
        "run.drop",
        "run.current_carried run.resistance",
        lambda current, resistance: current * resistance,
        "sustained current x resistance",
        "Ohm's law",
    ),
    derive(
        "run.ampacity",
        "run.conducting_area " + _IN_PLACE.format(""),
        _ampacity_on,
        "table by size and insulation: boat with its factors for engine space and bundle, or where "
        "the sheet says `wiring_basis: building` that of buildings, for the air around and bundle",
        "33 CFR 183.425, Table 5; NEC Table 310.16",
    ),
    assume(
        "run.ampacity",
        "run.conducting_area " + _IN_PLACE.format("?"),
        _ampacity_on,
        "the same; insulation of 75 °C, free of hot spaces and bundles where not stated",
        "33 CFR 183.425, Table 5; NEC Table 310.16",
    ),
    derive(
        "run.device_rating",
        "run.protected_by device.rating",
        lambda _device, rating: rating,
        "rating of the device it names",
    ),
    derive(
        "run.device_rating",
        "run.circuit fuse[].role? fuse[].rating? breaker[].role? breaker[].rating?",
        _device_of,
        "rating of the only device with the role of its circuit",
        fallback=True,
    ),
    derive(
        "run.device_allowed",
        "run.ampacity run.circuit battery.nominal_voltage use.wiring_basis? run.conducting_area?",
        _allowed,
        "below 50 V 150 % of the ampacity; from 50 V the ampacity, or the next standard rating up "
        "to 150 %; on the building basis the next standard rating, and the limits of small sizes",
        "33 CFR 183.455; NEC 240.4(B) to (D)",
    ),
    derive(
        "run.ampacity_at_terminal",
        "run.conducting_area run.terminal_temperature use.wiring_basis?",
        _at_terminal,
        "listed current in the column of the temperature marked for its terminal",
        "NEC 110.14(C)",
    ),
    derive(
        "run.ampacity_coolest",
        "run.conducting_area use.wiring_basis?",
        lambda area, basis: _at_terminal(area, 60 + _ICE_POINT, basis),
        "listed current in the column of 60 °C, the coolest that terminals are marked for",
        "NEC 110.14(C)(1)(a)",
    ),
    derive(
        "battery.traction_drop",
        "run[].circuit? run[].drop?",
        _traction_drop,
        "drops of the traction runs, added",
        "Ohm's law",
    ),
]
