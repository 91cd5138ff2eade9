"""Examples left out of a ruleset before it is parsed.

Examples are half of the text of the rules and are read only when rules are checked or shown. Lines
are blanked, not removed, so that every position stays what it is in the file.
"""

from __future__ import annotations

import re

UNREAD = b"[left-unread]"

_RULE = re.compile(rb"( *)- rule:")
_KEY = re.compile(rb"( *)examples:\s*(#.*)?")


def without_examples(data: bytes) -> bytes:
    """The same text with each block `examples:` of a rule emptied.

    Only blocks that start at the depth of the keys of a rule are touched: text in a folded block
    stands deeper, and examples written in one line are left to the parser.
    """
    depth = -1
    inside = False
    lines = data.split(b"\n")
    for number, line in enumerate(lines):
        rule = _RULE.match(line)
        if rule:
            depth, inside = len(rule[1]) + 2, False
            continue
        indent = len(line) - len(line.lstrip(b" "))
        if inside:
            if line.strip() and (indent < depth or (indent == depth and line[indent] != 0x2D)):
                inside = False
            else:
                lines[number] = b""
                continue
        if indent == depth and _KEY.fullmatch(line.rstrip(b"\r")):
            inside = True
            lines[number] = b" " * depth + b"examples: " + UNREAD
    return b"\n".join(lines)
