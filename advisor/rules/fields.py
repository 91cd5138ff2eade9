"""Reading the fields of a YAML mapping, with every problem noted at its place."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable

from advisor.problems import Place, Problem, nearest, shown
from advisor.yaml_text import Mapping, Node, Scalar, Sequence

KEBAB = re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")
MAX_TEXT = 1500
_UNPRINTED = frozenset(("Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"))
"""Kinds of characters that command a terminal or turn the order of a line."""


class Notes:
    """The problems of one file."""

    def __init__(self, file: str, lines: list[str]) -> None:
        self.file = file
        self.lines = lines
        self.problems: list[Problem] = []

    def note(self, place: Place, path: str, problem: str, advice: str = "") -> None:
        self.problems.append(Problem(self.file, place, path, problem, advice))


class Fields:
    """One mapping being read. Every key must be asked for by name or be refused by `only`."""

    def __init__(self, notes: Notes, node: Node, path: str) -> None:
        self.notes = notes
        self.path = path
        self.place = node.place
        self.entries: dict[str, Node] = {}
        self.keys: dict[str, Place] = {}
        self.meant: set[str] = set()
        if isinstance(node, Mapping):
            self.entries, self.keys = node.entries, node.keys
        else:
            notes.note(node.place, path, "keys and values are wanted here", "write key: value")

    def at(self, key: str) -> str:
        return f"{self.path}.{key}" if self.path else key

    def note(self, key: str, problem: str, advice: str = "") -> None:
        """Note a problem at the value of a key, or at the mapping when the key is missing."""
        node = self.entries.get(key)
        self.notes.note(node.place if node else self.place, self.at(key), problem, advice)

    def only(self, known: Iterable[str]) -> None:
        """Refuse every other key; one that is misspelt is not called missing as well."""
        words = list(known)
        for key in self.entries:
            if key not in words:
                advice = nearest(key, words)
                self.meant |= {word for word in words if f'"{word}"' in advice}
                advice = advice or f"known keys: {', '.join(words)}"
                self.notes.note(self.keys[key], self.at(shown(key)[1:-1]), "is no key here", advice)

    def text(self, key: str, *, required: bool = True, limit: int = MAX_TEXT) -> str:
        """A text; empty when it is missing."""
        node = self.entries.get(key)
        if node is None:
            if required and self.entries and key not in self.meant:
                self.note(key, "is missing", "add it")
            return ""
        if not isinstance(node, Scalar):
            self.note(key, "a text is wanted here", "write one value")
            return ""
        text = node.text.strip()
        if not text:
            self.note(key, "is empty", "write it or leave the key out")
        if len(text) > limit:
            self.note(key, f"is longer than {limit} characters", "say it shorter")
            return ""
        if not text.isprintable():
            hidden = [
                one for one in text if one != "\n" and unicodedata.category(one) in _UNPRINTED
            ]
            if hidden:
                self.note(key, f"holds the character U+{ord(hidden[0]):04X}", "write visible text")
                return ""
        return text

    def word(
        self, key: str, known: tuple[str, ...], *, required: bool = True, default: str = ""
    ) -> str:
        """One of some words; the default when it is missing or wrong."""
        text = self.text(key, required=required)
        if not text:
            return default
        if text not in known:
            advice = nearest(text, known) or f"write one of {', '.join(known)}"
            self.note(key, f"{shown(text)} is not known", advice)
            return default
        return text

    def name(self, key: str) -> str:
        """A kebab-case name."""
        text = self.text(key, limit=60)
        if text and not KEBAB.fullmatch(text):
            self.note(key, f"{shown(text)} is no name", "write lower-case words joined by -")
            return ""
        return text

    def truth(self, key: str) -> bool:
        """True or false; false when missing."""
        return self.word(key, ("true", "false"), required=False) == "true"

    def items(self, key: str, *, required: bool = True) -> tuple[Node, ...]:
        """The items of a list."""
        node = self.entries.get(key)
        if node is None:
            if required and self.entries and key not in self.meant:
                self.note(key, "is missing", "add it")
            return ()
        if not isinstance(node, Sequence):
            self.note(key, "a list is wanted here", "write [ ] or lines that start with -")
            return ()
        if required and not node.items:
            self.note(key, "the list is empty", "add something")
        return node.items

    def start_of_line(self, key: str) -> Place | None:
        """Where the text of a one-line value starts in the file; None (and a note) otherwise."""
        node = self.entries.get(key)
        if not isinstance(node, Scalar):
            return None
        line, column = node.place.line, node.place.column
        written = self.notes.lines[line - 1][column - 1 :]
        quote = 1 if node.quoted and written[:1] in "\"'" else 0
        if not written[quote:].startswith(node.text):
            self.note(
                key, "a condition stands on one line", "write it after the key, without > or |"
            )
            return None
        return Place(line, column + quote)


def split_advice(error: LookupError) -> tuple[str, str]:
    """The problem and the advice of a name that is not known."""
    problem, _, advice = str(error.args[0]).partition("; ")
    return problem, advice
