"""Derivations about charger and outlet: voltage, current, time, and what the supply allows."""

from __future__ import annotations

from advisor.facts.assembly import largest
from advisor.facts.derivation import Derivation, Result, assume, derive
from advisor.physics import charging
from advisor.tables.reader import table

_LEAD_PROFILES = ("lead-flooded", "lead-agm", "lead-gel")


def time_to_full(capacity: float, charge: float, current: float, lithium: bool) -> float:
    """Time (s) from a state of charge to full, by capacity (A s) and charge current (A, above 0).

    Half an hour at the end, two hours for lead-acid; charge efficiency 0.99 and 0.85: trade
    figures, as reproduced.
    """
    efficiency, tail = (0.99, 1800.0) if lithium else (0.85, 7200.0)
    return float(charging.charge_time(capacity, charge, 1.0, current, efficiency, tail))


def _highest(
    set_voltage: float,
    tolerance: float,
    unlocked: bool,
    equalise: float | None,
    compensation: float,
    lead_cells: float | None,
    coldest: float | None,
) -> Result:
    """Highest voltage the charger can put out with every stage, in the cold, at its tolerance."""
    if unlocked and equalise is None:
        return None
    highest = max(set_voltage, equalise or 0.0) if unlocked else set_voltage
    if compensation:
        if lead_cells is None or coldest is None:
            return None
        compensated = charging.temperature_compensated_voltage(
            highest, lead_cells, compensation, coldest
        )
        highest = max(highest, float(compensated))
    return highest * (1 + tolerance)


def _unlocked(equalise: bool, can_be_disabled: bool | None) -> Result:
    if not equalise:
        return False
    return None if can_be_disabled is None else not can_be_disabled


def _cord_allowed(area: float) -> Result:
    """Current of the largest listed cord that is not larger than this one."""
    return table("cord-ampacity").step("area", area, "ampacity")


