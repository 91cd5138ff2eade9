"""What is read on the vehicle while it is put into service, and what each reading should be.

The tuples are part of their subjects. A flag is yes when the thing was tried and was right, no when
it was tried and was wrong; not tried is unknown. What a reading should be has the name of the
reading, without `_measured`, and `_expected_min` or `_expected_max`.
"""

from __future__ import annotations

from advisor.vocabulary.attribute import Ask, Attribute, flag, quantity

M = Ask.MEASURE


def _least(name: str, unit: str, what: str) -> Attribute:
    """The lower end of the band in which a reading is as it should be."""
    return quantity(f"{name}_expected_min", unit, f"least {what} to be expected", at_most=1000)


def _most(name: str, unit: str, what: str) -> Attribute:
    """The upper end of that band."""
    return quantity(f"{name}_expected_max", unit, f"most {what} to be expected", at_most=1000)


def _band(name: str, unit: str, what: str) -> tuple[Attribute, Attribute]:
    """Both ends of that band."""
    return _least(name, unit, what), _most(name, unit, what)


PACK = (
    flag("polarity_right", "a meter shows its plus and minus where they are marked", M),
    quantity("rested_time", "h", "time it had rested when its voltage was read", M),
    quantity(
        "charge_stated", "%", "its charge then, by its display or its last charge", M, at_most=100
    ),
    quantity("cell_spread", "mV", "spread of its cells at the end of a charge", M, at_most=4000),
    quantity("temperature_after_drive", "degC", "its temperature after the drive", M),
    # computed
    *_band("resting_voltage", "V", "resting voltage"),
    _most("cell_spread", "mV", "spread of the cells"),
    _most("temperature_after_drive", "degC", "temperature after the drive"),
)

BATTERY = (
    flag("polarity_right", "plus and minus reach the open leads of the drive as marked", M),
    quantity("voltage_joined", "V", "voltage of the battery after joining", M, at_most=1000),
    quantity("voltage_at_rest", "V", "voltage of the whole battery at rest", M, at_most=1000),
    quantity("rested_time", "h", "time it had rested at that reading", M),
    quantity("voltage_plus_frame", "V", "voltage between plus and the frame", M, at_most=1000),
    quantity("voltage_minus_frame", "V", "voltage between minus and the frame", M, at_most=1000),
    quantity("isolation_resistor", "kΩ", "resistor used for the isolation reading", M),
    quantity(
        "voltage_with_resistor",
        "V",
        "voltage of the higher of the two, with the resistor between that pole and the frame",
        M,
        at_most=1000,
    ),
    quantity(
        "isolation_measured",
        "kΩ",
        "isolation between battery and frame",
        M,
        worse="low",
        tolerance=0.95,  # above its own 10 megohm a voltmeter says only "more"
    ),
    quantity("bonding_drop", "mV", "voltage along the bond between metal part and frame", M),
    quantity("bonding_current", "A", "current through the bond at that voltage", M),
    quantity(
        "voltage_before_load", "V", "battery voltage just before a known load", M, at_most=1000
    ),
    quantity("voltage_loaded", "V", "battery voltage under a known load", M, at_most=1000),
    quantity("current_loaded", "A", "battery current under that load", M),
    quantity("hottest_joint", "degC", "hottest lug or stud after the drive", M, at_most=300),
    quantity("standby_disconnected", "mA", "current measured with the disconnect open", M),
    # computed
    *_band("voltage_joined", "V", "voltage after joining"),
    quantity("charge_at_rest_min", "%", "least charge that fits its resting voltage"),
    quantity("charge_at_rest_max", "%", "most charge that fits its resting voltage"),
    _least("isolation", "kΩ", "isolation"),
    quantity("bonding_measured", "mΩ", "resistance of the bond, from drop and current"),
    quantity("resistance_measured", "mΩ", "resistance of the battery, from sag and current"),
    *_band("voltage_loaded", "V", "voltage under that load"),
    _most("bonding", "mΩ", "resistance of the bond"),
    _most("hottest_joint", "degC", "temperature of a joint"),
    *_band("standby", "mA", "current with the key off"),
    _most("standby_disconnected", "mA", "current with the disconnect open"),
)

MOTOR = (
    quantity("temperature_before_drive", "degC", "its temperature before the drive", M),
    quantity(
        "temperature_after_drive", "degC", "its hottest temperature after the drive", M, at_most=300
    ),
    # computed
    *_band("temperature_before_drive", "degC", "temperature before the drive"),
    _most("temperature_after_drive", "degC", "temperature of its case after the drive"),
    quantity("temperature_limit", "degC", "temperature its insulation stands", at_most=300),
)

