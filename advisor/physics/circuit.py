"""The parts of a direct-current network and what solving it gives; SI units.

Signs. A resistance: positive from `a` to `b`. A source: positive when it delivers, out of `plus`. A
load: positive when it draws. `network.py` solves it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

__all__ = [
    "CurrentLoad",
    "Island",
    "Joint",
    "Link",
    "Load",
    "Network",
    "NetworkError",
    "PowerLoad",
    "Resistance",
    "Solution",
    "Source",
]


class NetworkError(ValueError):
    """The network has no definite answer. The text says which element or node, and why."""


@dataclass(frozen=True, slots=True)
class Resistance:
    """A conductor, contact or resistor of `ohm` > 0 between two nodes."""

    name: str
    a: str
    b: str
    ohm: float


@dataclass(frozen=True, slots=True)
class Link:
    """A joint without resistance: both nodes become one. It has no current of its own."""

    name: str
    a: str
    b: str


@dataclass(frozen=True, slots=True)
class Source:
    """An electromotive force (V) in series with an internal resistance (ohm >= 0)."""

    name: str
    plus: str
    minus: str
    emf: float
    ohm: float


@dataclass(frozen=True, slots=True)
class CurrentLoad:
    """A load that draws a fixed current (A) at any voltage."""

    name: str
    plus: str
    minus: str
    ampere: float


@dataclass(frozen=True, slots=True)
class PowerLoad:
    """A load that draws a fixed power (W) at any voltage above zero; negative when it feeds."""

    name: str
    plus: str
    minus: str
    watt: float


@dataclass(frozen=True, slots=True)
class Network:
    """The elements, and the nodes that are held at 0 V (at most one in an island)."""

    resistances: tuple[Resistance, ...] = ()
    sources: tuple[Source, ...] = ()
    links: tuple[Link, ...] = ()
    current_loads: tuple[CurrentLoad, ...] = ()
    power_loads: tuple[PowerLoad, ...] = ()
    references: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Island:
    """Nodes joined by resistances, sources and links. `floating`: no reference was named in it."""

    nodes: tuple[str, ...]
    reference: str
    floating: bool
    converged: bool = True


@dataclass(frozen=True, slots=True)
class Solution:
    """What `solve` found. In an island without a solution every number is NaN.

    `voltages` by node, against the reference of its island. `currents` by name of element.
    `losses`: heat in each resistance and inside each source (W). `powers`: what each source
    delivers at its terminals (W). `undelivered`: constant-power loads where there is no solution.
    """

    voltages: Mapping[str, float]
    currents: Mapping[str, float]
    losses: Mapping[str, float]
    powers: Mapping[str, float]
    islands: tuple[Island, ...]
    converged: bool
    undelivered: tuple[str, ...] = ()


Joint = Resistance | Link | Source
Load = CurrentLoad | PowerLoad
