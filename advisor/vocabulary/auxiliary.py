"""The 12 V side: converter, buffer battery, loads; and the monitor with its shunt."""

from __future__ import annotations

from advisor.vocabulary import measured
from advisor.vocabulary.attribute import Ask, Subject, choice, count, flag, quantity, text
from advisor.vocabulary.battery import CHEMISTRIES
from advisor.vocabulary.weather import weather
from advisor.vocabulary.wiring import feeding, way

N, D, C, M, O = Ask.NAMEPLATE, Ask.DATASHEET, Ask.MAKER, Ask.MEASURE, Ask.OWNER  # noqa: E741

CONVERTER = Subject(
    "converter",
    "DC converter",
    "parts.converters",
    True,
    (
        text("name", "what it is called"),
        quantity("input_min", "V", "lowest input voltage", N, settable=True),
        quantity("input_max", "V", "highest input voltage", N, settable=True),
        quantity("absolute_max", "V", "input voltage that destroys it", D),
        quantity("low_cutoff", "V", "input voltage at which it stops", D),
        quantity("restart_voltage", "V", "input voltage at which it starts again", D),
        quantity("output_voltage", "V", "output voltage", N),
        quantity("output_current", "A", "continuous output current", N, settable=True),
        quantity("peak_current", "A", "peak output current", D),
        quantity("peak_time", "s", "time of the peak output", D),
        flag("isolated", "its output is isolated from its input", D),
        quantity("efficiency", "%", "efficiency", D, at_least=5, at_most=100),
        quantity("idle_current", "mA", "input current without load", D),
        flag("enable_input", "it can be switched off by a signal", D),
        choice(
            "fed_from",
            "after-contactor after-disconnect ahead-of-disconnect",
            "where its input is connected",
            O,
            settable=True,
        ),
        flag("paralleled", "its output is joined to that of another converter", O),
        flag("input_fused", "its input lead has a fuse at the source", O, worse="low"),
        flag("output_fused", "its output branches are fused", O, worse="low"),
        quantity("input_capacitance", "mF", "input capacitance", C),
        choice("cooling", "fan convection", "cooling of the converter", N),
        flag(
            "returns_through_frame",
            "its loads return through the vehicle frame",
            O,
            worse="high",
        ),
        *weather(),
        quantity("mass", "kg", "mass of the converter", N),
        # computed
        quantity("stops_at", "V", "input voltage at which it stops, stated or its lowest input"),
        quantity("load_continuous", "A", "sum of continuous loads on its output"),
        quantity("load_peak", "A", "sum of loads that can start together"),
        quantity("load_needed", "A", "rating needed for the continuous loads"),
        quantity("peak_allowed", "A", "peak output, stated or its continuous rating"),
        flag("buffered", "a buffer battery helps with peaks"),
        quantity("input_current_idle", "mA", "standing input current"),
        quantity("input_current_full", "A", "input current at its continuous loads"),
        flag("low_returns_by_frame", "by the plan loads behind it return through the frame"),
        way("frame_loads", "loads behind it that return through the frame"),
        way("way_by_frame", "way of the first of them"),
        flag("shorted", "its poles are joined, or it is joined to another source wrongly"),
        way("way_shorted", "way that joins it wrongly"),
        *feeding(),
        *measured.CONVERTER,
    ),
)

BUFFER = Subject(
    "buffer",
    "12 V buffer battery",
    "parts.buffers",
    True,
    (
        choice("chemistry", CHEMISTRIES, "chemistry of the buffer battery", N),
        quantity("nominal_voltage", "V", "nominal voltage", N),
        quantity("capacity", "A·h", "capacity", N),
        quantity("short_circuit_current", "kA", "short-circuit current at its terminals", D),
        quantity("charge_voltage_min", "V", "lowest voltage that keeps it charged", D),
        quantity("charge_voltage_max", "V", "highest voltage it may be held at", D),
        choice("charged_by", "converter own-charger pack-tap nothing", "what charges it", O),
        flag("isolated_from_traction", "it shares no pole with the traction battery", O),
        flag("fused", "it has a fuse at its terminal", O, worse="low"),
        quantity("mass", "kg", "mass", N),
        # traced through the plan
        flag("shorted", "its poles are joined, or it is joined to another source wrongly"),
        way("way_shorted", "way that joins it wrongly"),
    ),
)

