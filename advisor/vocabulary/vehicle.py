"""The vehicle, its use, what was removed or kept, mounts and provisions."""

from __future__ import annotations

from advisor.vocabulary import measured
from advisor.vocabulary.attribute import (
    Ask,
    Subject,
    choice,
    count,
    flag,
    pair,
    quantity,
    ratio,
    text,
)
from advisor.vocabulary.drive import PEDAL_SIGNALS

N, D, C, M, O = Ask.NAMEPLATE, Ask.DATASHEET, Ask.MAKER, Ask.MEASURE, Ask.OWNER  # noqa: E741
R = Ask.DRIVE
_STOPPING = "stopping distance from the fastest speed of its trips"

TYRE_SPEEDS = "a1 a2 a3 a4 a5 a6 a7 a8 b c d e f g j k l m n"

VEHICLE = Subject(
    "vehicle",
    "vehicle",
    "vehicle",
    False,
    (
        choice(
            "kind",
            "golf-cart utility-cart hunting-cart neighbourhood-vehicle burden-carrier tow-tractor "
            "campus-vehicle counterbalanced-truck",
            "kind of vehicle",
            O,
        ),
        count("seats", "seats", N, at_most=40),
        count("seats_rear_facing", "seats that face rearward", N, at_most=20),
        quantity("mass_empty", "kg", "mass without batteries and people", M),
        quantity("payload_max", "kg", "rated payload", N),
        quantity("gross_mass_max", "kg", "rated gross mass", N),
        quantity("axle_front_empty", "kg", "load on the front axle, empty", M),
        quantity("axle_rear_empty", "kg", "load on the rear axle, empty", M),
        quantity("axle_rear_max", "kg", "rated load of the rear axle", N),
        quantity("wheelbase", "cm", "wheelbase", N),
        quantity("track_front", "cm", "front track", M),
        quantity("track_rear", "cm", "rear track", M),
        quantity("cog_height", "cm", "height of the centre of gravity, loaded as in use", M),
        quantity("drag_area", "m²", "drag coefficient x frontal area", C),
        text("tyre_size", "tyre size", N),
        quantity("rolling_radius", "cm", "rolling radius of the driven wheels", M),
        quantity("original_rolling_radius", "cm", "rolling radius as built", D),
        ratio("gear_ratio", "motor turns per wheel turn", D),
        quantity("axle_torque_max", "N·m", "rated torque of the axle", C),
        choice(
            "brakes", "rear-drum rear-disc all-drum all-disc electric-only", "service brakes", O
        ),
        flag("brakes_hold_grade", "the friction brakes alone hold it on its steepest grade", M),
        choice("parking_brake", "hand-lever pedal-latch electromagnetic none", "parking brake", O),
        flag("relies_on_electric_braking", "the driver relies on electric braking downhill", O),
        choice("pedal_type", PEDAL_SIGNALS, "signal the pedal gives, from rest to full", M),
        choice("steering_condition", "good play stiff", "state of the steering", O),
        flag("roof", "it has a roof", O),
        flag("windscreen", "it has a windscreen", O),
        flag("doors", "it has doors", O),
        count("belts", "seats with a belt", O, at_most=40),
        flag("handholds", "every seat has a handhold", O),
        text("serial_range", "serial number or range, for makers who changed the drive", N),
        text("speed_limiter", "what limits its speed", D),
        quantity("lift_kit_height", "cm", "height of a lift kit, 0 without one", N),
        quantity("original_voltage", "V", "nominal voltage it was built with", N),
        quantity("original_loaded_voltage", "V", "voltage the old battery held under load", M),
        count("original_blocks", "lead-acid blocks it was built with", O),
        quantity("original_block_mass", "kg", "mass of one of those blocks", N),
        quantity("original_top_speed", "km/h", "top speed before the change", M),
        quantity("top_speed", "km/h", "top speed expected or measured now", M),
        quantity("stopping_distance_measured", "m", "stopping distance measured, loaded", M),
        quantity("stopping_speed_measured", "km/h", "speed from which that was measured", M),
        flag("original_hill_hold", "as built it held or slowed itself on a hill", O),
        quantity("parking_brake_force", "N", "pull at which it begins to roll, brake set", M),
        quantity("tyre_speed_max", "km/h", "speed the tyres are made for, on the sidewall", N),
        choice("tyre_speed_symbol", TYRE_SPEEDS, "speed letter on the sidewall, such as A8", N),
        quantity("tyre_load_max", "kg", "load one tyre is made for, on the sidewall", N),
        count("tyre_load_index", "load index on the sidewall, before the letter", N, at_most=200),
        quantity("tow_max", "kg", "heaviest trailer its maker allows", N),
        choice("hitch", "maker added none", "who fitted the hitch", O),
        quantity("lowest_live_part", "cm", "height of the lowest part that must stay dry", M),
        quantity("tray_length", "mm", "length of the battery bay", M),
        quantity("tray_width", "mm", "width of the battery bay", M),
        quantity("tray_height", "mm", "height of the battery bay", M),
        # computed
        quantity("mass_removed", "kg", "mass of the parts taken out"),
        quantity("mass_added", "kg", "mass of the parts put in"),
        quantity("mass_change", "kg", "mass added less mass removed", at_least=None),
        quantity("tyre_ratio", "%", "tyre radius now against the one as built"),
        flag("braking_needs_battery", "a grade needs braking that the battery must take"),
        # computed by driving it
        quantity("top_speed_predicted", "km/h", "speed the drive reaches on the level, alone"),
        quantity("grade_start_predicted", "%", "steepest grade it starts on, loaded as usual", R),
        flag("stalls_on_a_trip", "its drive cannot move it on a part of a trip"),
        quantity("hold_force", "N", "force that holds it on its steepest grade, loaded"),
        quantity("mass_ratio", "%", "mass now against the mass before the change"),
        quantity("stopping_speed", "km/h", "fastest speed of its trips"),
        quantity("stopping_distance", "m", f"{_STOPPING}, on the level"),
        quantity("stopping_distance_downhill", "m", f"{_STOPPING}, on its steepest grade"),
        quantity("stopping_distance_before", "m", f"{_STOPPING}, before the change"),
        quantity("axle_torque_peak", "N·m", "torque the drive can put into the axle"),
        quantity("payload_carried", "kg", "people and cargo of the heaviest trip"),
        quantity("mass_loaded", "kg", "mass with the heaviest load of its trips"),
        quantity("axle_rear_loaded", "kg", "load on the rear axle with that load"),
        quantity("front_share_uphill", "%", "share of the weight left on the front axle uphill"),
        ratio("stability_factor", "sideways acceleration at which it tips, in units of gravity"),
        *measured.VEHICLE,
    ),
)

