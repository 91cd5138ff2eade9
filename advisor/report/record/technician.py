"""The part for the technician: to inspect the vehicle from it without asking."""

from __future__ import annotations

from advisor.handoff.model import Review
from advisor.report.record.blocks import Block, Part, Section, text
from advisor.report.record.circuit_tables import devices, runs, short_circuits, switches
from advisor.report.record.findings_blocks import (
    accepted,
    closed,
    conditions,
    findings,
    obstacles,
)
from advisor.report.record.parts_tables import (
    differences,
    in_numbers,
    old_parts,
    parts,
    sections,
    settings,
    torques,
)
from advisor.report.record.readings_table import readings
from advisor.report.record.told import Told


def technician_part(review: Review, told: Told, drawing: Block, charts: dict[str, Block]) -> Part:
    """The part for the technician. `charts` are by name, as `charts.all_charts` makes them."""
    screening = review.screening
    made = (
        ("open", "What is in the way", obstacles(review)),
        ("conditions", "Open conditions", conditions(review)),
        ("accepted", "Accepted risks", accepted(review)),
        ("findings", "Findings, and how each stands", findings(review)),
        ("closed", "Closed by readings", closed(screening, told.system)),
        ("readings", "Readings against expectations", readings(review.guide)),
        ("numbers", "The build in numbers", [in_numbers(screening, told.system),
                                             charts["ranges"]]),
        ("parts", "Parts", [*parts(told), sections(told), *old_parts(told)]),
        ("settings", "Settings", settings(told)),
        ("torques", "Torques", torques(told)),
        ("drawing", "Single-line drawing", [drawing]),
        ("runs", "Cable runs", runs(told)),
        ("protection", "Protection", [*devices(told), *switches(told), charts["clearing"],
                                      *short_circuits(told)]),
        ("voltages", "Voltage windows", [charts["windows"]]),
        ("currents", "Currents", [charts["currents"]]),
        ("margins", "Margins", [charts["margins"], *differences(screening, told.system)]),
        ("inspect", "Before anybody drives", [text(
            "Inspect what is listed on the vehicle itself, joint by joint. A drawing and a table "
            "show what somebody wrote down. Local codes and licensed practice decide."
        )]),
    )  # fmt: skip
    return Part(
        "technician",
        "For the technician",
        "What is fitted, how it is set and wired, what was measured, and what is open.",
        tuple(Section(mark, title, tuple(blocks)) for mark, title, blocks in made),
    )


__all__ = ["technician_part"]
