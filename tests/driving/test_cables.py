"""Cables on a trip: the heat of the copper for a short time, the heat balance for a long one."""

from __future__ import annotations

import re

import numpy as np
import pytest

from advisor.driving.cables import motor_current, rises
from advisor.driving.road import Road
from advisor.physics import conductors
from advisor.physics.course import Floats
from tests.driving.sheets import HAULER, TWIN, facts, number, text_of, value


def rises_of(amps: Floats, time: Floats, area: float) -> Floats:
    """Of one run that settles at 30 K over the air with 100 A."""
    one = np.ones(1)
    return rises(amps[:, None], time, 100.0 * one, 30.0 * one, area * one)[:, 0]


def test_a_short_burst_heats_the_copper_alone() -> None:
    """Adiabatic by hand: 300 A for 2 s in 16 mm2: I2 rho t / (A2 c).

    1.2 x 17.24 nOhm m (warm copper), 3.45 MJ/(m3 K) of IEC 60949: 4.2 K. What is lost in 2 s of a
    time constant of minutes is below 2 %.
    """
    area, amps, time = 16e-6, 300.0, 2.0
    by_hand = (amps / area) ** 2 * 1.2 * 1.724e-8 * time / 3.45e6
    got = rises_of(np.full(20, amps), np.linspace(0.1, time, 20), area)
    assert got[-1] == pytest.approx(by_hand, rel=0.02)


def test_after_hours_a_cable_settles_where_the_heat_balance_says() -> None:
    """What settles at 100 A with 30 K settles at 200 A with four times that: losses go with I2."""
    time = np.arange(60.0, 36_060.0, 60.0)
    got = rises_of(np.full(len(time), 200.0), time, 35e-6)
    assert got[-1] == pytest.approx(120.0, rel=1e-3)
    assert (np.diff(got) >= -1e-9).all()


def test_a_thinner_cable_gets_warmer_and_is_named() -> None:
    """Lugs and bars left as they are: only the size of one motor lead changes."""
    usual = facts(TWIN)
    lead = re.search(r"id: motor-u, .*?gauge: ([^,]+),", text_of(TWIN))
    assert lead is not None
    thin = facts(TWIN, (lead[0], lead[0].replace(f"gauge: {lead[1]},", "gauge: 10 AWG,")))
    assert str(value(thin, "beds-and-back", "cable_hottest")).startswith("motor-u, ")
    before, after = (number(one, "beds-and-back", "cable_temperature") for one in (usual, thin))
    assert after > before
    assert after > number(thin, "beds-and-back", "cable_temperature_allowed")


def test_motor_current_by_torque_constant_gear_and_radius() -> None:
    """F = c I ratio eta / r, so I = F r / (c ratio eta): 450 A give the pull of the inputs."""
    road = Road(facts(HAULER))
    inputs = next(iter(road.driven.values())).inputs
    peak = number(road.facts, road.facts.instances("controller")[0], "motor_current_peak")
    assert motor_current(inputs, np.array([inputs.vehicle.pull]))[0] == pytest.approx(peak)


def test_warm_copper_of_the_time_constant_is_that_of_the_tables() -> None:
    """1.2 x 17.24 nOhm m is copper at about 71 degC (IEC 60028: 0.00393 for each kelvin)."""
    assert pytest.approx(float(conductors.temperature_factor(273.15 + 71)), rel=2e-3) == 1.2
