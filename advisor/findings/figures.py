"""The build in numbers: what a reader wants to know whether or not anything is wrong."""

from __future__ import annotations

from advisor.facts import Facts
from advisor.facts.origins import Fact

FIGURES = (
    ("battery", "full_voltage"),
    ("battery", "nominal_voltage"),
    ("battery", "capacity"),
    ("battery", "energy"),
    ("battery", "discharge_continuous"),
    ("battery", "discharge_peak"),
    ("battery", "demand_continuous"),
    ("battery", "demand_peak"),
    ("battery", "short_circuit_current"),
    ("vehicle", "mass_removed"),
    ("vehicle", "mass_added"),
    ("vehicle", "mass_change"),
    ("charger", "power_into_battery"),
    ("charger", "ac_input_current"),
    ("charger", "charge_time"),
    ("converter", "load_continuous"),
    ("battery", "days_to_cutoff"),
)


def figures(facts: Facts) -> list[Fact]:
    """The figures that are known, in a fixed order."""
    found = [
        facts.fact(instance, attribute)
        for subject, attribute in FIGURES
        for instance in facts.instances(subject)
    ]
    return [one for one in found if isinstance(one, Fact)]
