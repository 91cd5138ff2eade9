"""The trips of a sheet as courses, with the load that each carries."""

from __future__ import annotations

from dataclasses import dataclass, replace

from advisor.facts import Facts
from advisor.facts.origins import Fact
from advisor.physics.course import Course, Piece, course_of, recorded
from advisor.tables.reader import table
from advisor.wiring.found import Found, chosen, combined, read

PERSON = 80.0
"""Mass of a person, kg. Common practice, no source (68 kg and 75 kg are used by standards)."""
_SURFACE = "gravel"
_STOP_TIME = 10.0


@dataclass(frozen=True, slots=True)
class Trip:
    """One trip: its course, the load it carries and the part it tows (kg), and what that rests on.

    `parts` are the names of its segments for messages, by their number. `season` is empty for a
    trip of the whole year; `air` is the temperature (K) around it, None where neither it nor a
    season says so.
    """

    id: str
    course: Course
    load: Found
    towed: float
    repeats: int
    pause: float
    parts: tuple[str, ...]
    rests: tuple[Found, ...]
    season: str = ""
    air: Found | None = None


def segments_of(facts: Facts, trip: str) -> tuple[str, ...]:
    """Ids of the segments of a trip, in order."""
    return tuple(one for one in facts.instances("segment") if one.rpartition(".")[0] == trip)


def trip_of(facts: Facts, trip: str, step: float) -> Trip | Found:
    """A trip as a course; what is missing where a distance or a speed is not known."""
    found = _driven_course(facts, trip, step)
    if isinstance(found, Found):
        return found
    season = str(chosen(facts, trip, "season") or "")
    return replace(found, season=season, air=_air(facts, trip, season))


def _air(facts: Facts, trip: str, season: str) -> Found | None:
    """The temperature around a trip, K: its own, else the coldest or warmest use of its season."""
    own = read(facts, trip, "ambient")
    if own.known:
        return own
    if not season:
        return None
    of_use = read(facts, "use", "ambient_min" if season == "winter" else "ambient_max")
    return of_use if of_use.known else None


def _driven_course(facts: Facts, trip: str, step: float) -> Trip | Found:
    load, towed = _load(facts, trip)
    repeats, pause = read(facts, trip, "repeats", 1.0), read(facts, trip, "pause")
    times = int(repeats.value) if repeats.known else 1
    rest = pause.value if pause.known else 0.0
    drive = facts.build.traces.get(trip)
    if drive is not None:
        rolling = _rolling(facts, trip)
        course = recorded(
            drive.time,
            drive.speed,
            drive.grade,
            rolling.value,
            load.value,
            towed,
            _grip(facts, trip),
        )
        return Trip(
            trip, course, load, towed, times, rest, ("the recorded drive",), (load, rolling)
        )
    pieces, rests, names = [], [load], []
    missing: list[Found] = []
    for number, one in enumerate(segments_of(facts, trip), 1):
        distance, speed = read(facts, one, "distance"), read(facts, one, "speed")
        if not (distance.known and speed.known):
            missing += [distance, speed]
            continue
        grade = read(facts, one, "grade")
        rolling = _rolling(facts, one)
        stops = read(facts, one, "stops")
        pause = read(facts, one, "stop_time", _STOP_TIME)
        pieces.append(
            Piece(
                distance.value,
                grade.value,
                speed.value,
                rolling.value,
                load.value,
                int(stops.value),
                pause.value if pause.known else _STOP_TIME,
                towed,
                _grip(facts, one),
            )
        )
        level = [grade] if grade.known else [Found(0.0, assumed=True)]
        rests += [distance, speed, rolling, *level]
        names.append(str(chosen(facts, one, "name") or f"part {number}"))
    if missing or not pieces:
        return combined(0.0, missing or [Found(0.0, missing=frozenset({f"{trip}.segments"}))])
    return Trip(trip, course_of(pieces, step), load, towed, times, rest, tuple(names), tuple(rests))


def _rolling(facts: Facts, segment: str) -> Found:
    """Rolling coefficient of the surface of a segment, else of the usual one, else of gravel."""
    kinds = (segment, "use") if facts.subject_of(segment) == "segment" else ("use",)
    for identity in kinds:
        fact = facts.fact(identity, "surface")
        if isinstance(fact, Fact):
            found = table("rolling").value(str(fact.value), "coefficient")
            if found is not None:
                return Found(float(found.value), (fact.key,), fact.assumed)
    found = table("rolling").value(_SURFACE, "coefficient")
    settles = frozenset({"use.surface"})
    return Found(float(found.value) if found else 0.04, assumed=True, settles=settles)


def usual_rolling(facts: Facts) -> Found:
    """Rolling coefficient of the surface of `use`, at least that of gravel."""
    usual = _rolling(facts, "use")
    gravel = table("rolling").value(_SURFACE, "coefficient")
    least = float(gravel.value) if gravel else 0.04
    return Found(max(usual.value, least), usual.inputs, usual.assumed, usual.settles)


def usual_grip(facts: Facts) -> float:
    """Grip on the surface of `use` as a share of a dry road."""
    return _grip(facts, "use")


def _grip(facts: Facts, segment: str) -> float:
    """Grip of tyres on the surface of a segment, else the usual one; that of a dry road else."""
    kinds = (segment, "use") if facts.subject_of(segment) == "segment" else ("use",)
    for identity in kinds:
        surface = chosen(facts, identity, "surface")
        found = table("rolling").value(str(surface), "grip") if surface is not None else None
        if found is not None:
            return float(found.value)
    return 1.0


def _load(facts: Facts, trip: str) -> tuple[Found, float]:
    """People, cargo and trailer, kg, and the trailer; that of `use` where the trip does not say."""
    people = _first(facts, trip, "passengers")
    cargo = _first(facts, trip, "cargo")
    trailer = _first(facts, trip, "trailer_mass")
    who = people if people.known else Found(1.0, assumed=True)
    parts = [who, *(one for one in (cargo, trailer) if one.known)]
    amount = who.value * PERSON + sum(one.value for one in parts[1:])
    return combined(amount, parts), trailer.value if trailer.known else 0.0


def heaviest_load(facts: Facts) -> tuple[Found, float]:
    """People, cargo and trailer of the heaviest trip, kg, and the heaviest trailer.

    Without trips those of `use`: how many people, how much cargo and which trailer must then be
    known, since no trip stands in for what is not stated.
    """
    loads = [_load(facts, trip) for trip in facts.instances("trip")]
    if not loads:
        amount, towed = _load(facts, "use")
        every = [read(facts, "use", name) for name in ("passengers", "cargo", "trailer_mass")]
        return combined(amount.value, every), towed
    return max((load for load, _ in loads), key=lambda one: one.value), max(t for _, t in loads)


def _first(facts: Facts, trip: str, name: str) -> Found:
    own = read(facts, trip, name)
    return own if own.known else read(facts, "use", name)
