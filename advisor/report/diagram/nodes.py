"""What is drawn: symbols with terminals, the ends that lie at them, and what joins the ends."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

Kind = Literal[
    "fuse", "breaker", "switch", "key", "contactor", "connector", "shunt", "resistor",
    "bar", "rail", "frame", "battery", "motor", "box",
]  # fmt: skip
Side = Literal["L", "R"]

THROUGH = frozenset(
    {"fuse", "breaker", "switch", "key", "contactor", "connector", "shunt", "resistor"}
)
LINES = frozenset({"bar", "rail"})


@dataclass(eq=False, slots=True)
class End:
    """One end of a run or of a link: the node and terminal it lies at, and where it is drawn.

    `step` is its height below the line of the node.
    """

    node: Node
    terminal: str
    edge: Edge | None = None
    side: Side = "R"
    step: int = 0
    y: int = 0

    @property
    def mate(self) -> End:
        """The other end."""
        assert self.edge is not None
        return self.edge.b if self.edge.a is self else self.edge.a

    @property
    def channel(self) -> int:
        """The channel between columns that it opens to: `n` lies left of column `n`."""
        return self.node.col + (self.side == "R")


@dataclass(eq=False, slots=True)
class Edge:
    """A run, or (without a name) the link between a terminal and the rail drawn for it."""

    run: str
    a: End
    b: End


@dataclass(eq=False, slots=True)
class Node:
    """A symbol: a part, one pole of it, a rail or a frame mark.

    `terminals` have their full names. `main` are those by which current goes in and out; a coil, a
    key input or a sense lead is not one. `source`: a battery, or a converter that feeds something.
    `steps` are the heights of each terminal below the line of the node, one for each of its runs.
    The rest is found by the layout: column, line (y of its first terminal), and how it hangs in
    the tree that places it.
    """

    key: str
    part: str
    subject: str
    kind: Kind
    terminals: tuple[str, ...]
    main: frozenset[str]
    source: bool = False
    ends: list[End] = field(default_factory=list)
    title: tuple[str, ...] = ()
    text: tuple[str, ...] = ()
    marks: tuple[int, ...] = ()
    # layout
    sides: dict[str, Side] = field(default_factory=dict)
    steps: dict[str, tuple[int, ...]] = field(default_factory=dict)
    width: int = 0
    top: int = 0
    bottom: int = 0
    flip: bool = False
    upright: bool = False
    folded: bool = False
    direct: int = 1
    section: int = 0
    entry: End | None = None
    minus_entry: End | None = None
    kids: list[Node] = field(default_factory=list)
    minus_kids: list[Node] = field(default_factory=list)
    col: int = -1
    next_col: int = 0
    y: int = 0
    span: tuple[int, int] = (0, 0)

    @property
    def is_box(self) -> bool:
        """Current ends here: it is no conductor."""
        return self.kind not in THROUGH and self.kind not in LINES

    def at(self, terminal: str) -> list[End]:
        """The ends at one terminal."""
        return [one for one in self.ends if one.terminal == terminal]

    def side(self, terminal: str) -> Side:
        """The side a terminal is drawn on; a bar has it at each end instead."""
        base = self.sides.get(terminal, "R")
        if self.flip:
            return "L" if base == "R" else "R"
        return base


@dataclass(frozen=True, slots=True)
class Circuit:
    """Everything to draw: nodes in the order of the sheet, edges in the order of the runs.

    `apart` are parts that no run touches, `endless` runs without both ends.
    """

    nodes: tuple[Node, ...]
    edges: tuple[Edge, ...]
    apart: tuple[str, ...]
    endless: tuple[str, ...]


def short(terminal: str) -> str:
    """A terminal without its part."""
    return terminal.rpartition(".")[2]