USE = Subject(
    "use",
    "use",
    "use",
    False,
    (
        choice(
            "place",
            "private-dry private-wet public-road campus workplace golf-course",
            "where it is driven",
            O,
        ),
        choice("region", "us eu other", "region whose rules apply", O),
        choice(
            "wiring_basis",
            "boat building",
            "table of conductor currents taken as a yardstick; boat where not stated",
            O,
        ),
        quantity("road_speed_limit", "km/h", "speed limit of the roads used", O),
        flag("driven_at_night", "it is driven in the dark", O),
        count("passengers", "people carried", O, at_most=40),
        quantity("cargo", "kg", "cargo carried", O),
        quantity("trailer_mass", "kg", "mass of the trailer", O),
        flag("trailer_brakes", "the trailer has brakes", O),
        quantity("grade_max", "%", "steepest grade driven", M, at_most=100),
        quantity("grade_longest", "m", "length of the longest climb", M),
        flag("mud", "it is driven through mud", O),
        flag("drivers_untrained", "people without instruction drive it", O),
        choice(
            "surface",
            "asphalt gravel hard-soil turf mud sand",
            "usual surface",
            O,
        ),
        quantity("distance_per_day", "km", "distance of a usual day", O),
        quantity(
            "battery_current_sustained", "A", "battery current measured on the usual drive", M
        ),
        *pair("ambient", "degC", "temperature it is used in", O),
        choice("wash", "none wet-cloth hose pressure", "how it is washed", O),
        quantity("wade_depth", "cm", "depth of water driven through", O),
        quantity("altitude", "m", "altitude", O, at_least=None),
        quantity("storage_time", "month", "longest time it stands unused", O),
        choice(
            "stored_state",
            "disconnect-open key-off plugged-in",
            "state in which it is stored",
            O,
            settable=True,
        ),
        *pair("storage_temperature", "degC", "temperature it is stored in", O),
        flag("charged_below_freezing", "it may be plugged in while it freezes", O),
        flag("children_present", "children are around it", O),
        flag("children_carried", "small children ride in it", O),
        flag("carried_on_trailer", "it is carried on a trailer or lorry now and then", O),
        quantity("charge_window", "h", "time there is to charge", O),
        flag("attended_charging", "someone is near while it charges", O),
        # computed
        quantity("trailer_heaviest", "kg", "heaviest trailer of its use and trips"),
        flag("on_public_road", "it is driven on public roads"),
        flag("fast", "it goes faster than 15 mph (24 km/h)"),
        flag("public_or_fast", "it is used on roads, at night or above 15 mph"),
        *measured.USE,
    ),
)

