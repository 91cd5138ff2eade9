"""Cable runs, and what the plan of the cables tells about the parts they join."""

from __future__ import annotations

from advisor.vocabulary import measured
from advisor.vocabulary.attribute import (
    Ask,
    Attribute,
    Subject,
    choice,
    count,
    flag,
    quantity,
    reference,
    text,
)

N, D, C, M, O = Ask.NAMEPLATE, Ask.DATASHEET, Ask.MAKER, Ask.MEASURE, Ask.OWNER  # noqa: E741


def way(name: str, meaning: str) -> Attribute:
    """A way through the plan, as the parts and runs passed; shown, never compared."""
    return text(name, meaning, Ask.COMPUTED)


def feeding() -> tuple[Attribute, ...]:
    """What the plan tells about a part that is fed, each with its way."""
    return (
        flag("takes_mains", "mains goes through it, and no battery current"),
        flag("low_side", "it hangs on the 12 V side"),
        flag("unconnected", "a terminal of its supply reaches no source by the listed runs"),
        way("loose_end", "terminal that reaches no source"),
        flag("reversed_polarity", "its plus and minus are exchanged"),
        flag("shorted_out", "both its terminals hang on the same conductor"),
        flag("fed_from_part", "it is fed from a part of the series string"),
        flag("fed_past_device", "a battery feeds it past every fuse and breaker"),
        way("way_past_device", "way past every fuse and breaker"),
        flag("fed_past_shunt", "its current bypasses the shunt"),
        way("way_past_shunt", "way past the shunt"),
        flag("fed_past_bms", "its current bypasses the management system"),
        way("way_past_bms", "way past the management system"),
        flag("fed_past_disconnect", "it stays fed with the disconnect open"),
        way("way_past_disconnect", "way it stays fed with the disconnect open"),
        flag("fed_key_off", "it stays fed with the key off"),
        way("way_key_off", "way it stays fed with the key off"),
        flag("returns_by_frame", "its traction current returns through the vehicle frame"),
        way("way_fed", "way of its current, there and back"),
        quantity("supply_voltage_sustained", "V", "voltage at its terminals at sustained current"),
        quantity("supply_voltage_peak", "V", "voltage at its terminals at peak current"),
    )


RUN = Subject(
    "run",
    "cable run",
    "wiring",
    True,
    (
        text("from", "terminal it starts at", O),
        text("to", "terminal it ends at", O),
        choice(
            "circuit",
            "traction charge converter-input auxiliary control precharge motor",
            "circuit whose current it carries",
            O,
        ),
        reference("protected_by", "the fuse or breaker that protects it"),
        reference("via", "a connector on its way"),
        quantity("gauge", "mm²", "conductor size", N, settable=True),
        quantity("length", "m", "length", M),
        choice("material", "copper cca aluminium unknown", "conductor material", N),
        quantity("insulation_temperature", "degC", "temperature rating of the insulation", N),
        quantity("voltage_rating", "V", "voltage rating", N),
        choice("place", "free-air sheathed conduit motor-space under-floor", "where it lies", O),
        count("bundle", "current-carrying conductors in the bundle", O, at_least=1),
        choice("size_system", "awg sae metric unknown", "system its size is given in", N),
        choice("insulation", "pvc xlpe silicone rubber", "insulation material", N),
        choice("strands", "fine coarse solid", "stranding of the conductor", N),
        quantity("sheathed_length", "m", "length in sheath or conduit, from the source", M),
        flag("supported", "it is supported along its way", O),
        flag("sleeved", "it is sleeved where it can chafe", O),
        flag("grommets", "it passes edges through grommets", O),
        text("lug", "lugs at its ends", O),
        choice("crimp", "die hammer solder set-screw unknown", "how its lugs are fixed", O),
        count("joints", "joints on its way", O),
        flag("retained", "it was on the vehicle before", O),
        # computed from its own values
        quantity("conducting_area", "mm²", "copper area it is worth"),
        quantity("current_carried", "A", "largest sustained current through the run"),
        quantity("ampacity", "A", "current the conductor stands in its place"),
        flag("at_marked_terminal", "it ends at a breaker or a switch, whose terminals are marked"),
        flag("terminals_marked", "the mark of every breaker and switch it ends at is known"),
        quantity("terminal_temperature", "degC", "lowest temperature marked for what it ends at"),
        quantity("ampacity_coolest", "A", "current of the conductor at 60 °C, the coolest mark"),
        quantity("ampacity_at_terminal", "A", "current of the conductor at that temperature"),
        quantity("resistance", "mΩ", "resistance of the run at its working temperature"),
        quantity("drop", "V", "voltage lost in the run at its sustained current"),
        quantity("device_rating", "A", "rating of the device that protects the run"),
        quantity("device_allowed", "A", "largest device that protects this conductor"),
        quantity("temperature", "degC", "conductor temperature by the heat balance", at_most=1000),
        quantity("temperature_allowed", "degC", "temperature its insulation stands"),
        # traced through the plan
        quantity("current_peak", "A", "largest short-time current through the run"),
        way("device_name", "the device that protects it"),
        flag("fed_bare", "no fuse or breaker stands between a converter and this run"),
        quantity("source_limit", "A", "current that a converter can drive through it, no device"),
        way("source_name", "the converter that feeds it past every device"),
        quantity("device_distance", "m", "cable between the source and the device"),
        flag("unprotected", "no fuse or breaker stands between a source and this run"),
        quantity("unprotected_length", "m", "cable from the source to its far end, unprotected"),
        quantity("unprotected_allowed", "m", "unprotected cable allowed, as it is sheathed"),
        way("way_unprotected", "way from the source to this run without a device"),
        flag("behind_device", "a battery feeds it, and only through a fuse or breaker"),
        flag("steps_down", "a larger conductor lies between it and its device"),
        quantity("thin_length", "m", "cable between the larger conductor and its far end"),
        quantity("fault_current", "kA", "short-circuit current at its start, cold"),
        quantity("fault_current_least", "kA", "short-circuit current at its far end, hot"),
        quantity("clearing_time", "s", "time its device needs for a fault at its far end"),
        quantity("withstand_time", "s", "time its conductor stands the fault at its far end"),
        flag("motor_on_battery", "it joins the motor to the battery past the controller"),
        flag("dead_end", "it leads nowhere: no current can flow in it"),
        flag("dead_end_live", "it leads nowhere and is live"),
        way("way_to", "way from the source to its end"),
        flag("in_loop", "its two ends are also joined by another way"),
        way("loop", "the other way between its ends"),
        *measured.RUN,
    ),
)

SUBJECTS = (RUN,)
