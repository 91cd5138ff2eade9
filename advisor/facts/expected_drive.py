"""What readings on controller, contactor, disconnect, runs, motor and vehicle should be."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from advisor.facts.derivation import Derivation, Formula, Result, assume, derive

_PRACTICE = "common practice, no source"
_CLASSES = {"a": 105.0, "b": 130.0, "f": 155.0, "h": 180.0}
_ICE_POINT = 273.15
_MPH = 0.44704
_FOOT = 0.3048
_DAY = len("2026-03-02")  # a time that tells its day only
_LUGS = 0.2e-3  # ohm, two crimped lugs with their studs
_CONTACTS = 0.5e-3  # ohm
COLDER = 10.0  # K, from where the cold is felt in the charge of a day; common practice, no source
COLD_SHARE = 0.3  # more charge for the same way in frost; common practice, no source


def _nearest(own: str | None, read: Sequence[tuple[float | None, str | None]]) -> float | None:
    """The voltage of the battery that was read nearest in time to a reading of `own` time.

    `read` are voltages with their times, the usual one first; the first known one where times are
    not known.
    """
    known = [(value, time) for value, time in read if value is not None]
    if not known:
        return None
    if not own:
        return known[0][0]
    timed = [(_apart(own, time), value) for value, time in known if time]
    return min(timed, key=lambda one: one[0])[1] if timed else known[0][0]


def _apart(one: str, other: str) -> tuple[int, float]:
    """Days between two readings, then minutes; no minutes where one of them tells its day only."""
    first, second = datetime.fromisoformat(one), datetime.fromisoformat(other)
    days = abs((first.date() - second.date()).days)
    told = len(one) > _DAY and len(other) > _DAY
    return days, abs((first - second).total_seconds()) / 60 if told else 0.0


def _pairs(read: Sequence[Any]) -> list[tuple[float | None, str | None]]:
    """Values each followed by its time, as pairs."""
    return list(zip(read[::2], read[1::2], strict=True))


def _fraction(bus: float, time: str | None, *read: Any) -> Result:
    battery = _nearest(time, _pairs(read))
    return bus / battery if battery else None


def _least_bus(share: float | None, time: str | None, *read: Any) -> Result:
    battery = _nearest(time, _pairs(read))
    return None if battery is None else battery * (0.95 if share is None else share)


def _key_on(share: float) -> Formula:
    def formula(time: str | None, *read: Any) -> Result:
        battery = _nearest(time, _pairs(read))
        return None if battery is None else battery * share

    return formula


def _past_open(
    nominal: float, full: float, conducts: bool | None, place: str | None, control: str | None
) -> Result:
    """A tenth of the battery; all of it where a precharge resistor always conducts past it."""
    if conducts or (conducts is None and place == "across-contactor" and control == "none"):
        return full
    return 0.1 * nominal


def _precharge_time(to_95: float | None, wait: float | None) -> Result:
    known = [one for one in (1.5 * to_95 if to_95 is not None else None, wait) if one is not None]
    return max(known) + 0.5 if known else None


def _published_stop(brakes: str, speed: float) -> Result:
    """30 ft from 20 mph with brakes on all wheels, 35 ft for other vehicles that carry people."""
    from_20_mph = (30.0 if brakes.startswith("all-") else 35.0) * _FOOT
    return from_20_mph * (speed / (20 * _MPH)) ** 2


def _charge_left(reserve: float, coldest: float, air: float) -> float:
    """The reserve; where it gets colder, so much that it stays with COLD_SHARE more used."""
    colder = coldest < air - COLDER
    return (reserve + COLD_SHARE) / (1 + COLD_SHARE) if colder else reserve


def _limit(letter: str) -> Result:
    celsius = _CLASSES.get(letter)
    return None if celsius is None else celsius + _ICE_POINT


_AS_READ = (
    "battery.voltage_at_rest? battery.voltage_at_rest@? "
    "battery.voltage_joined? battery.voltage_joined@?"
)
_BUS = (
    "controller.bus_voltage_before_close@? controller.voltage_key_on? controller.voltage_key_on@? "
    + _AS_READ
)

DERIVATIONS: list[Derivation] = [
    derive(
        "controller.precharge_fraction",
        f"controller.bus_voltage_before_close {_BUS}",
        _fraction,
        "bus voltage before closing over the battery voltage read nearest in time",
    ),
    derive(
        "controller.bus_voltage_before_close_expected_min",
        f"controller.voltage_required_to_close? {_BUS}",
        _least_bus,
        "share of the battery voltage read nearest in time that the controller wants before "
        "closing, 95 % if not stated",
        _PRACTICE,
    ),
    derive(
        "controller.precharge_time_expected_max",
        "precharge.time_to_95? controller.precharge_wait?",
        _precharge_time,
        "one and a half times the time to 95 %, or the time the controller waits, plus 0.5 s",
        "RC circuit; the margin is common practice, no source",
    ),
    derive(
        "controller.voltage_key_on_expected_min",
        f"controller.voltage_key_on@? {_AS_READ}",
        _key_on(0.98),
        "the battery voltage read nearest in time, less 2 %",
        _PRACTICE,
    ),
    derive(
        "controller.voltage_key_on_expected_max",
        f"controller.voltage_key_on@? {_AS_READ}",
        _key_on(1.01),
        "the battery voltage read nearest in time, and 1 % for two readings",
        _PRACTICE,
    ),
    derive(
        "controller.key_line_off_voltage_expected_max",
        "",
        lambda: 5.0,
        "less than 5 V at the key input with the key off",
        _PRACTICE,
    ),
    derive(
        "controller.temperature_after_drive_expected_max",
        "",
        lambda: 70.0 + _ICE_POINT,
        "at most 70 °C; many controllers reduce their current from about 85 °C",
        _PRACTICE,
    ),
    derive(
        "contactor.voltage_past_open_expected_max",
        "battery.nominal_voltage battery.full_voltage precharge.always_conducts? precharge.place? "
        "precharge.controlled_by?",
        _past_open,
        "a tenth of the battery voltage after a minute; all of it where a precharge resistor "
        "always conducts past the contactor",
        _PRACTICE,
    ),
    derive(
        "disconnect.voltage_past_open_expected_max",
        "battery.nominal_voltage",
        lambda nominal: 0.1 * nominal,
        "a tenth of the battery voltage after a minute",
        _PRACTICE,
    ),
    derive(
        "contactor.drop_expected_max",
        "contactor.drop_current",
        lambda current: 0.010 + _CONTACTS * current,
        "10 mV and 0.5 mΩ of contacts at that current",
        "from memory: contactors of this size drop 50 to 100 mV at their rated current",
    ),
    derive(
        "run.drop_expected",
        "run.resistance run.drop_current",
        lambda resistance, current: resistance * current,
        "resistance of the run x current at the reading",
        "Ohm's law",
    ),
    derive(
        "run.drop_expected_min",
        "run.drop_expected",
        lambda drop: 0.6 * drop,
        "0.6 of the computed drop: a cold conductor, and a size up",
        "copper at 20 °C has 0.82 of its resistance at 75 °C; the rest is common practice",
    ),
    derive(
        "run.drop_expected_max",
        "run.drop_expected run.drop_current",
        lambda drop, current: 1.2 * drop + _LUGS * current,
        "1.2 times the computed drop, and 0.2 mΩ for two lugs",
        _PRACTICE,
    ),
    derive(
        "run.resistance_measured",
        "run.drop_measured run.drop_current",
        lambda drop, current: drop / current if current else None,
        "drop over current",
        "Ohm's law",
    ),
    derive(
        "motor.temperature_before_drive_expected_min",
        "use.air_temperature",
        lambda air: air - 5.0,
        "the air, less 5 K",
        _PRACTICE,
    ),
    derive(
        "motor.temperature_before_drive_expected_max",
        "use.air_temperature",
        lambda air: air + 10.0,
        "the air, and 10 K",
        _PRACTICE,
    ),
    assume(
        "motor.temperature_before_drive_expected_min",
        "",
        lambda: 289.15,
        "a motor at room temperature reads about 21 °C (70 °F), less 5 K",
        _PRACTICE,
    ),
    assume(
        "motor.temperature_before_drive_expected_max",
        "",
        lambda: 304.15,
        "a motor at room temperature reads about 21 °C (70 °F), and 10 K",
        _PRACTICE,
    ),
    derive(
        "motor.temperature_limit",
        "motor.insulation_class",
        _limit,
        "temperature of its insulation class",
        "IEC 60085 classes, as restated in a motor manual",
    ),
    assume(
        "motor.temperature_limit",
        "",
        lambda: 105.0 + _ICE_POINT,
        "class A, 105 °C, the lowest class in use, as no class is stated",
        "IEC 60085 classes, as restated in a motor manual",
    ),
    derive(
        "motor.temperature_after_drive_expected_max",
        "motor.temperature_limit",
        lambda limit: min(limit - 40.0, 100.0 + _ICE_POINT),
        "40 K below what its insulation stands, as the case is cooler than the winding; at most "
        "100 °C for the bearings",
        _PRACTICE,
    ),
    derive(
        "vehicle.top_speed_expected_max",
        "vehicle.top_speed_predicted",
        lambda speed: 1.2 * speed,
        "1.2 of the computed speed",
        _PRACTICE,
    ),
    derive(
        "trip.cable_temperature_after_expected_max",
        "trip.cable_temperature_allowed use.ambient_max use.air_temperature",
        lambda allowed, hottest, air: allowed - max(hottest - air, 0.0),
        "what the cable stands, less what the hottest day is warmer than the air at the reading",
        "a cable rises above the air by its current: heat balance",
    ),
    derive(
        "battery.charge_left_expected_min",
        "battery.reserve use.ambient_min use.air_temperature",
        _charge_left,
        "the reserve; where it gets 10 K colder than at the reading, what leaves it with 0.3 more "
        "used",
        _PRACTICE,
    ),
    derive(
        "vehicle.stopping_distance_expected_max",
        "vehicle.brakes vehicle.stopping_speed_measured",
        _published_stop,
        "30 ft from 20 mph with brakes on all wheels, else 35 ft; by the square of the speed",
        "New Jersey 39:3-68; Pennsylvania Code Title 67 Chapter 175 Table I, as reproduced",
    ),
]
