"""What a rule, a ruleset and the book of all rules are."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.acceptance import Acceptance
from advisor.problems import Place
from advisor.rules.texts import Template
from advisor.rules.tree import Condition
from advisor.vocabulary import Name
from advisor.yaml_text import Node

HAZARD_KINDS = (
    "fire",
    "burn",
    "shock",
    "arc",
    "loss-of-control",
    "loss-of-drive",
    "loss-of-braking",
    "crash",
    "crush",
    "chemical",
    "damage",
    "cost",
    "nuisance",
)
SEVERITIES = ("catastrophic", "critical", "marginal", "negligible")
PROBABILITIES = ("frequent", "probable", "occasional", "remote", "improbable")
STAGES = ("order", "wiring", "handoff")
CONSULT = ("qualified-technician", "licensed-electrician", "maker", "local-authority", "none")
READ = ("read", "secondary", "computed", "memory")
COMMON_PRACTICE = "common practice, no source"


@dataclass(frozen=True, slots=True)
class Hazard:
    """What can happen, how bad, how likely over the life of this vehicle as found."""

    kind: str
    severity: str
    probability: str


@dataclass(frozen=True, slots=True)
class Change:
    """A fix sets one settable name to a value or to what another name holds."""

    name: Name
    value: float | str | bool | Name


@dataclass(frozen=True, slots=True)
class Fix:
    """Something to do, and what it changes; advice without changes is never tested."""

    do: Template
    changes: tuple[Change, ...] = ()


@dataclass(frozen=True, slots=True)
class Source:
    """Where a rule has it from. `read` says how it was consulted; `memory` means unverified."""

    key: str
    title: str
    edition: str
    publisher: str
    note: str
    clause: str
    read: str


@dataclass(frozen=True, slots=True)
class Example:
    """A row and the verdict it must get. `place` is where its verdict stands in the file."""

    given: Mapping[str, float | str | bool]
    verdict: str
    boundary: bool
    note: str
    place: Place


@dataclass(frozen=True, slots=True)
class Rule:
    """One check, or (without `hazard`) one conclusion.

    `when` true means violated. `reads` are the names of the conditions, `names` these and the names
    of the texts. `concludes` is the path of the proposition it settles ("battery.may_open"), and
    `concludes_on` how the part it is about is reached: "self" or a subject; a rule about several
    subjects concludes the proposition of each (`concludes_paths`). `concluded` are the written
    names it reads that other rules conclude, `concluded_paths` what they can stand for. `layer`
    counts from 0.
    `meaning` and `wording` are fingerprints: of what is judged, and of what is said.
    """

    name: str
    ruleset: str
    family: str
    file: str
    place: Place
    about: tuple[str, ...]
    about_text: str
    stage: str
    title: str
    applies: Condition | None
    when: Condition
    applies_text: str
    when_text: str
    hazard: Hazard | None
    finding: Template
    because: str
    fixes: tuple[Fix, ...]
    no_fix: str
    wrong_when: str
    concludes: str
    concludes_on: str
    concludes_paths: tuple[str, ...]
    covers: tuple[str, ...]
    quiet_when_unknown: str
    notice: bool
    consult: str
    sources: tuple[Source, ...]
    common_practice: bool
    reads: tuple[Name, ...]
    names: tuple[Name, ...]
    concluded: frozenset[str]
    concluded_paths: tuple[str, ...]
    meaning: str
    wording: str
    examples: Node | None = field(repr=False, compare=False)
    layer: int = 0


@dataclass(frozen=True, slots=True)
class Note:
    """What changed in a version of a ruleset."""

    version: str
    note: str


@dataclass(frozen=True, slots=True)
class Ruleset:
    """One family of hazards in one file; `own` when a shop added it to those of the program."""

    name: str
    version: str
    issued: str
    title: str
    family: str
    changes: tuple[Note, ...]
    rules: tuple[Rule, ...]
    file: str
    own: bool = False


@dataclass(frozen=True, slots=True)
class RuleBook:
    """All rules that are judged together, and what a shop accepts of their findings."""

    rulesets: tuple[Ruleset, ...]
    rules: tuple[Rule, ...]
    sources: Mapping[str, Mapping[str, str]]
    fingerprint: str
    accepted: tuple[Acceptance, ...] = ()

    def rule(self, name: str) -> Rule | None:
        """The rule of a name, or None."""
        return next((one for one in self.rules if one.name == name), None)
