"""The drawing as an SVG page: title, caution, drawing, notes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from xml.sax.saxutils import escape, quoteattr

from advisor.facts import Facts
from advisor.report.diagram import glyphs
from advisor.report.diagram.drafting import picture_of
from advisor.report.diagram.labels import SIZE, Text, width_of
from advisor.report.diagram.paper import advice
from advisor.report.diagram.picture import Picture
from advisor.wiring.plan import plan_of

CAUTION = (
    "Drawn from the sheet. Check it against the vehicle. "
    "Local codes and a qualified technician decide."
)
NOTES = (
    "A dot joins wires; a crossing without a dot does not. Thick wires: traction and motor. "
    "Digits at a bus bar: its studs. ?: not stated."
)
MARKED = "A number in a circle: the finding of this number in the report."
EMPTY = "The sheet lists no cable run with both its ends, so there is nothing to draw."
_LEAST = 640
_MARGIN = 16
_HEAD = 17


def draw(
    facts: Facts, marks: Mapping[str, Sequence[int]], system: str = "si", title: str = ""
) -> str:
    """The drawing as SVG text.

    `marks` are the numbers of findings by id of part or run; `system` is `si` or `us`, for the
    lengths and ratings printed. An empty `title` takes the sheet's own.
    """
    build = facts.build
    picture = picture_of(facts, plan_of(facts), marks, system)
    width = max(picture.width, _LEAST)
    head = _wrapped([title or build.title or "Circuit of the sheet"], width, _HEAD, True)
    stage = f"Stage: {build.stage}." if build.stage else "Stage: not stated."
    under = _wrapped([f"{stage} {CAUTION}"], width, SIZE + 1)
    foot = _wrapped(_foot(picture, marks), width, SIZE)
    foot += [advice(width, picture.height + 60 + 16 * len(foot))]
    body: list[str] = []
    y = 12
    for words in head:
        y += 22
        body.append(glyphs.text(Text(_MARGIN, y - 4, words, True, "start"), _HEAD))
    for words in under:
        y += 16
        body.append(glyphs.text(Text(_MARGIN, y, words, anchor="start"), SIZE + 1))
    y += 8
    body.append(f'<g transform="translate(0 {y})">')
    body += _drawn(picture)
    body.append("</g>")
    y += picture.height
    for words in foot:
        y += 16
        body.append(glyphs.text(Text(_MARGIN, y, words, anchor="start")))
    height = y + 12
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" font-family="sans-serif" role="img">\n'
        f"<title>{escape(' '.join(head))}</title>\n"
        f'<rect width="{width}" height="{height}" fill="white"/>\n' + "\n".join(body) + "\n</svg>\n"
    )


def _foot(picture: Picture, marks: Mapping[str, Sequence[int]]) -> list[str]:
    """The notes under the drawing."""

    def numbered(name: str) -> str:
        listed = sorted(set(marks.get(name, ())))
        return f"{name} (finding {', '.join(map(str, listed))})" if listed else name

    foot = [NOTES] if picture.wires else [EMPTY]
    if any(one.marks for one in picture.labels):
        foot.append(MARKED)
    if picture.apart:
        foot.append(f"Not in the plan: {', '.join(map(numbered, picture.apart))}.")
    if picture.endless:
        listed = ", ".join(map(numbered, picture.endless))
        foot.append(f"Runs without both ends, not drawn: {listed}.")
    return foot


def _wrapped(texts: Iterable[str], width: int, size: int, bold: bool = False) -> list[str]:
    """Texts in lines that fit the width."""
    lines: list[str] = []
    for whole in texts:
        lines.append("")
        for word in whole.split():
            longer = f"{lines[-1]} {word}".strip()
            if lines[-1] and width_of(longer, size, bold) > width - 2 * _MARGIN:
                lines.append(word)
            else:
                lines[-1] = longer
    return lines


def _drawn(picture: Picture) -> Iterable[str]:
    for wire in picture.wires:
        named = f" data-run={quoteattr(wire.run)}" if wire.run else ""
        yield glyphs.line(wire.points, glyphs.THICK if wire.thick else glyphs.THIN, named)
    for one in picture.symbols:
        yield f"<g data-part={quoteattr(one.node.key)}>"
        yield from glyphs.symbol(one)
        yield "</g>"
    for point in picture.dots:
        yield glyphs.dot(point)
    for label in picture.labels:
        for words in label.texts:
            yield glyphs.text(words)
        for number in label.marks:
            yield glyphs.mark(number)