DERIVATIONS: list[Derivation] = [
    assume(
        "charger.tolerance",
        "",
        lambda: 0.01,
        "chargers of the usual kind keep their voltage within 1 %",
        "from memory",
    ),
    derive(
        "charger.lead_cells",
        "charger.profile charger.set_voltage",
        lambda profile, voltage: (
            round(voltage / 2.40 / 3) * 3.0 if profile in _LEAD_PROFILES else None
        ),
        "charge voltage over 2.40 V, in whole blocks of three cells",
        "lead-acid absorption 2.37 to 2.45 V per cell",
        fallback=True,
    ),
    derive(
        "charger.equalise_unlocked",
        "charger.equalise charger.equalise_can_be_disabled?",
        _unlocked,
        "it has such a stage and cannot lock it out",
    ),
    derive(
        "charger.equalise_unlocked",
        "charger.equalise charger.equalise_can_be_disabled",
        _unlocked,
        "it has such a stage and cannot lock it out",
    ),
    assume(
        "charger.equalise",
        "charger.profile",
        lambda profile: {"lithium": False, "lead-flooded": True}.get(profile),
        "chargers for flooded lead-acid usually equalise, chargers for lithium do not",
        "common practice, no source",
    ),
    assume(
        "charger.equalise_voltage",
        "charger.lead_cells",
        lambda number: number * 2.65,
        "equalise stages reach 2.58 to 2.67 V per lead-acid cell; 2.65 V is used",
        "off-grid dealer table for flooded lead-acid, as reproduced",
    ),
    derive(
        "charger.temperature_compensation",
        "charger.profile",
        lambda profile: 0.0 if profile == "lithium" else None,
        "a lithium profile has none",
        "common practice, no source",
        fallback=True,
    ),
    assume(
        "charger.temperature_compensation",
        "charger.profile",
        lambda profile: -0.005 if profile in _LEAD_PROFILES else None,
        "lead-acid chargers raise their voltage by about 5 mV per cell and kelvin in the cold",
        "battery maker's published answer (0.028 V per cell and 10 °F)",
    ),
    derive(
        "charger.voltage_highest",
        "charger.set_voltage charger.tolerance charger.equalise_unlocked charger.equalise_voltage? "
        "charger.temperature_compensation charger.lead_cells? use.ambient_min?",
        _highest,
        "highest of set and equalise voltage, raised in the cold, plus tolerance",
    ),
    derive(
        "charger.voltage_per_cell",
        "charger.set_voltage battery.cells_in_series",
        lambda voltage, number: voltage / number if number else None,
        "charge voltage over cells in series",
    ),
    derive(
        "charger.power_into_battery",
        "charger.set_voltage charger.current_max",
        lambda voltage, current: voltage * current,
        "charge voltage x current",
        "power",
    ),
    assume(
        "charger.efficiency",
        "",
        lambda: 0.88,
        "chargers of this size reach 85 to 93 %; 88 % is used",
        "from memory",
    ),
    assume(
        "charger.power_factor",
        "",
        lambda: 0.90,
        "a power factor of 0.9 is used; small chargers without correction have less",
        "from memory",
    ),
    derive("charger.ac_voltage", "supply.voltage", lambda voltage: voltage, "that of the outlet"),
    derive(
        "charger.ac_input_current",
        "charger.ac_current",
        lambda current: current,
        "as on its plate",
    ),
    derive(
        "charger.ac_input_current",
        "charger.power_into_battery charger.efficiency charger.ac_voltage charger.power_factor",
        lambda power, efficiency, voltage, factor: charging.ac_input_current(
            power, efficiency, voltage, factor
        ),
        "power into the battery over efficiency, voltage and power factor",
        "power balance",
        fallback=True,
    ),
    derive(
        "charger.charge_time",
        "battery.capacity battery.reserve charger.current_max battery.lithium",
        lambda capacity, reserve, current, lithium: (
            time_to_full(capacity, reserve, current, lithium) if current else None
        ),
        "charge missing over current and charge efficiency, plus half an hour at the end (two "
        "hours for lead-acid)",
        "charge efficiency 0.99 and 0.85: trade figures, as reproduced",
    ),
    derive(
        "supply.load_allowed",
        "supply.circuit_rating supply.receptacle_rating",
        lambda circuit, receptacle: 0.8 * min(circuit, receptacle),
        "80 % of the circuit's rating, and of the receptacle's",
        "NEC 210.23(A)(1), Table 210.21(B)(2), as reproduced",
    ),
    assume(
        "supply.load_allowed",
        "supply.circuit_rating",
        lambda circuit: 0.8 * circuit,
        "80 % of the circuit's rating, with a receptacle of the same rating",
        "NEC 210.23(A)(1), as reproduced",
    ),
    derive(
        "supply.cord_allowed",
        "supply.cord_gauge",
        _cord_allowed,
        "flexible cord with two loaded conductors",
        "NEC Table 400.5(A)(1), column B, as reproduced",
    ),
    derive(
        "supply.load_asked",
        "charger[].ac_input_current",
        largest,
        "what the largest charger draws",
    ),
    derive(
        "supply.hydrogen_flow",
        "battery.lithium battery.cells_in_series battery.capacity",
        lambda lithium, number, capacity: (
            None if lithium else charging.hydrogen_flow(number, 2.0 * capacity / 3600 / 100)
        ),
        "0.055 x cells x gassing current (2 A per 100 A·h)",
        "EN 62485-3 and ZVEI leaflet 14",
    ),
    derive(
        "removed.hydrogen_flow",
        "removed.kind removed.count? removed.nominal_voltage removed.capacity",
        lambda kind, number, voltage, capacity: (
            charging.hydrogen_flow((number or 1.0) * voltage / 2.0, 2.0 * capacity / 3600 / 100)
            if kind == "lead-acid-block"
            else None
        ),
        "0.055 x cells (2 V each) x gassing current (2 A per 100 A·h), all charged together",
        "EN 62485-3 and ZVEI leaflet 14",
    ),
]