LOAD = Subject(
    "load",
    "electrical load",
    "parts.loads",
    True,
    (
        text("name", "what it is called"),
        choice(
            "kind",
            "headlamp tail-lamp brake-lamp turn-signal horn buzzer radio usb fan winch pump heater "
            "gauge hour-meter sound-system camera solar-regulator generator other",
            "kind of load",
            O,
        ),
        choice("bus", "12v traction tap", "bus it hangs on", O, settable=True),
        quantity("voltage_min", "V", "lowest voltage of the load", N),
        quantity("voltage_max", "V", "highest voltage of the load", N),
        quantity("current", "A", "continuous current of the load", N),
        quantity("peak_current", "A", "peak current of the load", D),
        count("count", "number of identical loads", O, at_least=1, at_most=100),
        quantity("duty", "%", "share of the time it runs", O, at_most=100),
        flag("used_together", "it runs together with the other loads", O),
        flag("safety", "the load is needed for safety", O),
        flag("on_with_key_off", "it stays on with the key off", O),
        quantity("standby_current", "mA", "current it draws when off", D),
        flag("ahead_of_disconnect", "it stays fed with the disconnect open", O, worse="high"),
        flag("fused", "its branch has a fuse", O, worse="low"),
        flag("retained", "it was on the vehicle before", O),
        flag("case_on_frame", "its metal case is its minus and is bolted to the frame", O),
        flag("dropping_resistor", "it is fed through a dropping resistor", O),
        flag("stops_with_battery", "it stops charging by itself when the battery opens", D),
        # computed
        flag("needs_buffer", "its peak is more than the converter gives"),
        quantity("bus_voltage_max", "V", "highest voltage of the bus it hangs on"),
        quantity("bus_voltage_min", "V", "lowest voltage of the bus it hangs on"),
        *feeding(),
    ),
)

MONITOR = Subject(
    "monitor",
    "battery monitor",
    "parts.monitors",
    True,
    (
        text("name", "what it is called"),
        choice("kind", "coulomb voltage lead-acid-gauge", "how it tells the charge", N),
        quantity("voltage_min", "V", "lowest voltage of the monitor", D),
        quantity("voltage_max", "V", "highest voltage of the monitor", D, settable=True),
        quantity("current_range", "A", "highest current the monitor shows", D),
        quantity("consumption", "mA", "current it draws", D),
        flag(
            "input_fused", "its sense lead is fused at the battery", O, worse="low", settable=True
        ),
        quantity("shunt_rating", "A", "current rating of the shunt", N, settable=True),
        quantity("shunt_millivolts", "mV", "shunt voltage at its rating", N),
        quantity("set_shunt_rating", "A", "shunt current set in the monitor", O, programmable=True),
        quantity(
            "set_shunt_millivolts", "mV", "shunt voltage set in the monitor", O, programmable=True
        ),
        quantity("set_capacity", "A·h", "capacity set in the monitor", O, programmable=True),
        quantity("set_full_voltage", "V", "full voltage set in the monitor", O, programmable=True),
        quantity("set_tail_current", "A", "tail current set in the monitor", O, programmable=True),
        quantity("set_tail_time", "min", "tail time set in the monitor", O, programmable=True),
        quantity(
            "set_efficiency",
            "%",
            "charge efficiency set in the monitor",
            O,
            at_most=100,
            programmable=True,
        ),
        flag(
            "negatives_past_shunt",
            "a negative is connected on the battery side of it",
            O,
            worse="high",
        ),
        choice("alarm_output", "none contact buzzer display", "warning it can give", D),
        quantity("voltage_when_set_full", "V", "battery voltage when it was set to full", M),
        # computed
        quantity("shunt_resistance", "mΩ", "resistance of the shunt"),
        quantity("shunt_continuous_limit", "A", "current the shunt carries for long"),
        quantity("reading_scale", "%", "reading of the monitor against the true current"),
        quantity("shunt_power", "W", "heat in the shunt at the sustained current"),
        flag("fed_past_disconnect", "it stays fed with the disconnect open"),
        *measured.MONITOR,
    ),
)

SUBJECTS = (CONVERTER, BUFFER, LOAD, MONITOR)
