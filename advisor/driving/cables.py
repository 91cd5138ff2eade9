"""How warm the traction and motor cables get on a trip: first order, by current and time."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from advisor.driving.inputs import Inputs
from advisor.facts import Facts
from advisor.physics.course import Floats
from advisor.physics.trip import Trace
from advisor.physics.windows import rolling_rms
from advisor.wiring.found import Found, chosen, combined, read
from advisor.wiring.warmth import temperatures

_HEAT = 3.45e6
"""Heat of copper, J/(m3 K). Source: IEC 60949, from memory."""
_WINDOW = 600.0
_LEAST = 5.0  # A, below which a cable is not worth a line


@dataclass(frozen=True, slots=True)
class Warmest:
    """The cable that comes closest to the temperature it stands, and when: K and step."""

    run: str
    kelvin: Found
    allowed: Found
    step: int


def motor_current(inputs: Inputs, force: Floats) -> Floats:
    """Motor current (A) for forces at the wheels (N); that of braking counts like driving."""
    amps = np.abs(force) / inputs.per_amp
    return np.sqrt(amps) if inputs.vehicle.series else amps


def warmest(
    facts: Facts, inputs: Inputs, trace: Trace, last: int, outside: Found | None = None
) -> Warmest | None:
    """The cable nearest to its limit in the first steps of a trip; None where none can be told.

    A cable starts at the temperature of the air and nears the one at which it would settle, with
    the heat of its copper alone. `outside` is the air of the trip, K, the warmest use where not
    stated. Source: heat balance, first order.
    """
    time = trace.time[:last, 0]
    battery = trace.current[:last, 0]
    motor = motor_current(inputs, trace.force[:last, 0])
    flows = {
        run: (motor if circuit == "motor" else battery) * share
        for run, (circuit, share) in _shares(facts).items()
    }
    lasting = {
        run: Found(float(rolling_rms(amps[:, None], time[:, None], _WINDOW)[0]))
        for run, amps in flows.items()
    }
    settled = temperatures(facts, {run: one for run, one in lasting.items() if one.value >= _LEAST})
    kept = [
        run
        for run, hot in settled.items()
        if read(facts, run, "insulation_temperature").known
        and _air(facts, run).known
        and hot.value > _air(facts, run).value
    ]
    if not kept:
        return None
    over = rises(
        np.stack([flows[run] for run in kept], axis=1),
        time,
        np.array([lasting[run].value for run in kept]),
        np.array([settled[run].value - _air(facts, run).value for run in kept]),
        np.array([read(facts, run, "conducting_area").value for run in kept]),
    )
    found: list[Warmest] = []
    for column, run in enumerate(kept):
        allowed = read(facts, run, "insulation_temperature")
        at = int(np.argmax(over[:, column]))
        around = _air(facts, run).value
        if outside is not None:
            around += outside.value - read(facts, "use", "ambient_max").value
        kelvin = combined(around + float(over[at, column]), [settled[run], allowed])
        found.append(Warmest(run, kelvin, allowed, at))
    return max(found, key=lambda one: one.kelvin.value - one.allowed.value)


def rises(amps: Floats, time: Floats, lasting: Floats, rise: Floats, area: Floats) -> Floats:
    """Rise (K) of each run after each step.

    `amps` steps x runs, `time` s at the end of each step; by run: the lasting current (A), the rise
    (K) at which it settles, and the area (m2).
    """
    per_metre = 1.724e-8 * 1.2 / area  # ohm/m of warm copper; it cancels but for the time it takes
    loss = lasting * lasting * per_metre / rise
    steps = np.diff(time, prepend=0.0)[:, None]
    gain = -np.expm1(-steps * loss / (_HEAT * area))
    steady = amps * amps * (rise / (lasting * lasting))
    out = np.empty_like(amps)
    now = np.zeros(amps.shape[1])
    for k in range(len(amps)):
        now = now + (steady[k] - now) * gain[k]
        out[k] = now
    return out


def _air(facts: Facts, run: str) -> Found:
    ambient = read(facts, "use", "ambient_max")
    if chosen(facts, run, "place") == "motor-space":
        return combined(max(ambient.value, 323.15), [ambient])
    return ambient


def _shares(facts: Facts) -> Mapping[str, tuple[str, float]]:
    """The circuit of each traction and motor cable, and its share of that current.

    By the plan the cable with the largest peak carries all of it; without a plan every cable does.
    """
    peaks: dict[str, tuple[str, float]] = {}
    for run in facts.instances("run"):
        circuit = str(chosen(facts, run, "circuit"))
        if circuit in ("traction", "motor"):
            peaks[run] = (circuit, read(facts, run, "current_peak").value)
    most = {
        kind: max((amps for circuit, amps in peaks.values() if circuit == kind), default=0.0)
        for kind in ("traction", "motor")
    }
    return {
        run: (circuit, amps / most[circuit] if amps > 0 and most[circuit] > 0 else 1.0)
        for run, (circuit, amps) in peaks.items()
    }


__all__ = ["Warmest", "motor_current", "rises", "warmest"]
