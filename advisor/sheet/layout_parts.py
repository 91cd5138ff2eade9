"""Which of the listed parts take which place in a layout.

A part that says it is wired otherwise than the layouts have it is left out, so that what the sheet
says about it stands alone: a load on a tap, a lead past the management system, a gauge without a
shunt, a coil that no listed part switches.
"""

from __future__ import annotations

from collections.abc import Iterable

from advisor.sheet.build import Instance
from advisor.sheet.listed import Listed, marked, said

_FEEDS = {"after-contactor": "behind", "ahead-of-disconnect": "ahead"}
_MOTORS = {
    "ac-motor": ("pm-ac", "induction"),
    "dc-motor": ("pm-dc", "separately-excited"),
    "field": ("separately-excited",),
    "series-motor": ("series-dc",),
}


class LayoutParts(Listed):
    """The parts of a sheet by their place in a layout: `slots` by name, `own` by part."""

    def __init__(self, instances: Iterable[Instance]) -> None:
        super().__init__(instances)
        self.slots: dict[str, list[Instance]] = {}
        self._drive()
        self._charging()
        self._low()
        self._loads()
        self._control()
        self._motors()

    @property
    def enough(self) -> bool:
        """What every layout needs is listed."""
        bars = [self.bars(pole, "traction") for pole in ("plus", "minus")]
        return all([self.slots["packs"], self.slots["controller"], *bars])

    def between(self, slot: str, one: Instance | None) -> list[Instance]:
        """The parts that a way passes at a slot; `own` are the devices of the part it is for."""
        if slot == "own":
            return self.own.get(one.id, []) if one is not None else []
        return self.slots[slot]

    def beside(self, slot: str, one: Instance | None) -> Instance | None:
        """The part of a slot that a way ends at: the first one, or the controller of a motor."""
        if one is not None and one.subject == "motor":
            return self.drivers.get(one.id)
        return next(iter(self.slots[slot]), None)

    def _drive(self) -> None:
        packs = self.all("pack")
        self.give("pack", packs)
        devices = [
            one
            for one in self.all("fuse", "breaker")
            if "role" in one.values or "protects" not in one.values
        ]
        self.slots |= {
            "packs": packs,
            "lower": packs[:1],
            "upper": packs[1:2],
            "controller": self.all("controller"),
            "main": marked(devices, "role", "main"),
            "disconnect": self.where("disconnect", "circuit", "traction", "traction"),
            "contactor": marked(self.all("contactor"), "role", "main"),
            "shunt": marked(self.all("monitor"), "kind", "coulomb"),
        }
        self.slots["precharge"] = [
            one
            for one in self.all("precharge")
            if said(one, "place") != "internal" and self.slots["contactor"]
        ][:1]

    def _charging(self) -> None:
        """On-board chargers, or the inlet with the charger that is plugged into it."""
        chargers = self.all("charger")
        inlets = self.where("inlet", "circuit", "charge", "charge")
        inlets = [one for one in inlets if said(one, "bypasses_bms") is not True][:1]
        usable = [one for one in chargers if said(one, "bypasses_bms") is not True]
        direct = [one for one in usable if said(one, "on_board") is True]
        plugged: list[Instance] = []
        if direct:
            inlets = []  # the mains
        elif inlets:
            plugged = [one for one in usable if said(one, "on_board") is False][:1]
            inlets = inlets if plugged or not chargers else []
        else:
            direct = usable[:1]
        has_port = bool(self.where("bms", "port", "separate"))
        own_port = has_port and not any(
            said(one, "to_discharge_port") is True for one in (*direct, *plugged)
        )
        if own_port and len(self.all("pack")) > 1:
            direct, inlets, plugged = [], [], []
        fed = [*direct, *inlets, *plugged]
        passed = [
            *self.devices("charge", fed),
            *self.where("disconnect", "circuit", "charge"),
            *self.where("contactor", "role", "charge"),
        ]
        self.charge_port = own_port
        self.slots |= {
            "charger": direct,
            "inlet": inlets,
            "plugged": plugged,
            "charge": passed if fed else [],
        }

    def _low(self) -> None:
        """The 12 V side: its converter or buffer, and what switches it as a whole."""
        converters = self.all("converter")[:1]
        buffers = self.all("buffer")
        for one in buffers:
            own = [
                device
                for device in self.all("fuse", "breaker")
                if said(device, "protects") == one.id and said(device, "role") in ("branch", "")
            ]
            if own:
                self.own[one.id] = own
        self.feed, self.by_frame = "plus", False
        for one in converters:
            self.own[one.id] = self.devices("converter-input", converters)
            self.feed = _FEEDS.get(str(said(one, "fed_from")), "plus")
            self.by_frame = said(one, "returns_through_frame") is True
        switches = [
            *self.where("disconnect", "circuit", "auxiliary"),
            *self.where("contactor", "role", "auxiliary")[:1],
        ]
        self.slots |= {
            "converter": converters,
            "low": self.devices("converter-output", converters),
            "low-switch": switches if converters else [],
            "buffer": [
                one
                for one in buffers
                if said(one, "charged_by") != "pack-tap"
                and (one.id in self.own or said(one, "fused") is False)
            ],
        }

    def _loads(self) -> None:
        sources = self.slots["converter"] or self.slots["buffer"]
        low = self.where("load", "bus", "12v") if sources else []
        high = self.where("load", "bus", "traction")
        early = self.feed == "ahead"
        low = [one for one in low if early or said(one, "ahead_of_disconnect") is not True]
        fused = [one for one in (*low, *high) if said(one, "fused") is not False]
        self.give("branch", fused)
        shared = [
            self.own[one.id]
            for one in low
            if one.id in self.own and "protects" not in self.own[one.id][0].values
        ]
        for one in low:  # the rest of the 12 V loads hang on the last fuse
            if shared and one in fused:
                self.own.setdefault(one.id, shared[-1])
        lasting = [
            one for one in low if said(one, "on_with_key_off") is True and self.slots["low-switch"]
        ]
        self.slots |= {
            "load-low": [one for one in low if one not in lasting],
            "load-lasting": lasting,
            "load": [one for one in high if said(one, "ahead_of_disconnect") is not True],
            "load-early": [one for one in high if said(one, "ahead_of_disconnect") is True],
        }

    def _control(self) -> None:
        keys = self.all("key_switch")[:1]
        sensing = self.slots["shunt"][:1]
        self.give("controls", [*keys, *sensing])
        for one in keys:
            own = self.own.get(one.id, [])
            self.own[one.id] = [*own, *self.where("disconnect", "circuit", "control")]
        switched = said(keys[0], "switched", "both") if keys else ""
        contactors = [*self.slots["contactor"], *self.slots["low-switch"], *self.slots["charge"]]
        coils = [
            one
            for one in contactors
            if one.subject == "contactor"
            and said(one, "coil_fed_from") != "converter"
            and switched in ("coil", "both")
        ]
        self.slots |= {
            "key": keys,
            "keyed": self.slots["controller"] if switched in ("logic", "both") else [],
            "coil-driven": [one for one in coils if said(one, "driver") == "controller"],
            "coil-keyed": [one for one in coils if said(one, "driver") == "key"],
            "sensing": [one for one in sensing if one.id in self.own],
        }

    def _motors(self) -> None:
        """Motors by the way their leads go; none where a contactor reverses them."""
        controllers = self.slots["controller"]
        self.drivers: dict[str, Instance] = {}
        for motor in self.all("motor"):
            own = [one for one in controllers if said(one, "drives") == motor.id]
            alone = len(controllers) == len(self.all("motor")) == 1
            if len(own) == 1 or (alone and "drives" not in controllers[0].values):
                self.drivers[motor.id] = (own or controllers)[0]
        turned = bool(self.where("contactor", "role", "reversing"))
        for slot, types in _MOTORS.items():
            self.slots[slot] = [
                one
                for one in self.all("motor")
                if one.id in self.drivers and said(one, "type") in types and not turned
            ]