CONTROLLER = (
    quantity("bus_voltage_before_close", "V", "voltage at it just before the contactor closes", M),
    quantity("precharge_time_measured", "s", "time from key on until the contactor closes", M),
    quantity("voltage_key_on", "V", "voltage at it with the key on, standing", M, at_most=1000),
    quantity("key_line_off_voltage", "V", "voltage at its key input with the key off", M),
    flag(
        "pedal_lock_works",
        "a trial shows that it does not start with the pedal pressed at key-on",
        M,
    ),
    flag(
        "pedal_fault_stops",
        "a trial shows that each pedal wire, opened or shorted, stops the drive",
        M,
    ),
    flag(
        "direction_lock_works", "a trial shows that a change of direction at speed does not jerk", M
    ),
    flag("seat_interlock_works", "a trial shows that it does not drive with the seat empty", M),
    flag("brake_interlock_works", "a trial shows that the brake pedal ends the drive torque", M),
    flag("tow_switch_works", "a trial shows that with the tow switch the drive is dead", M),
    flag(
        "turns_right_way",
        "a trial shows that the wheels, off the ground, turn as the selector says",
        M,
    ),
    quantity("temperature_after_drive", "degC", "its temperature after the drive", M),
    # computed
    quantity("precharge_fraction", "%", "bus voltage at closing against the battery"),
    _least("bus_voltage_before_close", "V", "voltage at it as the contactor closes"),
    _most("precharge_time", "s", "time until the contactor closes"),
    *_band("voltage_key_on", "V", "voltage at it with the key on"),
    _most("key_line_off_voltage", "V", "voltage at its key input"),
    _most("temperature_after_drive", "degC", "temperature after the drive"),
)

CONTACTOR = (
    flag("opens_with_key", "a trial shows that it opens when the key is turned off", M),
    quantity("voltage_past_open", "V", "voltage past it, key off, a minute later", M),
    quantity("drop_measured", "mV", "voltage across its closed contacts", M),
    quantity("drop_current", "A", "current through it at that voltage", M),
    # computed
    _most("drop", "mV", "voltage across its contacts at that current"),
    _most("voltage_past_open", "V", "voltage past it when open"),
)

DISCONNECT = (
    quantity("voltage_past_open", "V", "voltage past it when open, a minute later", M),
    # computed
    _most("voltage_past_open", "V", "voltage past it when open"),
)

RUN = (
    quantity("drop_measured", "mV", "voltage along it, lug to lug", M),
    quantity("drop_current", "A", "current in it at that voltage", M),
    # computed
    quantity("drop_expected", "mV", "voltage along it at that current, by its resistance"),
    *_band("drop", "mV", "voltage along it at that current"),
    quantity("resistance_measured", "mΩ", "resistance of the run with its lugs"),
)

CONVERTER = (
    quantity("output_idle_measured", "V", "its output voltage without load", M, at_most=200),
    quantity(
        "output_loaded_measured", "V", "its output voltage under a known load", M, at_most=200
    ),
    quantity("output_load_measured", "A", "its output current at that load", M),
    # computed
    *_band("output_idle", "V", "output voltage without load"),
    *_band("output_loaded", "V", "output voltage under load"),
)

MONITOR = (
    quantity("voltage_shown", "V", "voltage it shows", M, at_most=1000),
    quantity(
        "voltage_metered", "V", "battery voltage by a meter, beside what it shows", M, at_most=1000
    ),
    quantity(
        "current_shown", "A", "current it shows under load, minus if as charge", M, at_least=None
    ),
    quantity("current_clamped", "A", "current under load by a clamp meter", M),
    quantity("zero_shown", "A", "current it shows when nothing flows", M, at_least=None),
    quantity("charge_shown", "%", "charge it shows with the battery at rest", M, at_most=100),
    quantity(
        "charge_current_shown",
        "A",
        "current it shows on charge, minus if as discharge",
        M,
        at_least=None,
    ),
    # computed
    *_band("voltage_shown", "V", "voltage it shows"),
    *_band("current_shown", "A", "current it shows at the current clamped"),
    quantity("current_ratio", "%", "current shown against current clamped", at_least=None),
    *_band("charge_shown", "%", "charge it shows"),
    *_band("charge_current_shown", "A", "current it shows at the charge current"),
)

CHARGER = (
    quantity("current_measured", "A", "its output current some minutes into a charge", M),
    quantity(
        "voltage_measured", "V", "battery voltage some minutes into a charge", M, at_most=1000
    ),
    quantity("end_voltage", "V", "battery voltage just before it ends", M, at_most=1000),
    quantity("end_current", "A", "its output current just before it ends", M),
    flag("ended_by_itself", "it ended a whole charge by itself", M),
    quantity(
        "joint_rise", "K", "hottest joint of the charge path above the air, after half an hour", M
    ),
    # computed
    _most("joint_rise", "K", "rise of a joint above the air"),
    *_band("current", "A", "output current while the battery takes all"),
    *_band("voltage", "V", "battery voltage on charge"),
    *_band("end_voltage", "V", "voltage at the end of a charge"),
    _most("end_current", "A", "current at the end of a charge"),
)

VEHICLE = (
    flag(
        "parking_brake_held",
        "a trial shows that the parking brake held it on the steepest grade",
        M,
    ),
    flag(
        "steers_uphill",
        "a trial shows that it steers on the steepest grade, loaded",
        M,
    ),
    # computed
    _most("top_speed", "km/h", "top speed"),
    _most("stopping_distance", "m", "stopping distance from the speed it was tried at"),
)

USE = (quantity("air_temperature", "degC", "air when the temperatures were read", M),)

PROVISIONS = (
    flag("emergency_stop_works", "a trial shows that the emergency switch drops the contactor", M),
    flag("joints_torqued", "every joint was tightened to its torque and marked", M),
    flag("joints_rechecked", "every joint was checked again after the first warm drive", M),
    flag("owner_told", "the owner was told how to charge, store, switch off and tow", Ask.OWNER),
    flag("documents_given", "the owner has the instructions and the record", Ask.OWNER),
)