REMOVED = Subject(
    "removed",
    "removed part",
    "removed",
    True,
    (
        choice(
            "kind",
            "lead-acid-block lithium-pack motor controller charger charge-computer converter "
            "wiring other",
            "what was taken out",
            O,
        ),
        count("count", "how many", O, at_least=1, at_most=1000),
        quantity("mass", "kg", "mass of each", N),
        choice("went_to", "recycler sold kept", "where they went", O),
        flag("receipt", "there is a receipt", O),
        quantity("nominal_voltage", "V", "nominal voltage of each", N),
        quantity("capacity", "A·h", "rated capacity of each", N),
        flag("plug_fits", "its plug still fits the vehicle", O),
        choice(
            "kept_where", "outdoors shed garage indoors", "where the kept batteries are charged", O
        ),
        flag("wiring_left_live", "wiring of it is still connected to the battery", O),
        flag("bypass_planned", "what it did is done otherwise or bridged by plan", O),
        # computed
        quantity("hydrogen_flow", "m³/h", "air flow the kept lead-acid batteries need on charge"),
    ),
)

RETAINED = Subject(
    "retained",
    "retained part",
    "retained",
    True,
    (
        choice(
            "kind",
            "cable reverse-switch solenoid key-switch charge-receptacle resistor-reducer gauge "
            "buzzer hour-meter charge-computer motor other",
            "what was kept",
            O,
        ),
        quantity("nominal_voltage", "V", "nominal voltage of the kept part", N),
        quantity("voltage_max", "V", "highest voltage of the kept part", D),
        quantity("current_rating", "A", "current rating of the kept part", N),
        quantity("age", "year", "age of the kept part", O),
        choice("condition", "good worn", "condition of the kept part", O),
        flag("on_traction_voltage", "it sees the traction battery voltage", O),
        flag("bypassed", "what it decides is bridged or done otherwise", O),
        # computed
        quantity("voltage_withstood", "V", "voltage it stands, stated or from the old system"),
    ),
)

MOUNT = Subject(
    "mount",
    "battery mount",
    "parts.mounts",
    True,
    (
        choice("tray_material", "plastic steel aluminium wood", "material of the tray", O),
        flag("lined", "the tray is lined with an insulating sheet", O),
        flag("drain_holes", "the tray drains", O),
        flag("acid_treated", "old acid was neutralised and the tray treated", O),
        choice("hold_down", "strap bar bolts foam none", "hold-down", O),
        quantity("rated_force", "N", "force the hold-down stands", D),
        quantity("movement", "mm", "movement of the packs when pulled", M),
        quantity("clearance_terminals", "mm", "clearance of the terminals to metal", M),
        flag("terminal_covers", "all terminals are covered", O),
        flag("heat_source_nearby", "something hot is near", O),
        flag("tool_bridge", "a tool can bridge terminals to metal", O),
        choice("orientation", "upright on-side", "position of the packs", O),
        flag("ventilated", "air passes the packs", O),
        # computed
        quantity("force_needed", "N", "force that twice the battery's weight pulls with"),
    ),
)

PROVISIONS = Subject(
    "provisions",
    "provisions",
    "provisions",
    False,
    (
        flag("main_label", "the main disconnect is labelled", O),
        flag("voltage_label", "the voltage is labelled", O),
        flag("responder_label", "a label for responders is fitted", O),
        flag("charge_label", "a label at the inlet says what may charge it", O),
        choice("extinguisher", "none abc water-mist class-d", "fire extinguisher", O),
        flag("emergency_stop", "a switch drops the contactor without the controller", O),
        flag("low_battery_alarm", "the driver is warned before the battery opens", O),
        flag("tow_switch", "a switch isolates the controller for towing", O),
        flag("finger_safe_covers", "live parts above 60 V are finger safe", O),
        flag("orange_cable", "cables above 60 V are orange", O),
        flag("service_disconnect", "a service disconnect splits the voltage", O),
        flag("ready_indicator", "a lamp shows that it is ready to drive", O),
        flag("reverse_sounder", "a sounder warns when it reverses", O),
        flag("brake_lamps_on_regen", "the brake lamps light while it brakes electrically", O),
        flag("fire_plan", "everybody knows what to do when the battery smokes", O),
        flag("spare_fuse", "a spare main fuse is on board", O),
        flag("manual", "the owner gets written instructions", O),
        flag("charge_interlock", "the drive is blocked while charging, and this was tried", O),
        flag("brake_release", "an electromagnetic brake can be released by hand", O),
        choice("key_policy", "taken-out left-in none", "where the key is when it stands", O),
        flag("first_drive_done", "a first careful drive was done", O),
        flag("isolation_tested", "isolation to the frame was measured", M),
        *measured.PROVISIONS,
    ),
)

SUBJECTS = (VEHICLE, USE, REMOVED, RETAINED, MOUNT, PROVISIONS)
