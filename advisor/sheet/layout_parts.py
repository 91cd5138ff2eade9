"""Which of the listed parts take which place in a layout.

A part that says it is wired otherwise than the layouts have it is left out, so that what the sheet
says about it stands alone: a load on a tap, a lead past the management system, a gauge without a
shunt, a coil that no listed part switches.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from advisor.sheet.build import Instance

Slots = dict[str, list[Instance]]
Owned = dict[str, list[Instance]]

_FEEDS = {"after-contactor": "behind", "ahead-of-disconnect": "ahead"}
_MOTORS = {
    "ac-motor": ("pm-ac", "induction"),
    "dc-motor": ("pm-dc", "separately-excited"),
    "field": ("separately-excited",),
    "series-motor": ("series-dc",),
}


class LayoutParts:
    """The parts of a sheet by their place in a layout: `slots` by name, `own` by part.

    `own` are the devices that stand in the lead of one part. Where `protects` does not say for
    which, they are given out in the order of the sheet.
    """

    def __init__(self, instances: Iterable[Instance]) -> None:
        self.of: Slots = {}
        for one in instances:
            self.of.setdefault(one.subject, []).append(one)
        self.own: Owned = {}
        self.slots: Slots = {}
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

    def bars(self, pole: str, circuit: str) -> list[Instance]:
        """Bus bars of a pole; one that does not say its circuit is taken for traction."""
        return [
            one
            for one in self._all("bus_bar")
            if said(one, "pole") == pole and said(one, "circuit", "traction") == circuit
        ]

    def _all(self, *subjects: str) -> list[Instance]:
        return [one for subject in subjects for one in self.of.get(subject, [])]

    def _in_circuit(self, circuit: str) -> list[Instance]:
        return [one for one in self._all("disconnect") if said(one, "circuit") == circuit]

    def _devices(self, role: str, among: Sequence[Instance] = ()) -> list[Instance]:
        """Devices of a role, but none that protects a part which is not `among` these."""
        others = {
            one.id
            for subject in {part.subject for part in among}
            for one in self._all(subject)
            if one not in among
        }
        found = self._all("fuse", "breaker")
        return [
            one
            for one in found
            if said(one, "role") == role and said(one, "protects") not in others
        ]

    def _give(self, role: str, wanted: Sequence[Instance]) -> None:
        """Give each part the devices that protect it, else the next free one of the role."""
        devices = self._devices(role)
        free = [one for one in devices if "protects" not in one.values]
        for part in wanted:
            own = [one for one in devices if said(one, "protects") == part.id]
            if not own and free:
                own = [free.pop(0)]
            if own:
                self.own[part.id] = own

    def _drive(self) -> None:
        packs = self._all("pack")
        self._give("pack", packs)
        devices = [
            one
            for one in self._all("fuse", "breaker")
            if "role" in one.values or "protects" not in one.values
        ]
        self.slots |= {
            "packs": packs,
            "lower": packs[:1],
            "upper": packs[1:2],
            "controller": self._all("controller"),
            "main": _marked(devices, "role", "main"),
            "disconnect": [
                one
                for one in self._all("disconnect")
                if said(one, "circuit", "traction") == "traction"
            ],
            "contactor": _marked(self._all("contactor"), "role", "main"),
            "shunt": _marked(self._all("monitor"), "kind", "coulomb"),
        }
        self.slots["precharge"] = [
            one
            for one in self._all("precharge")
            if said(one, "place") != "internal" and self.slots["contactor"]
        ][:1]

    def _charging(self) -> None:
        """On-board chargers, or the inlet with the charger that is plugged into it."""
        chargers = self._all("charger")
        inlets = [one for one in self._all("inlet") if said(one, "circuit", "charge") == "charge"]
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
        own_port = self.has_charge_port and not any(
            said(one, "to_discharge_port") is True for one in (*direct, *plugged)
        )
        if own_port and len(self._all("pack")) > 1:
            direct, inlets, plugged = [], [], []
        contactors = [one for one in self._all("contactor") if said(one, "role") == "charge"]
        fed = [*direct, *inlets, *plugged]
        devices = self._devices("charge", fed)
        self.charge_port = own_port
        self.slots |= {
            "charger": direct,
            "inlet": inlets,
            "plugged": plugged,
            "charge": [*devices, *self._in_circuit("charge"), *contactors] if fed else [],
        }

    @property
    def has_charge_port(self) -> bool:
        """A pack has a port of its own for charging."""
        return any(said(one, "port") == "separate" for one in self._all("bms"))

    def _low(self) -> None:
        """The 12 V side: its converter or buffer, and what switches it as a whole."""
        converters = self._all("converter")[:1]
        buffers = self._all("buffer")
        for one in buffers:
            own = [
                device
                for device in self._all("fuse", "breaker")
                if said(device, "protects") == one.id and said(device, "role") in ("branch", "")
            ]
            if own:
                self.own[one.id] = own
        self.feed, self.by_frame = "plus", False
        for one in converters:
            self.own[one.id] = self._devices("converter-input", converters)
            self.feed = _FEEDS.get(str(said(one, "fed_from")), "plus")
            self.by_frame = said(one, "returns_through_frame") is True
        switches = [one for one in self._all("contactor") if said(one, "role") == "auxiliary"]
        self.slots |= {
            "converter": converters,
            "low": self._devices("converter-output", converters),
            "low-switch": [*self._in_circuit("auxiliary"), *switches[:1]] if converters else [],
            "buffer": [
                one
                for one in buffers
                if said(one, "charged_by") != "pack-tap"
                and (one.id in self.own or said(one, "fused") is False)
            ],
        }

    def _loads(self) -> None:
        sources = self.slots["converter"] or self.slots["buffer"]
        low = [one for one in self._all("load") if said(one, "bus") == "12v" and sources]
        high = [one for one in self._all("load") if said(one, "bus") == "traction"]
        early = self.feed == "ahead"
        low = [one for one in low if early or said(one, "ahead_of_disconnect") is not True]
        fused = [one for one in (*low, *high) if said(one, "fused") is not False]
        self._give("branch", fused)
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
        keys = self._all("key_switch")[:1]
        sensing = self.slots["shunt"][:1]
        self._give("controls", [*keys, *sensing])
        for one in keys:
            self.own[one.id] = [*self.own.get(one.id, []), *self._in_circuit("control")]
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
        for motor in self._all("motor"):
            own = [one for one in controllers if said(one, "drives") == motor.id]
            alone = len(controllers) == len(self._all("motor")) == 1
            if len(own) == 1 or (alone and "drives" not in controllers[0].values):
                self.drivers[motor.id] = (own or controllers)[0]
        turned = any(said(one, "role") == "reversing" for one in self._all("contactor"))
        for slot, types in _MOTORS.items():
            self.slots[slot] = [
                one
                for one in self._all("motor")
                if one.id in self.drivers and said(one, "type") in types and not turned
            ]


def _marked(listed: Iterable[Instance], name: str, word: str) -> list[Instance]:
    """The parts that say a word; if none does, the only one that says nothing."""
    parts = list(listed)
    unsaid = [one for one in parts if name not in one.values]
    found = [one for one in parts if said(one, name) == word]
    return found or (unsaid if len(unsaid) == 1 else [])


def said(one: Instance, name: str, otherwise: str = "") -> float | str | bool:
    """What the sheet says of a part; `otherwise` where it does not."""
    written = one.values.get(name)
    return otherwise if written is None else written.value
