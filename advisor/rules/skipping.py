"""Examples left out of a ruleset before it is parsed.

Examples are half of the text of the rules and are read only when rules are checked or shown. Lines
are blanked, not removed, so that every position stays what it is in the file.
"""

from __future__ import annotations

import re
from functools import cache

UNREAD = "left-unread"
"""The word that stands in place of examples that were left out."""

_START = re.compile(rb"^( *)(?:(- rule:)|examples:[ \t]*(?:#[^\n]*)?$)", re.MULTILINE)


def without_examples(data: bytes) -> bytes:
    """The same text with each block `examples:` of a rule replaced by one word.

    Only blocks that start at the depth of the keys of a rule are touched: text in a folded block
    stands deeper, and examples written in one line are left to the parser.
    """
    depth = -1
    kept: list[bytes] = []
    done = 0
    for start in _START.finditer(data.replace(b"\r\n", b" \n")):
        if start.start() < done:
            continue
        if start[2]:
            depth = len(start[1]) + 2
        elif len(start[1]) == depth:
            block = _block(depth).match(data, start.end())
            end = block.end() if block else start.end()
            kept += data[done : start.end(1)], b"examples: " + UNREAD.encode()
            kept.append(b"\n" * data.count(b"\n", start.end(), end))
            done = end
    return b"".join(kept) + data[done:]


@cache
def _block(depth: int) -> re.Pattern[bytes]:
    """The lines under a key at this depth: deeper, items of a list there, empty or comments."""
    return re.compile(rb"(?:\n(?:[ \t\r]*(?=\n|\Z)|[ \t]*#[^\n]*| {%d}[ -][^\n]*))*" % depth)
