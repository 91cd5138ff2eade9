"""Charger, charge inlet and the outlet they feed from."""

from __future__ import annotations

from advisor.vocabulary import measured
from advisor.vocabulary.attribute import Ask, Subject, choice, count, flag, quantity, text
from advisor.vocabulary.weather import weather
from advisor.vocabulary.wiring import feeding

N, D, C, M, O = Ask.NAMEPLATE, Ask.DATASHEET, Ask.MAKER, Ask.MEASURE, Ask.OWNER  # noqa: E741

CHARGER = Subject(
    "charger",
    "charger",
    "parts.chargers",
    True,
    (
        text("name", "what it is called"),
        choice(
            "profile",
            "lithium lead-flooded lead-agm lead-gel selectable",
            "battery type its profile is for",
            N,
            settable=True,
        ),
        quantity("set_voltage", "V", "charge voltage", N, programmable=True, settable=True),
        quantity("tolerance", "%", "tolerance of the charge voltage", D, at_most=20),
        quantity("current_max", "A", "highest output current", N, settable=True),
        quantity("output_power", "W", "output power", D),
        flag("equalise", "it has an equalise or desulphating stage", D, settable=True),
        flag("equalise_can_be_disabled", "that stage can be locked out", D, settable=True),
        quantity("equalise_voltage", "V", "equalise voltage", D),
        quantity("float_voltage", "V", "float voltage, if it holds one", D),
        flag("floats", "it holds a float voltage after the charge", D),
        flag("own_voltage_cutoff", "it stops by itself at its charge voltage", D),
        quantity(
            "temperature_compensation",
            "mV/cell/K",
            "change of charge voltage per lead-acid cell and kelvin",
            D,
            at_least=-20.0,
            at_most=0.0,
            settable=True,
        ),
        count("lead_cells", "lead-acid cells its profile is for", N),
        quantity("start_voltage_min", "V", "battery voltage it needs to start", D),
        flag("zero_volt_wake", "it can wake a battery that shows no voltage", D),
        quantity("tail_current", "A", "current at which it ends", D),
        choice("stages", "cc-cv cc-cv-float multi-stage", "stages of its charge", D),
        flag("temperature_sensor", "it has a battery temperature sensor", D),
        flag("vibration_rated", "its maker allows it on a vehicle", D),
        choice("cooling", "fan convection", "cooling of the charger", N),
        quantity("timeout", "h", "time after which it ends", D),
        quantity("ac_voltage", "V", "supply voltage it is used on", N),
        quantity("ac_current", "A", "supply current on its plate", N),
        quantity("efficiency", "%", "efficiency", D, at_least=5, at_most=100),
        quantity("power_factor", "%", "power factor", D, at_most=100),
        flag("isolated", "its output is isolated from the supply", D),
        flag("earthed", "the vehicle frame is earthed while charging", O),
        choice(
            "interlock_output",
            "none contact can",
            "signal that stops the drive while charging",
            D,
        ),
        flag("on_board", "it is mounted on the vehicle", O),
        flag("needs_signal", "it charges only after a message of the packs", D),
        flag("signal_provided", "the packs send the message it waits for", O),
        flag("to_discharge_port", "it is wired to the discharge port of the packs", O),
        flag(
            "bypasses_bms",
            "its lead joins the cells behind the management system",
            O,
            worse="high",
        ),
        quantity("drain_unplugged", "mA", "current it draws when unplugged", C),
        *weather(),
        quantity("mass", "kg", "mass of the charger", N),
        # computed
        quantity("voltage_highest", "V", "highest voltage with every stage, cold and tolerance"),
        quantity("voltage_per_cell", "V/cell", "charge voltage per cell"),
        flag("equalise_unlocked", "an equalise stage can start"),
        quantity("charge_time", "h", "time from the reserve to full"),
        quantity("day_charge_time", "h", "time to full after a day of the trips"),
        quantity("day_energy", "kWh", "energy from the mains after a day of the trips"),
        quantity("power_into_battery", "W", "power into the battery"),
        quantity("ac_input_current", "A", "current from the outlet"),
        *feeding(),
        *measured.CHARGER,
    ),
)

INLET = Subject(
    "inlet",
    "charge inlet",
    "parts.inlets",
    True,
    (
        text("family", "kind of plug"),
        quantity("voltage_rating", "V", "DC voltage rating", N, settable=True),
        quantity("current_rating", "A", "continuous current rating", N, settable=True),
        choice("circuit", "charge traction", "circuit it stands in", O),
        flag("keyed", "it cannot be plugged the wrong way round", N),
        choice(
            "live_when_unplugged",
            "exposed cap diode relay",
            "what keeps battery voltage off its pins",
            O,
            settable=True,
        ),
        flag("drive_interlock", "the vehicle cannot drive while plugged in", O, settable=True),
        flag("shared_plug", "another circuit or vehicle uses the same plug", O),
        flag(
            "own_device",
            "a protective device stands next to the battery in its lead",
            O,
            worse="low",
        ),
        flag(
            "bypasses_bms",
            "its lead joins the cells behind the management system",
            O,
            worse="high",
        ),
        count("mating_cycles", "mating cycles it is made for", D, at_most=1000000),
        quantity("gauge", "mm²", "conductor size of its lead", N),
        flag("cap", "it has a cap or flap", O),
        choice("place", "front rear side under-seat", "where it sits", O),
        # computed
        quantity("current_carried", "A", "charge current through the inlet"),
        *feeding(),
    ),
)

SUPPLY = Subject(
    "supply",
    "outlet",
    "supply",
    False,
    (
        quantity("voltage", "V", "voltage of the outlet", O),
        quantity("circuit_rating", "A", "rating of the circuit", O),
        quantity("receptacle_rating", "A", "rating of the receptacle", N),
        flag("shared_circuit", "other loads share the circuit", O),
        choice("residual_current_device", "none 5ma 30ma other", "residual-current protection", O),
        quantity("cord_gauge", "mm²", "conductor size of the extension cord", N),
        flag("cord_used", "an extension cord is used", O),
        quantity("cord_length", "m", "length of the extension cord", N),
        flag("cord_wound_up", "the cord stays wound up", O),
        choice(
            "place",
            "outdoors carport garage-attached garage-detached shed indoors-living",
            "where it is charged",
            O,
        ),
        choice("receptacle_kind", "household twist-lock industrial ev-outlet", "receptacle", N),
        flag("evse_adapter", "it is fed through a vehicle charging adapter", O),
        flag("smoke_alarm", "a smoke alarm is there", O),
        flag("combustible_nearby", "things that burn are near", O),
        flag("on_way_out", "people would have to pass it to get out", O),
        flag("under_bedroom", "people sleep above or beside it", O),
        quantity("ventilation", "m³/h", "air exchange of the charging space", M),
        # computed
        quantity("load_allowed", "A", "continuous load the circuit allows"),
        quantity("cord_allowed", "A", "current the extension cord allows"),
        quantity("load_asked", "A", "current the charger draws from the outlet"),
        quantity("hydrogen_flow", "m³/h", "air flow lead-acid charging needs"),
    ),
)

SUBJECTS = (CHARGER, INLET, SUPPLY)
