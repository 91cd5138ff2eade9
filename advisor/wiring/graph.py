"""The plan as a graph of terminals: what hangs together, and by which way.

Built on rustworkx. A `Wires` is the plan in one state: some switches open, some joints left out.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from itertools import pairwise

import rustworkx as rx

from advisor.wiring.plan import FRAME, Consumer, Joint, Plan, Supply


@dataclass(frozen=True)
class Lengths:
    """Cable (m) of the runs of a plan by name; other joints have none."""

    listed: tuple[tuple[str, float], ...]

    @cached_property
    def _by_name(self) -> dict[str, float]:
        return dict(self.listed)

    def __call__(self, joint: Joint) -> float:
        return self._by_name.get(joint.name, 0.0)


@dataclass(frozen=True)
class Wires:
    """The conducting joints of a plan in one state.

    `opened` are groups of switches that stand open; `without` are joints taken out by name;
    `frame` false takes the vehicle frame out.
    """

    plan: Plan
    opened: frozenset[str] = frozenset()
    without: frozenset[str] = frozenset()
    frame: bool = True

    def __hash__(self) -> int:
        """Quick, for many plans with few states; equality looks at the whole plan."""
        return hash((len(self.plan.joints), self.opened, self.without, self.frame))

    @cached_property
    def joints(self) -> tuple[Joint, ...]:
        """The joints that conduct in this state."""
        return tuple(
            one
            for one in self.plan.joints
            if one.group not in self.opened
            and one.name not in self.without
            and (self.frame or FRAME not in (one.a, one.b))
        )

    @cached_property
    def _graph(self) -> tuple[rx.PyGraph[str, Joint], dict[str, int]]:
        graph: rx.PyGraph[str, Joint] = rx.PyGraph(multigraph=True)
        number: dict[str, int] = {}
        parts: list[Supply | Consumer] = [*self.plan.supplies, *self.plan.consumers]
        ends = [end for one in self.joints for end in (one.a, one.b)]
        for end in (*ends, *(end for one in parts for end in (one.plus, one.minus))):
            if end not in number:
                number[end] = graph.add_node(end)
        for one in self.joints:
            graph.add_edge(number[one.a], number[one.b], one)
        return graph, number

    @cached_property
    def nets(self) -> dict[str, int]:
        """The net of every terminal: terminals in one net hang together by joints."""
        graph, _ = self._graph
        found = {}
        for net, members in enumerate(rx.connected_components(graph)):
            for node in members:
                found[graph[node]] = net
        return found

    def net(self, terminal: str) -> int:
        """The net of a terminal of a source or a consumer, or of one that a run ends at."""
        return self.nets[terminal]

    def joined(self, a: str, b: str) -> bool:
        """True when both terminals hang together."""
        return a == b or (a in self.nets and self.nets[a] == self.nets.get(b))

    def path(self, a: str, b: str, lengths: Lengths | None = None) -> tuple[Joint, ...] | None:
        """The joints of the shortest way from a to b (by cable, else by number), or None."""
        known = self._paths
        key = (a, b, lengths)
        if key not in known:
            known[key] = self._path(a, b, lengths)
        return known[key]

    @cached_property
    def _paths(self) -> dict[tuple[str, str, Lengths | None], tuple[Joint, ...] | None]:
        return {}

    def _path(self, a: str, b: str, lengths: Lengths | None) -> tuple[Joint, ...] | None:
        graph, number = self._graph
        if a not in number or b not in number or not self.joined(a, b):
            return None
        weight = _weights(lengths)
        found = rx.dijkstra_shortest_paths(graph, number[a], number[b], weight)
        nodes = list(found[number[b]]) if a != b else []
        return tuple(min(graph.get_all_edge_data(x, y), key=weight) for x, y in pairwise(nodes))

    def distances(self, source: str, lengths: Callable[[Joint], float]) -> dict[str, float]:
        """Length of cable (m) from a terminal to all others in its net."""
        graph, number = self._graph
        if source not in number:
            return {}
        weight = _weights(lengths)
        found = rx.dijkstra_shortest_path_lengths(graph, number[source], weight)
        return {graph[node]: float(length) for node, length in found.items()} | {source: 0.0}

    def less(
        self, opened: Iterable[str] = (), without: Collection[str] = (), frame: bool = True
    ) -> Wires:
        """The same plan with more switches open or more joints taken out."""
        return kept(
            Wires(
                self.plan,
                self.opened | frozenset(opened),
                self.without | frozenset(without),
                self.frame and frame,
            )
        )


@lru_cache(maxsize=1024)
def kept(wires: Wires) -> Wires:
    """The first of equal wires, with what was already found in it."""
    return wires


def _weights(lengths: Callable[[Joint], float] | None) -> Callable[[Joint], float]:
    """Joints inside a part count a little, so that of two ways the one with fewer parts wins."""
    if lengths is None:
        return lambda joint: 1.0
    return lambda joint: lengths(joint) + 1e-6


@dataclass(frozen=True)
class Ladder:
    """The potential of each net in steps of whole sources: packs for traction, others for 12 V.

    A net that would stand at two heights at once is a `conflict`, told by the source that closes
    the ring.
    """

    height: dict[int, int] = field(default_factory=dict)
    group: dict[int, int] = field(default_factory=dict)
    top: dict[int, int] = field(default_factory=dict)
    conflicts: tuple[str, ...] = ()


def ladder(wires: Wires, supplies: Iterable[tuple[str, str, str]]) -> Ladder:
    """Heights of nets joined by sources, each given as (name, plus, minus)."""
    graph: rx.PyDiGraph[int, int] = rx.PyDiGraph(multigraph=False)
    number: dict[int, int] = {}
    listed = [(name, wires.net(minus), wires.net(plus)) for name, plus, minus in supplies]
    for _, low, high in listed:
        for net in (low, high):
            if net not in number:
                number[net] = graph.add_node(net)
        graph.add_edge(number[high], number[low], -1)
        graph.add_edge(number[low], number[high], 1)
    height: dict[int, int] = {}
    group: dict[int, int] = {}
    top: dict[int, int] = {}
    for count, members in enumerate(rx.weakly_connected_components(graph)):
        start = min(members)
        own = {start: 0}
        for parent, children in rx.bfs_successors(graph, start):
            here = number[parent]
            for child in children:
                own[number[child]] = own[here] + graph.get_edge_data(here, number[child])
        lowest = min(own.values())
        for node, level in own.items():
            height[graph[node]] = level - lowest
            group[graph[node]] = count
        top[count] = max(own.values()) - lowest
    rings = tuple(name for name, low, high in listed if height[high] - height[low] != 1)
    return Ladder(height, group, top, rings)
