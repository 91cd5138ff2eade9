"""A valid build sheet as data: what the person wrote, value by value, with where it stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from advisor.acceptance import Acceptance
from advisor.problems import Place
from advisor.sheet.traces import Trace


@dataclass(frozen=True, slots=True)
class Written:
    """One value: SI float for a quantity or a count, else a word, a text, an id, or yes and no.

    `low` and `high` (SI) are the corners of a stated tolerance.
    """

    value: float | str | bool
    text: str
    place: Place
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """What the person said instead of a value: `unknown`, `not published`, `will be measured`."""

    said: str
    detail: str
    place: Place


@dataclass(frozen=True, slots=True)
class Reading(Written):
    """A value measured on the vehicle."""

    instrument: str = ""
    time: str = ""
    who: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Tick:
    """What somebody says of a step of the guide: that it was done, or not and why (`note`).

    `step` is its name as written, which may end in `@part`.
    """

    step: str
    done: bool
    place: Place
    instrument: str = ""
    time: str = ""
    who: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Instance:
    """One section or part of the build; maps are by attribute name."""

    id: str
    subject: str
    place: Place
    values: Mapping[str, Written]
    answers: Mapping[str, Answer]
    settings: Mapping[str, Written]
    readings: Mapping[str, tuple[Reading, ...]]


@dataclass(frozen=True, slots=True)
class Alternative:
    """One choice: parts that take the place of those with the same id, or are added.

    `without` are ids of parts that it leaves out.
    """

    id: str
    title: str
    instances: tuple[Instance, ...]
    without: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Accepted:
    """A risk that somebody accepts, and where the sheet says so."""

    acceptance: Acceptance
    place: Place


@dataclass(frozen=True, slots=True)
class Build:
    """A whole valid sheet.

    The sections that exist once (vehicle, use, supply, battery, provisions) are always among the
    instances, and each pack has its management system as `<pack>.bms`. `absent` are the kinds of
    part stated as not fitted; a kind without an instance that is not absent was not mentioned.
    `complete` are the kinds of which the sheet says that every part is listed. `traces` are the
    recorded drives of trips, by trip. `alternatives` are the choices of the sheet; they change
    nothing until one is taken. `steps` is what was said of steps of the guide, in order.
    """

    file: str
    title: str
    stage: str | None
    pins: Mapping[str, str]
    fingerprint: str
    instances: tuple[Instance, ...]
    absent: frozenset[str]
    complete: frozenset[str] = frozenset()
    traces: Mapping[str, Trace] = field(default_factory=dict)
    alternatives: tuple[Alternative, ...] = ()
    accepted: tuple[Accepted, ...] = ()
    steps: tuple[Tick, ...] = ()
