"""Ratings: what a part stands, carries or breaks. A higher one never makes a check worse.

The proofs ask it of every rule that reads one, and a test tries it on the example sheets through
the derivations. What is a limit in one rule and a danger in another is not listed: a fuse of a
higher rating no longer protects its cable, a higher trip lets more through, a converter that gives
more can overload its wires. The temperature of an insulation is not listed either: the tables of
short circuits take a cable at that temperature when the fault begins, so that it then stands less.
"""

from __future__ import annotations

_RATINGS = {
    "fuse": "dc_voltage interrupting_rating",
    "breaker": "dc_voltage interrupting_rating terminal_temperature",
    "disconnect": "voltage_rating current_rating peak_current load_break_current "
    "terminal_temperature",
    "bus_bar": "voltage_rating current_rating",
    "connector": "voltage_rating current_rating hot_plug_current",
    "inlet": "voltage_rating current_rating",
    "key_switch": "voltage_rating current_rating",
    "contactor": "continuous_current intermittent_current contact_dc_voltage make_current "
    "break_current",
    "controller": "absolute_max input_max ambient_max coil_current_max",
    "converter": "absolute_max input_max",
    "monitor": "voltage_max",
    "load": "voltage_max",
    "pack": "internal_fuse_dc_voltage discharge_continuous discharge_peak discharge_peak_time "
    "charge_current_max charge_temperature_max discharge_temperature_max "
    "storage_temperature_max",
    "bms": "switch_voltage regen_current_max",
    "motor": "max_speed",
    "run": "voltage_rating",
    "retained": "voltage_max current_rating",
    "vehicle": "gross_mass_max axle_rear_max payload_max axle_torque_max",
    "mount": "rated_force",
}

RATINGS: frozenset[str] = frozenset(
    f"{subject}.{name}" for subject, names in _RATINGS.items() for name in names.split()
)
"""Paths `subject.attribute` of which a higher value never makes a check worse."""
