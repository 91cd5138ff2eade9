"""When braking needs the battery, and how long a battery gives a current above its limit."""

from __future__ import annotations

import pytest

from advisor.facts import facts_of
from advisor.facts.origins import Fact
from advisor.sheet.reading import read_sheet_bytes


def value(sheet: str, identity: str, name: str) -> object:
    found = facts_of(read_sheet_bytes(sheet.encode(), "test.yaml")).fact(identity, name)
    return found.value if isinstance(found, Fact) else None


def needs_battery(**said: str) -> object:
    words = ", ".join(f"{name}: {word}" for name, word in {"kind": "golf-cart", **said}.items())
    return value(f"sheet: 1\nvehicle: {{{words}}}\n", "vehicle", "braking_needs_battery")


@pytest.mark.parametrize(
    ("relies", "holds", "expected"),
    [
        ("yes", "no", True),
        ("yes", "yes", False),
        ("no", "no", False),
        ("no", "yes", False),
        (None, "yes", False),
        ("no", None, False),
        ("yes", None, None),
        (None, "no", None),
    ],
)
def test_braking_needs_the_battery_only_when_relied_on_and_nothing_else_holds(
    relies: str | None, holds: str | None, expected: bool | None
) -> None:
    """Truth table of `relies and not holds` with unknown statements (Kleene's logic)."""
    said = {"relies_on_electric_braking": relies, "brakes_hold_grade": holds}
    given = {name: word for name, word in said.items() if word is not None}
    assert needs_battery(**given) is expected


def test_a_vehicle_without_other_brakes_needs_its_battery() -> None:
    assert needs_battery(brakes="electric-only") is True
    assert needs_battery(brakes="rear-drum") is None


PACK = """sheet: 1
parts:
  packs:
    - {{id: pack-a, chemistry: lfp, nominal_voltage: 51.2 V, capacity: 105 A·h,
       discharge_continuous: 100 A, discharge_peak: 200 A, discharge_peak_time: 10 s}}
  controllers:
    - {{id: ctrl, motor_type: {kind}, battery_current_limit: {limit} A}}
"""


@pytest.mark.parametrize(
    ("limit", "seconds"),
    [
        (200, 10.0),  # at the peak: the stated time
        (400, 10.0),  # never longer above it
        (150, 24.0),  # 10 s x (200^2 - 100^2) / (150^2 - 100^2) = 10 x 30000 / 12500, by hand
        (100, None),  # at the continuous limit there is no limit of time
    ],
)
def test_time_at_a_current_above_the_continuous_limit(limit: int, seconds: float | None) -> None:
    """Equal heat above the continuous limit; the numbers are worked by hand."""
    sheet = PACK.format(kind="induction", limit=limit)
    found = value(sheet, "battery", "demand_peak_allowed_time")
    assert found == (None if seconds is None else pytest.approx(seconds))


def test_a_controller_for_a_series_motor_does_not_regenerate() -> None:
    """Common practice, no source."""
    assert value(PACK.format(kind="series-dc", limit=200), "ctrl", "regen_enabled") is False
    assert value(PACK.format(kind="induction", limit=200), "ctrl", "regen_enabled") is None
