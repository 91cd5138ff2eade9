"""Fuses, breakers, disconnects, bus bars and connectors."""

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
from advisor.vocabulary.weather import weather
from advisor.vocabulary.wiring import way

N, D, C, M, O = Ask.NAMEPLATE, Ask.DATASHEET, Ask.MAKER, Ask.MEASURE, Ask.OWNER  # noqa: E741

ROLES = "main pack charge converter-input converter-output branch controls"
CIRCUITS = "traction charge auxiliary control"


def _device(kinds: str) -> tuple[Attribute, ...]:
    """What a fuse and a breaker have in common."""
    return (
        text("name", "what it is called"),
        choice("kind", kinds, "kind of device", N, settable=True),
        choice("role", ROLES, "what it protects", O),
        reference("protects", "the part it protects"),
        quantity("rating", "A", "current rating of the device", N, settable=True),
        quantity("dc_voltage", "V", "DC voltage rating of the device", N, settable=True),
        choice("voltage_marking", "dc ac-only", "kind of voltage marked on it", N),
        quantity(
            "interrupting_rating", "kA", "DC interrupting rating of the device", D, settable=True
        ),
        text("curve", "time-current curve, such as 1.35 x 3600 s, 2 x 60 s, 10 x 0.02 s", D),
        # computed
        quantity("dc_voltage_known", "V", "DC voltage rating, marked or by its class"),
        quantity("interrupting_known", "kA", "interrupting rating, stated or by its class"),
        quantity("voltage_to_clear", "V", "highest voltage it may have to clear"),
        quantity("voltage_ratio", "%", "voltage to clear against its DC rating"),
        quantity("voltage_ratio_battery", "%", "voltage of its circuit against its DC rating"),
        quantity("current_continuous", "A", "sustained current through the device"),
        quantity("current_needed", "A", "least rating for that sustained current"),
        quantity("fault_current", "kA", "prospective short-circuit current at the device"),
        flag("two_way", "current flows through it in both directions", worse="high"),
        # traced through the plan
        flag("dangling", "one of its ends is connected to nothing"),
        quantity("current_peak", "A", "peak current through the device"),
        quantity("opening_time_peak", "s", "time it takes to open at its peak current"),
        way("upstream", "the next device towards the source"),
        quantity("selectivity", "%", "opening time of the next device against its own, least"),
    )


FUSE = Subject(
    "fuse",
    "fuse",
    "parts.fuses",
    True,
    _device(
        "class-t class-j class-rk bolt-on-strip single-bolt blade semiconductor battery-fuse-link"
    ),
)

BREAKER = Subject(
    "breaker",
    "circuit breaker",
    "parts.breakers",
    True,
    (
        *_device("thermal magnetic hydraulic-magnetic supplementary"),
        flag("polarised", "it is marked + and -, or line and load", N),
        quantity("terminal_temperature", "degC", "temperature marked for its terminals", N),
        choice("reset", "manual automatic trip-free", "how it resets", D),
        flag("switching_duty", "it is rated for daily switching", D),
        count("cycles", "switching cycles it is made for", D, at_most=1000000),
        flag("used_as_switch", "it is used as the daily switch", O),
        flag("reversed_flow", "drive current flows through it against its marking"),
    ),
)

DISCONNECT = Subject(
    "disconnect",
    "disconnect",
    "parts.disconnects",
    True,
    (
        text("name", "what it is called"),
        choice("purpose", "emergency maintenance both", "what it is used for", O, settable=True),
        choice("circuit", CIRCUITS, "circuit it stands in", O),
        quantity("voltage_rating", "V", "DC voltage rating", D, settable=True),
        choice("voltage_marking", "dc ac-only", "kind of voltage marked on it", N),
        quantity("current_rating", "A", "continuous current rating", N, settable=True),
        quantity("peak_current", "A", "short-time current rating", D),
        quantity("load_break_current", "A", "current it can break at its voltage", C),
        quantity("terminal_temperature", "degC", "temperature marked for its terminals", N),
        choice(
            "reach", "driver-seat beside under-seat bay needs-tools", "where a hand reaches it", O
        ),
        count("cycles", "switching cycles it is made for", D, at_most=1000000),
        flag("removable_key", "its key can be taken out", N),
        flag("auxiliary_contact", "it has an auxiliary contact", D),
        # computed
        quantity("current_carried", "A", "sustained current through it"),
        quantity("current_through_peak", "A", "peak current through it by the plan"),
        flag("dangling", "one of its ends is connected to nothing"),
        count("leaves_alive_count", "parts that stay fed with it open"),
        way("leaves_alive", "parts that stay fed with it open"),
        way("way_left_alive", "way of the first part that stays fed"),
        *measured.DISCONNECT,
    ),
)

BUS_BAR = Subject(
    "bus_bar",
    "bus bar",
    "parts.bus_bars",
    True,
    (
        choice("circuit", CIRCUITS, "circuit it stands in", O),
        choice("pole", "plus minus", "pole it collects", O),
        quantity("voltage_rating", "V", "voltage rating", D, settable=True),
        quantity("current_rating", "A", "continuous current rating", N, settable=True),
        count("studs", "number of studs", N),
        flag("cover", "it has an insulating cover", N),
        choice("material", "copper brass plated aluminium", "material", N),
        choice("stud_size", "m4 m5 m6 m8 m10", "size of the studs", N),
        quantity("torque", "N·m", "tightening torque of the studs", D),
        # computed
        quantity("current_carried", "A", "sustained current through it"),
        quantity("current_through_peak", "A", "peak current through it by the plan"),
        count("lugs_on_stud", "most cables on one of its studs"),
    ),
)

CONNECTOR = Subject(
    "connector",
    "connector",
    "parts.connectors",
    True,
    (
        choice(
            "family",
            "genderless-50 genderless-120 genderless-175 genderless-350 ring-lug sealed barrel",
            "connector family and size",
            N,
        ),
        choice("circuit", CIRCUITS, "circuit it stands in", O),
        quantity("voltage_rating", "V", "DC voltage rating", D, settable=True),
        quantity("current_rating", "A", "continuous current with the wire used", N, settable=True),
        quantity("hot_plug_current", "A", "current at which it may be parted", D),
        quantity("daily_current", "A", "current at which it is parted in daily use", O),
        count("mating_cycles", "mating cycles it is made for", D, at_most=1000000),
        quantity("wire_min", "mm²", "smallest conductor it takes", D),
        quantity("wire_max", "mm²", "largest conductor it takes", D),
        flag("interlock_pin", "it has an interlock pin", D),
        flag("colour_matched", "its housing colour and key match its circuit", N),
        *weather(),
        # computed
        quantity("current_carried", "A", "sustained current through it"),
        quantity("current_through_peak", "A", "peak current through it by the plan"),
        flag("dangling", "one of its ends is connected to nothing"),
        quantity("wire_smallest", "mm²", "smallest conductor that ends at it"),
        quantity("wire_largest", "mm²", "largest conductor that ends at it"),
        flag("mates_with_other", "a connector of another circuit or voltage can be mated with it"),
        way("mates_with", "connectors of other circuits that can be mated with it"),
    ),
)

SUBJECTS = (FUSE, BREAKER, DISCONNECT, BUS_BAR, CONNECTOR)
