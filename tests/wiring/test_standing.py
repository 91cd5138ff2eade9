"""What the plan tells about the drain of a vehicle that stands with its disconnect open."""

from __future__ import annotations

import pytest

from advisor.facts import Facts
from advisor.sheet.reading import read_sheet_bytes
from advisor.wiring.survey import surveyed
from tests.facts.making import number

SHEET = """sheet: 1
parts:
  packs:
    - {id: p, nominal_voltage: 51.2 V, bms: {kind: internal-switch, standby_current: 12 mA}}
  disconnects: [{id: switch, circuit: traction}]
  monitors: [{id: m, consumption: 10 mA}]
  controllers: [{id: c}]
  chargers: [{id: ch, on_board: yes, drain_unplugged: 5 mA}]
  converters: none
  loads: none
wiring:
  - {id: r1, from: p.plus, to: switch.in, circuit: traction}
  - {id: r2, from: switch.out, to: c.plus, circuit: traction}
  - {id: r3, from: c.minus, to: m.load, circuit: traction}
  - {id: r4, from: m.battery, to: p.minus, circuit: traction}
"""
SENSE = "  - {{id: s, from: {}, to: m.sense, circuit: control}}\n"
SUPPLY = "  - {{id: t, from: {}, to: m.supply, circuit: control}}\n"
CHARGE = (
    "  - {{id: u, from: {}, to: ch.plus, circuit: charge}}\n"
    "  - {{id: v, from: ch.minus, to: m.load, circuit: charge}}\n"
)


def _found(runs: str) -> Facts:
    return surveyed(read_sheet_bytes((SHEET + runs).encode(), "sheet.yaml"))


@pytest.mark.parametrize(
    ("runs", "drawn"),
    [
        ("", 27.0),  # no lead of monitor or charger is listed: they are taken to stay alive
        (SENSE.format("switch.out"), 17.0),
        (SENSE.format("p.plus"), 27.0),
        (SENSE.format("switch.out") + SUPPLY.format("p.plus"), 27.0),
        (SENSE.format("switch.out") + CHARGE.format("switch.out"), 12.0),
        (SENSE.format("switch.out") + CHARGE.format("p.plus"), 17.0),
    ],
)
def test_what_hangs_behind_the_open_disconnect_draws_nothing(runs: str, drawn: float) -> None:
    """No current flows in a lead whose way to the battery is open (Kirchhoff's current law)."""
    assert number(_found(runs), "battery.drain_disconnected") * 1000 == pytest.approx(drawn)
