"""Derivations about the traction battery: packs in series and parallel make one battery."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from advisor.facts.derivation import Derivation, Result, assume, derive
from advisor.facts.packs import LEAD
from advisor.physics import cells

Values = Sequence[float]
Maybe = Sequence[float | None]
_FREEZING = 273.15


def counts(values: Maybe, length: int) -> list[float]:
    """How many of each; a part listed without a count is one."""
    return [1.0 if one is None else one for one in values] if values else [1.0] * length


def total(values: Values, number: Maybe) -> float:
    """The sum over all parts."""
    each = counts(number, len(values))
    return float(sum(value * times for value, times in zip(values, each, strict=True)))


def largest(values: Maybe | None) -> float | None:
    """The largest of several; None when one of them, or whether there is any, is not known."""
    known = [one for one in values or () if one is not None]
    return max(known) if known and values and len(known) == len(values) else None


def along_string(pick: Callable[[Values], float]) -> Callable[..., Result]:
    """The sum along a string; with several strings, `pick` says which pack counts for all."""

    def formula(values: Values, number: Maybe, series: float, parallel: float) -> Result:
        if not values:
            return None
        return total(values, number) if parallel == 1 else series * pick(values)

    return formula


def _across(pick: Callable[[Values], float]) -> Callable[..., Result]:
    """Strings in parallel add; along a string `pick` says which pack decides."""
    return lambda values, parallel: parallel * pick(values) if values else None


def pick(choose: Callable[[Values], float]) -> Callable[..., Result]:
    """One value for all packs, as `choose` picks it; none without packs."""
    return lambda values: choose(values) if values else None


def _strings(packs: float, known: float | None) -> Result:
    if known is None:
        return 1.0 if packs == 1 else None
    return packs / known if known and packs % known == 0 else None


def _resistance(values: Values, number: Maybe, series: float, parallel: float) -> Result:
    if not values:
        return None
    if parallel == 1:
        return total(values, number)
    return series * max(values) / parallel


def _chemistry(values: Sequence[str]) -> Result:
    if not values:
        return None
    return values[0] if len(set(values)) == 1 else "mixed"


_STRING = "pack[].count? battery.packs_in_series battery.packs_in_parallel"
_WHOLE = "sum over the packs of a string"

DERIVATIONS: list[Derivation] = [
    derive(
        "battery.pack_count",
        "pack[].present pack[].count?",
        lambda packs, number: sum(counts(number, len(packs))) if packs else None,
        "number of packs listed",
    ),
    derive(
        "battery.packs_in_series",
        "battery.pack_count battery.packs_in_parallel?",
        _strings,
        "packs over strings in parallel",
        fallback=True,
    ),
    derive(
        "battery.packs_in_parallel",
        "battery.pack_count battery.packs_in_series?",
        _strings,
        "packs over packs in series",
        fallback=True,
    ),
    derive("battery.chemistry", "pack[].chemistry", _chemistry, "the chemistry of all packs"),
    derive(
        "battery.lithium",
        "pack[].chemistry",
        lambda found: all(one not in LEAD for one in found) if found else None,
        "no pack is lead-acid",
    ),
    derive(
        "battery.cells_in_series",
        f"pack[].cells_in_series {_STRING}",
        along_string(max),
        _WHOLE,
    ),
    derive(
        "battery.full_voltage",
        f"pack[].full_voltage {_STRING}",
        along_string(max),
        "full voltages of the packs of a string, added",
        "Kirchhoff's voltage law",
    ),
    derive(
        "battery.rested_full_voltage",
        "battery.cells_in_series pack[].cell_rested_full",
        lambda number, values: cells.series_voltage(number, max(values)) if values else None,
        "cells in series x voltage of a rested full cell",
    ),
    derive(
        "battery.nominal_voltage",
        f"pack[].nominal_voltage {_STRING}",
        along_string(max),
        "nominal voltages of the packs of a string, added",
        "Kirchhoff's voltage law",
    ),
    derive(
        "battery.empty_voltage",
        f"pack[].empty_voltage {_STRING}",
        along_string(max),
        "cut-off voltages of the packs of a string, added",
        "Kirchhoff's voltage law",
    ),
    derive(
        "battery.reserve_voltage",
        "battery.cells_in_series pack[].cell_at_reserve",
        lambda number, values: cells.series_voltage(number, min(values)) if values else None,
        "cells in series x resting cell voltage at the reserve",
    ),
    derive(
        "battery.reserve_voltage_loaded",
        "battery.reserve_voltage battery.demand_continuous battery.internal_resistance",
        cells.loaded_voltage,
        "resting voltage at the reserve less sustained current x resistance",
        "Ohm's law",
    ),
    derive(
        "battery.sag_voltage",
        "battery.reserve_voltage battery.demand_peak battery.internal_resistance",
        cells.loaded_voltage,
        "resting voltage at the reserve less peak current x resistance",
        "Ohm's law",
    ),
    derive(
        "battery.capacity",
        "pack[].capacity battery.packs_in_parallel",
        _across(min),
        "strings in parallel x smallest pack of a string",
    ),
    derive(
        "battery.energy",
        "battery.capacity battery.nominal_voltage",
        lambda capacity, voltage: capacity * voltage,
        "capacity x nominal voltage",
    ),
    derive(
        "battery.internal_resistance",
        f"pack[].internal_resistance {_STRING}",
        _resistance,
        "series adds, parallel divides",
        "Kirchhoff's laws",
    ),
    derive(
        "battery.short_circuit_current",
        "pack[].short_circuit_current battery.packs_in_parallel",
        _across(max),
        "short-circuit currents of parallel strings add; packs in series do not add",
        "marine bank rule (ABYC E-11, as reproduced)",
    ),
    derive(
        "battery.discharge_continuous",
        "pack[].discharge_continuous battery.packs_in_parallel",
        _across(min),
        "strings in parallel x smallest continuous limit",
    ),
    derive(
        "battery.discharge_peak",
        "pack[].discharge_peak battery.packs_in_parallel",
        _across(min),
        "strings in parallel x smallest peak limit",
    ),
    derive(
        "battery.discharge_peak_time",
        "pack[].discharge_peak_time",
        pick(min),
        "the shortest peak time of the packs",
    ),
    derive(
        "battery.charge_current_max",
        "pack[].charge_current_max battery.packs_in_parallel",
        _across(min),
        "strings in parallel x smallest charge limit",
    ),
    derive(
        "battery.charge_current_max_cold",
        "pack[].charge_current_max_cold battery.packs_in_parallel",
        _across(min),
        "strings in parallel x smallest charge limit in the cold",
    ),
    derive(
        "battery.discharge_continuous_cold",
        "battery.discharge_continuous battery.discharge_temperature_min use.ambient_min",
        lambda limit, coldest, ambient: (
            0.0 if ambient < coldest else limit if ambient >= _FREEZING else None
        ),
        "the full limit above freezing, nothing below the pack's lowest temperature",
    ),
    assume(
        "battery.discharge_continuous_cold",
        "battery.discharge_continuous use.ambient_min",
        lambda limit, ambient: limit if ambient >= _FREEZING else 0.5 * limit,
        "half of the continuous limit below freezing",
        "from memory; one LFP cell sheet allows only 0.2 of its capacity per hour below 0 °C",
    ),
    *(
        derive(
            f"battery.{name}",
            f"pack[].{name}",
            pick(max),
            "the most sensitive pack decides",
        )
        for name in (
            "charge_temperature_min",
            "discharge_temperature_min",
            "storage_temperature_min",
        )
    ),
    derive(
        "battery.charge_voltage_limit",
        "battery.cells_in_series pack[].cell_charge_max",
        lambda number, values: cells.series_voltage(number, min(values)) if values else None,
        "cells in series x highest cell charge voltage",
    ),
    derive(
        "battery.charge_voltage_least",
        "battery.cells_in_series pack[].cell_balance_start",
        lambda number, values: cells.series_voltage(number, max(values)) if values else None,
        "cells in series x cell voltage at which balancing starts",
    ),
    derive(
        "battery.float_voltage_max",
        "battery.cells_in_series pack[].cell_float_max",
        lambda number, values: cells.series_voltage(number, min(values)) if values else None,
        "cells in series x highest voltage a cell may be held at",
    ),
    derive(
        "battery.over_voltage_trip",
        "battery.cells_in_series bms[].cell_over_voltage_trip",
        lambda number, values: cells.series_voltage(number, min(values)) if values else None,
        "cells in series x cell voltage that opens the charge path",
    ),
    derive(
        "battery.under_voltage_trip",
        "battery.cells_in_series bms[].cell_under_voltage_trip",
        lambda number, values: cells.series_voltage(number, max(values)) if values else None,
        "cells in series x cell voltage that opens the discharge path",
    ),
    derive(
        "battery.fold_back_floor",
        "battery.under_voltage_trip battery.cells_in_series",
        lambda trip, number: trip + 0.10 * number,
        "cut-off of the management plus 0.10 V for each cell, because the weakest cell decides",
        "common practice, no source",
    ),
    derive(
        "battery.damage_voltage",
        "battery.cells_in_series pack[].cell_damage",
        lambda number, values: cells.series_voltage(number, max(values)) if values else None,
        "cells in series x cell voltage below which it is damaged",
    ),
    derive("battery.mass", "pack[].mass pack[].count?", total, "masses of the packs, added"),
    derive(
        "battery.volume",
        "pack[].length pack[].width pack[].height pack[].count?",
        lambda long, wide, high, number: total(
            [a * b * c for a, b, c in zip(long, wide, high, strict=True)], number
        ),
        "length x width x height of the packs, added",
    ),
    derive(
        "battery.cold_limit_gap",
        "battery.charge_temperature_min use.ambient_min",
        lambda limit, ambient: limit - ambient,
        "cold charge limit less the coldest ambient",
    ),
    derive(
        "battery.discharge_one_pack_out",
        "pack[].discharge_continuous battery.packs_in_parallel",
        lambda values, parallel: (parallel - 1) * min(values) if values else None,
        "one string fewer x smallest continuous limit",
    ),
    assume(
        "battery.reserve",
        "",
        lambda: 0.20,
        "a reserve of 20 % is usual",
        "common practice, no source",
    ),
]
