"""Isolation and the voltages at which duties begin, against UN R100, FMVSS 305 and OSHA."""

from __future__ import annotations

import pytest

from advisor.physics import isolation
from advisor.tables.reader import table


def number(name: str, row: str, column: str) -> float:
    entry = table(name).value(row, column)
    assert entry is not None
    assert isinstance(entry.value, float)
    return entry.value


def test_worked_isolation_measurement() -> None:
    """Method of UN R100 Annex 5A; 76.8 V, leaks of 40 and 60 kilohm, R0 of 7680 ohm.

    The readings are printed to 0.1 mV, 9e-6 of the smaller one, hence 2e-5.
    """
    found = isolation.isolation_resistance(76.8, 46.0800, 11.1709, 7680.0)
    assert found == pytest.approx(40000, rel=2e-5)
    assert isolation.isolation_per_volt(found, 76.8) == pytest.approx(520.8, abs=0.05)


def test_older_form_of_the_same_measurement() -> None:
    """Older FMVSS 305 and R100: Ri = R0 (1 + V2 / V1) (V1 - V1') / V1'."""
    v1, v2, v1_after, r0 = 46.08, 30.72, 11.1709, 7680.0
    older = r0 * (1 + v2 / v1) * (v1 - v1_after) / v1_after
    assert isolation.isolation_resistance(v1 + v2, v1, v1_after, r0) == pytest.approx(older)


@pytest.mark.parametrize(
    ("volts", "kilohm"), [(48, 4.8), (51.2, 5.12), (72, 7.2), (76.8, 7.68), (96, 9.6)]
)
def test_least_isolation(volts: float, kilohm: float) -> None:
    """UN R100 5.1.3: 100 ohm for each volt."""
    per_volt = number("isolation-limits", "direct-current", "per_volt")
    assert isolation.isolation_needed(volts, per_volt) / 1000 == pytest.approx(kilohm)
    assert isolation.isolation_needed(volts) / 1000 == pytest.approx(kilohm)


@pytest.mark.parametrize(
    ("row", "milliamperes"), [("direct-current", 10.0), ("alternating-current", 2.0)]
)
def test_isolation_limits_cap_the_body_current(row: str, milliamperes: float) -> None:
    """100 and 500 ohm/V are 10 mA and 2 mA, at any voltage."""
    per_volt = number("isolation-limits", row, "per_volt")
    for volts in (48.0, 96.0):
        needed = isolation.isolation_needed(volts, per_volt)
        assert isolation.body_current(volts, needed) * 1000 == pytest.approx(milliamperes)


def test_bond() -> None:
    """UN R100 5.1.2.2: below 0.1 ohm at 0.2 A or more, that is below 20 mV."""
    limit = number("isolation-limits", "bonding", "bond")
    assert limit == 0.1
    assert isolation.bonding_resistance(0.015, 0.2) < limit
    assert isolation.bonding_resistance(0.025, 0.2) > limit


@pytest.mark.parametrize(
    ("row", "dc", "source"),
    [
        ("high-voltage", 60, "49 CFR 571.305 S3 and 82 FR 44945: above 60 V DC"),
        ("class-a", 60, "EN 50604-1 scope: class A up to 60 V DC"),
        ("workplace-guarding", 50, "OSHA letter 4 Sep 2015 on 29 CFR 1910.303(g)(2)(i)"),
        ("extra-low-voltage", 120, "IEC Electropedia: 120 V ripple-free DC"),
        ("boat-wiring", 50, "33 CFR 183.455: rules change at 50 V"),
        ("battery-cable", 60, "SAE J1127 (May 2000) scope: 60 V DC"),
    ],
)
def test_voltage_limits(row: str, dc: float, source: str) -> None:
    assert number("voltage-limits", row, "dc") == dc, source
