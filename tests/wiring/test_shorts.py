"""Short circuits of the 12 V side: a buffer battery behind its lead, and what a converter adds."""

from __future__ import annotations

import pytest

from advisor.facts import Facts
from advisor.facts.origins import Unknown
from advisor.sheet.reading import read_sheet_bytes
from advisor.wiring.survey import surveyed
from tests.wiring.rewiring import BUFFERED, ORCHARD
from tests.wiring.test_miswired import clean, moved

AGM = "chemistry: lead-agm, nominal_voltage: 12 V, capacity: 18 Ah"


def facts(text: str) -> Facts:
    return surveyed(read_sheet_bytes(text.encode(), "sheet.yaml"))


def value(found: Facts, part: str, name: str) -> float:
    known = found.fact(part, name)
    assert known is not None and isinstance(known.value, float)
    return known.value


def test_the_buffer_behind_its_lead_and_the_converter_add() -> None:
    """By hand: 20 x 18 A = 360 A at 12 V is 33.3 mΩ inside (DC distribution technical sheet).

    The lead of 12 cm and 6 mm² at 20 °C: 17.241 nΩ m x 0.12 / 6e-6 = 0.345 mΩ (IEC 60028), 2 %
    more for strands. The converter gives its peak of 40 A into any short.
    """
    found = facts(clean(BUFFERED))
    inside = 12 / 360
    lead = 1.02 * 17.241e-9 * 0.12 / 6e-6
    at_fuse = 12 / (inside + lead) + 40
    # 0.1 %: contacts of 10 µΩ are left out here
    assert value(found, "buffer-fuse", "fault_current") == pytest.approx(at_fuse, rel=1e-3)
    assert value(found, "buffer-lead", "fault_current") == pytest.approx(360 + 40, rel=1e-3)


def test_a_stated_short_circuit_current_of_the_buffer_counts() -> None:
    sheet = moved((AGM, f"{AGM}, short_circuit_current: 1.2 kA"), sheet=BUFFERED)
    found = facts(sheet)
    assert value(found, "buffer-lead", "fault_current") == pytest.approx(1240, rel=1e-3)
    known = found.fact("buffer-lead", "fault_current")
    assert known is not None and not known.assumed


def test_without_a_buffer_only_the_converter_feeds_a_short() -> None:
    """A converter of 32 A peak: nothing on its side can draw more, whatever the cable."""
    found = facts(clean(ORCHARD))
    for part in ("lamp-fuse", "left-fuse", "low-to-relay"):
        assert value(found, part, "fault_current") == pytest.approx(32)
    assert isinstance(found.fact("low-to-relay", "clearing_time"), Unknown)


def test_a_fault_of_the_buffer_is_cleared_by_the_fuses_it_flows_through() -> None:
    """The fuse at the converter carries none of it, and does not count as one that never opens."""
    found = facts(clean(BUFFERED))
    for run in ("relay-lead", "left-lead"):
        assert value(found, run, "clearing_time") < value(found, run, "withstand_time")
        assert value(found, run, "clearing_time") < 0.1
