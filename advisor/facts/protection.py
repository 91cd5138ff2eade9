"""Derivations about fuses, breakers, disconnects, bus bars, connectors and the charge inlet."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from advisor.facts.assembly import largest
from advisor.facts.derivation import Derivation, Result, assume, derive, look_up
from advisor.physics import protection
from advisor.tables.reader import table

_TRACTION = ("main", "pack", "charge", "converter-input", "controls")
_LOW_SIDE = ("converter-output", "branch")


def _carries(
    role: str,
    demand: float | None,
    parallel: float | None,
    charging: Sequence[float | None] | None,
    converter_in: float | None,
    converter_out: float | None,
) -> Result:
    if role == "pack":
        return None if demand is None or not parallel else demand / parallel
    return {
        "main": demand,
        "charge": largest(charging),
        "converter-input": converter_in,
        "converter-output": converter_out,
    }.get(role)


def _through_inlet(
    output: Sequence[float | None] | None,
    on_board: Sequence[bool | None] | None,
    mains: Sequence[float | None] | None,
) -> Result:
    """A charger on the vehicle has its inlet on the mains side, another on that of the battery."""
    if output is None or on_board is None or mains is None:
        return None  # nobody mentions a charger
    return largest(
        [
            from_mains if fitted else charge
            for charge, fitted, from_mains in zip(output, on_board, mains, strict=True)
        ]
    )


def _converter_input(load: float, output: float, efficiency: float | None, lowest: float) -> Result:
    return load * output / (efficiency or 0.85) / lowest if lowest else None


def _two_way(role: str, regenerates: bool | None) -> Result:
    if role in ("charge", "converter-input", "converter-output", "branch", "controls"):
        return False
    return True if regenerates else None


def _circuit_current(
    circuit: str,
    demand: float | None,
    charging: Sequence[float | None] | None,
    auxiliary: float | None,
) -> Result:
    return {"traction": demand, "charge": largest(charging), "auxiliary": auxiliary}.get(circuit)


def _class_interrupts(kind: str) -> Result:
    found = table("fuse-classes").value(kind, "interrupting")
    return None if found is None else found.value


def _listed(role: str) -> Callable[..., Result]:
    """True when at least as many devices with this role are listed as parts that need one."""

    def formula(
        fuses: Sequence[str | None] | None,
        breakers: Sequence[str | None] | None,
        parts: Sequence[bool],
    ) -> Result:
        roles = [*(fuses or ()), *(breakers or ())]
        return True if parts and roles.count(role) >= len(parts) else None

    return formula


def _for_both(subject: str) -> list[Derivation]:
    """The derivations a fuse and a breaker share."""
    return [
        derive(
            f"{subject}.dc_voltage_known",
            f"{subject}.dc_voltage",
            lambda voltage: voltage,
            "as marked",
        ),
        derive(
            f"{subject}.interrupting_known",
            f"{subject}.interrupting_rating",
            lambda current: current,
            "as stated",
        ),
        derive(
            f"{subject}.voltage_to_clear",
            f"{subject}.role converter.output_voltage",
            lambda role, output: output if role in _LOW_SIDE else None,
            "converter output, as it stands on the low side",
        ),
        derive(
            f"{subject}.voltage_to_clear",
            f"{subject}.role battery.full_voltage charger[].voltage_highest",
            lambda role, full, chargers: (
                max(full, *chargers) if role in _TRACTION and chargers else None
            ),
            "full battery, or the charger's highest voltage if that is more",
        ),
        derive(
            f"{subject}.voltage_to_clear",
            f"{subject}.role battery.full_voltage charger.present",
            lambda role, full, charged: full if role in _TRACTION and not charged else None,
            "full battery, as there is no charger",
        ),
        assume(
            f"{subject}.voltage_to_clear",
            f"{subject}.role battery.full_voltage",
            lambda role, full: full if role in _TRACTION else None,
            "full battery, with a charger that goes no higher",
            "common practice, no source",
        ),
        derive(
            f"{subject}.voltage_ratio",
            f"{subject}.voltage_to_clear {subject}.dc_voltage_known",
            lambda voltage, rated: voltage / rated if rated else None,
            "voltage to clear over DC rating",
        ),
        derive(
            f"{subject}.voltage_ratio_battery",
            f"{subject}.role battery.full_voltage {subject}.dc_voltage_known",
            lambda role, full, rated: full / rated if role in _TRACTION and rated else None,
            "full battery over DC rating",
        ),
        derive(
            f"{subject}.voltage_ratio_battery",
            f"{subject}.role converter.output_voltage {subject}.dc_voltage_known",
            lambda role, output, rated: output / rated if role in _LOW_SIDE and rated else None,
            "converter output over DC rating, on the low side",
        ),
        derive(
            f"{subject}.current_continuous",
            f"{subject}.role battery.demand_continuous? battery.packs_in_parallel? "
            "charger[].current_max? converter.input_current_full? converter.load_continuous?",
            _carries,
            "sustained current of the circuit it protects",
        ),
        derive(
            f"{subject}.current_needed",
            f"{subject}.current_continuous",
            lambda current: protection.continuous_rating(current),
            "1.25 x sustained current",
            "125 % rule for continuous loads (NEC 210.20(A), 215.3)",
        ),
        derive(
            f"{subject}.fault_current",
            f"{subject}.role battery.short_circuit_current",
            lambda role, current: current if role in _TRACTION else None,
            "short-circuit current of the battery at its terminals",
            "Ohm's law; cable resistance left out, so it comes out high",
        ),
        derive(
            f"{subject}.fault_current",
            f"{subject}.role converter.peak_allowed buffer.present",
            lambda role, peak, buffered: peak if role in _LOW_SIDE and not buffered else None,
            "what the converter can give, as there is no buffer battery",
        ),
        derive(
            f"{subject}.fault_current",
            f"{subject}.role buffer.short_circuit_current",
            lambda role, current: current if role in _LOW_SIDE else None,
            "short-circuit current of the buffer battery at its terminals",
        ),
        derive(
            f"{subject}.two_way",
            f"{subject}.role controller.regen_enabled?",
            _two_way,
            "regeneration or charge current flows back through a main or pack device",
        ),
        assume(
            f"{subject}.two_way",
            f"{subject}.role charger.present",
            lambda role, charged: charged if role in ("main", "pack") else None,
            "charge current usually enters through the main path",
            "common practice, no source",
        ),
    ]


def _carried(subject: str) -> Derivation:
    return derive(
        f"{subject}.current_carried",
        f"{subject}.circuit battery.demand_continuous? charger[].current_max? "
        "converter.load_continuous?",
        _circuit_current,
        "sustained current of its circuit",
    )


def _only_device(own: str) -> list[Derivation]:
    """The only fuse or breaker of a build without a stated role is taken for the main one."""
    return [
        assume(
            f"{own}.role",
            "fuse[].present? breaker[].present?",
            lambda fuses, breakers: "main" if len(fuses or ()) + len(breakers or ()) == 1 else None,
            "it is the only protective device listed",
            "common practice, no source",
        )
    ]


DERIVATIONS: list[Derivation] = [
    *_only_device("fuse"),
    *_only_device("breaker"),
    *_for_both("fuse"),
    look_up("fuse.dc_voltage_known", "fuse.kind", "fuse-classes", "dc_voltage", fallback=True),
    derive(
        "fuse.interrupting_known",
        "fuse.kind fuse.dc_voltage_known",
        lambda kind, _voltage: _class_interrupts(kind),
        "what its class breaks, as its DC voltage is known",
        "classes of fuses: UL 248, ISO 8820 scopes, SAND96-2797",
        fallback=True,
    ),
    derive(
        "inlet.own_device",
        "fuse[].role? breaker[].role?",
        lambda fuses, breakers: True if "charge" in [*(fuses or ()), *(breakers or ())] else None,
        "a listed device has the role `charge`",
        fallback=True,
    ),
    *_for_both("breaker"),
    _carried("disconnect"),
    _carried("bus_bar"),
    _carried("connector"),
    *(
        derive(
            f"{part}.{attribute}",
            f"fuse[].role? breaker[].role? {part}[].present",
            _listed(role),
            f"a fuse or breaker with the role {role} is listed for each",
            fallback=True,
        )
        for part, attribute, role in (
            ("converter", "input_fused", "converter-input"),
            ("converter", "output_fused", "converter-output"),
            ("inlet", "own_device", "charge"),
        )
    ),
    derive(
        "inlet.current_carried",
        "charger[].current_max? charger[].on_board? charger[].ac_input_current?",
        _through_inlet,
        "the largest charge current; the mains current of a charger on the vehicle",
    ),
    derive(
        "converter.input_current_full",
        "converter.load_continuous converter.output_voltage converter.efficiency? "
        "battery.reserve_voltage",
        _converter_input,
        "output power over efficiency (0.85 if not stated) and battery voltage at the reserve",
        "power balance",
    ),
]
