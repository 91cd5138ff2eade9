"""The vocabulary: every subject and attribute the advisor knows, defined once."""

from __future__ import annotations

from advisor.vocabulary import (
    auxiliary,
    battery,
    charging,
    drive,
    protection,
    road,
    vehicle,
    wiring,
)
from advisor.vocabulary.attribute import ASK_WORDS, Ask, Attribute, Kind, Subject
from advisor.vocabulary.names import GROUPS, RELATIONS, SELF_TRAIT, TRAITS, Name, Vocabulary
from advisor.vocabulary.terminals import TERMINALS

__all__ = [
    "ASK_WORDS",
    "GROUPS",
    "RELATIONS",
    "SELF_TRAIT",
    "TERMINALS",
    "TRAITS",
    "VOCABULARY",
    "Ask",
    "Attribute",
    "Kind",
    "Name",
    "Subject",
    "Vocabulary",
]

VOCABULARY = Vocabulary(
    (
        *vehicle.SUBJECTS,
        *battery.SUBJECTS,
        *drive.SUBJECTS,
        *protection.SUBJECTS,
        *charging.SUBJECTS,
        *auxiliary.SUBJECTS,
        *wiring.SUBJECTS,
        *road.SUBJECTS,
    )
)
