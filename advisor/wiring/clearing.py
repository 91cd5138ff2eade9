"""How long a device takes to open at a current, and how long a conductor stands that current."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from advisor.facts import Facts
from advisor.physics.curves import opening_time
from advisor.physics.withstand import withstand_factor, withstand_time
from advisor.sheet.curves import read_curve
from advisor.sheet.values import ValueProblemError
from advisor.tables.curves import curve_of
from advisor.wiring.found import Found, chosen, combined, read

NEVER = 4 * 3600.0
"""Opening time (s) that stands for a device that need not open at all."""

_ICE_POINT = 273.15
# K that the insulation stands at the end of a short circuit: IEC 60364-4-43, Table 43A (values from
# memory); silicone has no row of its own there and is taken as cross-linked.
_FINAL = {"pvc": 160.0, "xlpe": 250.0, "rubber": 200.0, "silicone": 250.0}


@dataclass(frozen=True, slots=True)
class Curve:
    """Rising currents (A) of a device and its falling opening times (s), with what they rest on."""

    currents: tuple[float, ...]
    times: tuple[float, ...]
    rests: tuple[Found, ...]

    def opening(self, current: float) -> float:
        """Time (s) in which the device opens; NEVER where it need not."""
        return min(float(opening_time(max(current, 1e-9), self.currents, self.times)), NEVER)


def curve_for(facts: Facts, device: str) -> Curve | Found:
    """The curve of a device: stated, else that of its class (assumed); else what is missing."""
    if facts.subject_of(device) == "pack":
        return Found(0.0, missing=frozenset())  # a fuse inside a pack has no curve in the sheet
    rating = read(facts, device, "rating")
    if not rating.known or rating.value <= 0:
        return rating if not rating.known else Found(0.0, missing=frozenset({f"{device}.rating"}))
    stated = chosen(facts, device, "curve")
    rests: tuple[Found, ...]
    if stated is not None:
        try:
            multiples, times = read_curve(str(stated))
        except ValueProblemError:  # the sheet has said so already
            return Found(0.0, missing=frozenset({f"{device}.curve"}))
        rests = (rating, Found(0.0, ((device, "curve"),)))
    else:
        kind = read(facts, device, "kind")
        points = curve_of(str(chosen(facts, device, "kind")))
        if points is None:
            missing = kind.missing or frozenset({f"{device}.curve"})
            return Found(0.0, missing=missing)
        multiples, times = points
        settles = frozenset({f"{device}.curve"})
        rests = (rating, kind, Found(0.0, assumed=True, settles=settles))
    return Curve(tuple(rating.value * one for one in multiples), times, rests)


def opens_after(facts: Facts, currents: Sequence[tuple[str, float]]) -> Found | None:
    """Time (s) until the first of some devices in series opens, each at its current (A).

    The device nearest to the fault stands last. Where its curve is not known, nor is the time: the
    devices ahead of it are larger, and their time would be told as if it were its own. Others
    without a known curve are left out, which can only make the time longer; None without devices.
    """
    found: list[Found] = []
    missing: list[Found] = []
    for device, amps in currents:
        curve = curve_for(facts, device)
        if isinstance(curve, Found):
            missing.append(curve)
            if curve.missing and device == currents[-1][0]:
                return combined(0.0, missing)
        else:
            found.append(combined(curve.opening(abs(amps)), curve.rests))
    if found:
        return min(found, key=lambda one: one.value)
    return combined(0.0, missing) if missing else None


def stands_for(facts: Facts, run: str, current: Found) -> Found:
    """Time (s) that a conductor stands a current (A) before its insulation is too hot.

    From the temperature its insulation may always have; no heat leaves the metal, which above 5 s
    is on the safe side. Source: IEC 60364-4-43, (k S / I)^2.
    """
    area = read(facts, run, "conducting_area")
    celsius = read(facts, run, "insulation_temperature")
    if not celsius.known:
        celsius = Found(75.0 + _ICE_POINT, assumed=True, settles=celsius.missing or frozenset())
    kind = chosen(facts, run, "insulation")
    rests = [area, celsius, current]
    if kind is None:
        rests.append(Found(0.0, assumed=True, settles=frozenset({f"{run}.insulation"})))
    final = _FINAL[str(kind)] if kind in _FINAL else _FINAL["pvc"]
    start = min(celsius.value, final + _ICE_POINT - 20.0)
    factor = float(withstand_factor(start, final + _ICE_POINT))
    amps = max(abs(current.value), 1e-9)
    time = float(withstand_time(amps, factor, area.value)) if area.known else 0.0
    return combined(min(time, NEVER), rests)


def least_ratio(nearer_source: Curve, nearer_load: Curve, most: float) -> float | None:
    """Least opening time of the device at the source over that at the load, up to a current (A).

    Looked at where the load's device opens, within its curve, and where times say something (from
    0.01 s). None where there is no such current.
    """
    start = nearer_load.currents[0]
    most = min(most, nearer_load.currents[-1])
    if most <= start:
        return None
    steps = [start * (most / start) ** (n / 40) for n in range(41)]
    ratios = [
        nearer_source.opening(amps) / time
        for amps in steps
        if 0.01 <= (time := nearer_load.opening(amps)) < NEVER
    ]
    return min(ratios, default=None)


def slowest(found: Iterable[Found | None]) -> Found | None:
    """Of several ways that each feed a fault, the one that is cleared last."""
    known = [one for one in found if one is not None]
    return combined(max(one.value for one in known), known) if known else None
