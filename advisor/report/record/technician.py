"""The part for the technician: to inspect the vehicle from it without asking."""

from __future__ import annotations

import re

from advisor.handoff.model import Review
from advisor.report.record.blocks import Block, Part, Section, text
from advisor.report.record.circuit_tables import devices, runs, short_circuits, switches
from advisor.report.record.findings_blocks import closed, earlier, findings
from advisor.report.record.open_points import accepted, conditions, obstacles
from advisor.report.record.parts_tables import (
    differences,
    in_numbers,
    old_parts,
    parts,
    sections,
    settings,
    torques,
    trips,
)
from advisor.report.record.readings_table import readings
from advisor.report.record.told import Told

_ACROSS = {"runs", "protection"}
_SIZE = re.compile(r'viewBox="0 0 ([0-9.]+) ([0-9.]+)"')


def technician_part(review: Review, told: Told, drawing: Block, charts: dict[str, Block]) -> Part:
    """The part for the technician. `charts` are by name, as `charts.all_charts` makes them."""
    screening = review.screening
    made = (
        ("open", "What is in the way", obstacles(review)),
        ("conditions", "Open conditions", conditions(review)),
        ("accepted", "Accepted risks", accepted(review)),
        ("findings", "Findings, and how each stands", findings(review)),
        ("earlier", "Earlier findings, and how each was closed", earlier(review)),
        ("closed", "Closed by readings", closed(screening, told.system)),
        ("readings", "Readings against expectations", readings(review.guide)),
        (
            "numbers",
            "The build in numbers",
            [in_numbers(screening, told.system), charts["ranges"], *trips(told)],
        ),
        ("parts", "Parts", [*parts(told), sections(told), *old_parts(told)]),
        ("settings", "Settings", settings(told)),
        ("torques", "Torques", torques(told)),
        ("drawing", "Drawing", [drawing]),
        ("runs", "Cable runs", runs(told)),
        (
            "protection",
            "Protection",
            [*devices(told), *switches(told), charts["clearing"], *short_circuits(told)],
        ),
        ("voltages", "Voltage windows", [charts["windows"]]),
        ("currents", "Currents", [charts["currents"]]),
        ("margins", "Margins", [charts["margins"], *differences(screening, told.system)]),
        (
            "inspect",
            "Before anybody drives",
            [
                text(
                    "Inspect what is listed on the vehicle itself, joint by joint. A drawing "
                    "and a table show what somebody wrote down. Local codes and licensed "
                    "practice decide."
                )
            ],
        ),
    )
    return Part(
        "technician",
        "For the technician",
        "What is fitted, how it is set and wired, what was measured, and what is open.",
        tuple(
            Section(mark, title, tuple(blocks), mark in _ACROSS or _broad(blocks))
            for mark, title, blocks in made
        ),
    )


def _broad(blocks: list[Block]) -> bool:
    """Whether one of some blocks is a large picture that is broader than high."""
    found = [_SIZE.search(one.picture) for one in blocks if one.wide]
    return any(one is not None and float(one[1]) > 1.05 * float(one[2]) for one in found)


__all__ = ["technician_part"]
