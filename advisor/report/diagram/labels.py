"""What is printed beside symbols and wires, and how much room it takes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from advisor.facts import Facts
from advisor.facts.origins import Unknown
from advisor.findings.wording import fact_text
from advisor.report.diagram.nodes import Circuit, Node, short
from advisor.units import show

LINE = 13
"""Height of a line of text in pixels."""
SIZE = 11
"""Size of the letters in pixels."""
MARK = 20
"""Width and height of a finding number in its circle."""
ABOVE, BELOW = 2 * LINE + 4, LINE + 4
"""Height of a run's label above and below its wire at most."""
UNKNOWN = "?"
FOOT = 0.3048
"""A foot in metres, exact by definition."""

_IN_ROW = 4
_RATINGS: dict[str, tuple[str, ...]] = {
    "fuse": ("rating",),
    "breaker": ("rating",),
    "disconnect": ("current_rating",),
    "contactor": ("continuous_current",),
    "key_switch": ("current_rating",),
    "connector": ("current_rating",),
    "precharge": ("resistance",),
    "monitor": ("shunt_rating",),
    "bus_bar": ("current_rating",),
    "pack": ("nominal_voltage", "capacity"),
    "buffer": ("nominal_voltage", "capacity"),
    "motor": ("rated_power",),
    "controller": ("motor_current_peak",),
    "converter": ("output_voltage", "output_current"),
    "charger": ("set_voltage", "current_max"),
    "inlet": ("current_rating",),
    "load": ("current",),
}
_WORDS = {
    "controller": "controller",
    "converter": "converter",
    "charger": "charger",
    "inlet": "charge inlet",
    "monitor": "gauge",
    "buffer": "battery",
}
_ALWAYS = frozenset({"fuse", "breaker"})
_NARROW = frozenset("iljtfrI.,:;'|!()[] -")
_WIDE = frozenset("mwMWQO@%&ÄÖÜ")


@dataclass(frozen=True, slots=True)
class Text:
    """A line of text; `x` is its middle or, with anchor `start`, its left end."""

    x: int
    y: int
    text: str
    bold: bool = False
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class Mark:
    """A finding number in a circle around x, y."""

    number: int
    x: int
    y: int


def width_of(text: str, size: int = SIZE, bold: bool = False) -> int:
    """Pixels that a text needs at most in a plain sans-serif letter (an estimate)."""
    total = 0.0
    for one in text:
        if one in _NARROW:
            total += 0.42
        elif one in _WIDE or ord(one) > 0x2E7F:
            total += 1.0
        else:
            total += 0.74 if one.isupper() else 0.64
    return round(total * size * (1.1 if bold else 1.0) + 1)


def wrapped(text: str, room: int, most: int) -> tuple[str, ...]:
    """A name broken after hyphens, points and blanks into few lines of about so many letters."""
    while len(lines := _broken(text, room)) > most:
        room += 1
    return lines


def _broken(text: str, room: int) -> tuple[str, ...]:
    lines = [""]
    for sign in "-. ":
        text = text.replace(sign, f"{sign}\0")
    for piece in text.split("\0"):
        if lines[-1] and len(lines[-1]) + len(piece.rstrip()) > room:
            lines.append("")
        lines[-1] += piece
    return tuple(one.strip() for one in lines if one.strip())


def block_size(node: Node) -> tuple[int, int]:
    """Width and height of the text of a part, with its finding numbers in rows above it."""
    rows = -(-len(node.marks) // _IN_ROW)
    wide = [MARK * min(len(node.marks), _IN_ROW)]
    wide += [width_of(one, bold=True) for one in node.title]
    wide += [width_of(one) for one in node.text]
    return max(wide), LINE * (len(node.title) + len(node.text)) + MARK * rows


def block(node: Node, x: int, top: int) -> tuple[tuple[Text, ...], tuple[Mark, ...]]:
    """The same, centred on x from a top down."""
    marks = []
    for at in range(0, len(node.marks), _IN_ROW):
        row = node.marks[at : at + _IN_ROW]
        left = x - MARK * len(row) // 2 + MARK // 2
        marks += [Mark(one, left + MARK * n, top + MARK // 2) for n, one in enumerate(row)]
        top += MARK
    texts = []
    for bold, lines in ((True, node.title), (False, node.text)):
        for line in lines:
            top += LINE
            texts.append(Text(x, top - 3, line, bold))
    return tuple(texts), tuple(marks)


def name_parts(
    facts: Facts, circuit: Circuit, marks: Mapping[str, tuple[int, ...]], system: str
) -> None:
    """Write names, ratings and finding numbers to all nodes."""
    for node in circuit.nodes:
        if node.kind == "frame":
            continue
        if node.kind == "rail":
            if len(node.ends) > 3:
                node.text = wrapped(node.terminals[0], 12, 2)
            continue
        node.title = wrapped(node.part, 12, 3)
        node.text = _ratings(facts, node, system)
        own, bms = marks.get(node.part, ()), marks.get(f"{node.part}.bms", ())
        node.marks = tuple(sorted({*own, *bms}))


def _ratings(facts: Facts, node: Node, system: str) -> tuple[str, ...]:
    lines = []
    if ":" in node.key:
        lines.append(f"({short(node.key.replace(':', '.'))} pole)")
    if node.is_box and node.subject in _WORDS:
        lines.append(_WORDS[node.subject])
    for name in _RATINGS.get(node.subject, ()):
        fact = facts.fact(node.part, name)
        if not isinstance(fact, Unknown):
            lines.append(fact_text(fact, system))
        elif node.subject in _ALWAYS:
            lines.append(UNKNOWN)
    return tuple(lines)


def run_lines(facts: Facts, run: str, system: str) -> tuple[tuple[str, ...], str]:
    """A run's id in lines, and its gauge as written with its length."""
    instance = facts.instance(run)
    gauge = UNKNOWN
    if instance is not None:
        written = instance.settings.get("gauge") or instance.values.get("gauge")
        gauge = written.text if written is not None else UNKNOWN
    fact = facts.fact(run, "length")
    length = UNKNOWN if isinstance(fact, Unknown) else length_text(float(fact.value), system)
    return wrapped(run, 12, 2), f"{gauge}, {length}"


def length_text(metres: float, system: str) -> str:
    """A length as one measures a cable: short ones in inches or centimetres."""
    if system == "us":
        return show(metres, "ft" if metres >= FOOT else "in", system, 3)
    return show(metres, "m", system, 3) if metres >= 1 else show(metres, "cm", system, 3)
