"""Facts of a small sheet written in a test."""

from __future__ import annotations

from advisor.facts import Facts, facts_of
from advisor.facts.origins import Fact, Unknown
from advisor.sheet.reading import read_sheet_bytes

LFP_16 = """
parts:
  packs:
    - id: pack-a
      chemistry: lfp
      nominal_voltage: 51.2 V
      full_voltage: 58.4 V
      capacity: 105 Ah
      discharge_continuous: 100 A
      internal_resistance: 15 mohm
      bms: {kind: internal-switch, cell_over_voltage_trip: 3.7 V/cell}
"""


def facts(text: str) -> Facts:
    """The facts of a sheet; `sheet: 1` is put in front."""
    return facts_of(read_sheet_bytes(f"sheet: 1\n{text}".encode(), "sheet.yaml"))


def known(found: Facts, path: str) -> Fact:
    """A fact that must be known, by `instance.attribute`."""
    fact = found.fact(*path.rsplit(".", 1))
    assert isinstance(fact, Fact), (path, fact)
    return fact


def number(found: Facts, path: str) -> float:
    """The SI value of a fact that must be known."""
    value = known(found, path).value
    assert isinstance(value, float)
    return value


def unknown(found: Facts, path: str) -> Unknown:
    """A fact that must not be known."""
    fact = found.fact(*path.rsplit(".", 1))
    assert isinstance(fact, Unknown), (path, fact)
    return fact
